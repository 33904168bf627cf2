"""Outputs: every file of a plan folder, by the name that ``--only`` takes.

Comes in: a plan and the names wanted. Goes out: contents by file name. Refuses: a name that is no
output.

The table is the only place that knows which files there are; whatever writes one is imported
only when that file is wanted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from tesselath.draw.paper import Sheet
from tesselath.plan import Plan

__all__ = ["output_names", "usual_names", "write_outputs"]

Files = Mapping[str, str | bytes]

#: What is written only where it is asked for: what is for publishing, and the mirrored template,
#: which should not lie about where it can be taken for the other.
_ASKED_FOR = ("mirrored", "figures", "steps")


def write_outputs(plan: Plan, names: tuple[str, ...]) -> dict[str, str | bytes]:
    """Write the wanted outputs; plan.json always.

    Parameters
    ----------
    names : tuple of str
        Names out of `output_names`.

    Returns
    -------
    dict of str to str or bytes
        Contents by file name, relative to the plan folder.

    Raises
    ------
    KeyError
        If a name is no output.
    """
    files = _plan(plan)
    for name in names:
        files |= _OUTPUTS[name](plan)
    return files


def output_names() -> tuple[str, ...]:
    """Name every output, in the order in which they are written."""
    return tuple(_OUTPUTS)


def usual_names() -> tuple[str, ...]:
    """Name the outputs that are written where none is asked for by name."""
    return tuple(name for name in output_names() if name not in _ASKED_FOR)


def _plan(plan: Plan) -> dict[str, str | bytes]:
    from tesselath.plan import write_plan_json

    return {"plan.json": write_plan_json(plan)}


def _map(plan: Plan) -> Files:
    from tesselath.draw.maps import draw_map
    from tesselath.draw.paper import write_svg

    return {"map.svg": write_svg(draw_map(plan))}


def _parts(plan: Plan) -> Files:
    from tesselath.tables import write_parts

    return {"parts.csv": write_parts(plan)}


def _pieces(plan: Plan) -> Files:
    from tesselath.tables import write_pieces

    return {"pieces.csv": write_pieces(plan)}


def _setups(plan: Plan) -> Files:
    from tesselath.tables import write_setups

    return {"setups.csv": write_setups(plan)}


def _sticks(plan: Plan) -> Files:
    from tesselath.draw.bench import draw_sticks
    from tesselath.draw.paper import write_svg
    from tesselath.tables import write_sticks

    return {"sticks.csv": write_sticks(plan), "sticks.svg": write_svg(draw_sticks(plan))}


def _shopping(plan: Plan) -> Files:
    from tesselath.tables import write_shopping

    return {"shopping.csv": write_shopping(plan)}


def _glue_up(plan: Plan) -> Files:
    from tesselath.tables import write_glue_up

    return {"glue-up.csv": write_glue_up(plan)}


def _cards(plan: Plan) -> Files:
    from tesselath.draw.bench import draw_cards

    return {"cards.pdf": _pages(plan, draw_cards(plan), "part cards")}


def _rod(plan: Plan) -> Files:
    from tesselath.draw.bench import draw_rods

    return {"rod.pdf": _pages(plan, draw_rods(plan), "story stick")}


def _template(plan: Plan) -> Files:
    return _full_size(plan, "template", mirrored=False)


def _mirrored(plan: Plan) -> Files:
    return _full_size(plan, "template-mirrored", mirrored=True)


def _full_size(plan: Plan, name: str, *, mirrored: bool) -> Files:
    """Print the template over pages, and in one piece for a print shop."""
    from tesselath.draw.maps import draw_template_pages, draw_template_sheet, lay_template
    from tesselath.draw.paper import write_svg

    template = lay_template(plan, mirrored=mirrored)
    pages = draw_template_pages(template)
    return {
        f"{name}.pdf": _pages(plan, pages, name.replace("-", ", ")),
        f"{name}.svg": write_svg(draw_template_sheet(template)),
    }


def _dxf(plan: Plan) -> Files:
    from tesselath.draw.maps import write_dxf

    return {"map.dxf": write_dxf(plan)}


def _movement(plan: Plan) -> Files:
    from tesselath.draw.maps import draw_seasons
    from tesselath.draw.paper import write_svg

    return {"movement.svg": write_svg(draw_seasons(plan))}


def _pages(plan: Plan, sheets: Sequence[Sheet], what: str) -> bytes:
    """Print pages of true size, stretched where the design corrects a printer."""
    from tesselath.draw.paper import write_pdf

    design = plan.design
    return write_pdf(
        sheets, title=f"{design.name}: {what}", author=design.author, stretch=design.print_scale
    )


def _book(plan: Plan) -> Files:
    from tesselath.book import write_book

    return {"plan.pdf": write_book(plan)}


def _steps(plan: Plan) -> Files:
    from tesselath.book import write_steps

    return {"steps.md": write_steps(plan)}


def _figures(plan: Plan) -> Files:
    from tesselath.output.figures import write_figures

    return write_figures(plan)


#: What --only takes, and what writes it.
_OUTPUTS: dict[str, Callable[[Plan], Files]] = {
    "plan": _plan,
    "map": _map,
    "parts": _parts,
    "pieces": _pieces,
    "setups": _setups,
    "sticks": _sticks,
    "shopping": _shopping,
    "glue-up": _glue_up,
    "book": _book,
    "cards": _cards,
    "rod": _rod,
    "template": _template,
    "mirrored": _mirrored,
    "dxf": _dxf,
    "movement": _movement,
    "figures": _figures,
    "steps": _steps,
}
