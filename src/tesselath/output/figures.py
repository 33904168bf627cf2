"""The figures of the plan, each alone, for whoever publishes it.

Comes in: a plan. Goes out: its figures with the numbers they carry in the printed plan, and the
files of the folder ``figures``: SVG and PNG, in colour and in black, with their captions.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tesselath.book import (
    Beside,
    Block,
    Chapter,
    Figure as Printed,
    Heading,
    Title,
    Words,
    figure_file,
    number_figures,
    plan_chapters,
    speech_for,
    woods_of,
)
from tesselath.draw.paper import Sheet
from tesselath.plan import Plan

__all__ = ["Figure", "plan_figures", "write_figures"]

#: The dots to an inch that printers of books ask for. Source: common practice.
_DPI = 300


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure by itself: its number and name in the plan, what it shows, the drawing.

    ``sheet`` is as large as it is printed [mm].
    """

    number: int
    name: str
    caption: str
    sheet: Sheet


def plan_figures(plan: Plan) -> tuple[Figure, ...]:
    """Gather the figures of a plan, numbered as they are in plan.pdf and steps.md."""
    from tesselath.draw.paper import scaled

    speech = speech_for(plan.design, tuple(woods_of(plan)))
    chapters = plan_chapters(plan)
    captions = {figure.name: words for chapter in chapters for figure, words in _titled(chapter)}
    figures = []
    for number, printed in number_figures(chapters):
        width = printed.sheet.width if printed.width is None else printed.width
        sheet = scaled(speech.letter(printed.sheet), width / printed.sheet.width)
        caption = speech.say(printed.caption or captions[printed.name])
        figures.append(Figure(number, printed.name, caption, sheet))
    return tuple(figures)


def write_figures(plan: Plan) -> dict[str, str | bytes]:
    """Write every figure alone, in colour and in black, as SVG and as PNG of 300 dpi.

    Source: common practice of publishers.
    """
    from tesselath.draw.paper import in_black, write_pngs, write_svg

    figures = plan_figures(plan)
    drawn: dict[str, Sheet] = {}
    for figure in figures:
        name = figure_file(figure.number, figure.name)
        drawn[name] = figure.sheet
        drawn[f"{name}-black"] = in_black(figure.sheet)
    files: dict[str, str | bytes] = {"figures/captions.md": _captions(plan, figures)}
    for (name, sheet), dots in zip(
        drawn.items(), write_pngs(list(drawn.values()), dpi=_DPI), strict=True
    ):
        files[f"{name}.svg"] = write_svg(sheet)
        files[f"{name}.png"] = dots
    return files


def _titled(chapter: Chapter) -> Iterator[tuple[Printed, str]]:
    """Give each figure of a chapter with the words that stand beside it, or its own title."""
    titles = [f"{one.text}: {one.under}" for one in chapter.blocks if isinstance(one, Title)]
    for block in chapter.blocks:
        if isinstance(block, Printed):
            yield block, titles[0] if titles else block.sheet.title
        elif isinstance(block, Beside):
            inner: Sequence[Block] = (*block.left, *block.right)
            heads = [one.text for one in inner if isinstance(one, Heading)]
            words = [one.text for one in inner if isinstance(one, Words) and one.style == "strong"]
            said = ": ".join([*heads[:1], *words[:1]])
            for one in inner:
                if isinstance(one, Printed):
                    yield one, said or one.sheet.title


def _captions(plan: Plan, figures: Sequence[Figure]) -> str:
    """List the captions, to be set under the figures."""
    design = plan.design
    by = [design.author, f"revision {design.revision}" if design.revision else "", design.licence]
    about = " · ".join(word for word in by if word)
    lines = [f"# {design.name}: figures", *([about] if about else [])]
    lines += [f"**Figure {figure.number}** ({figure.name}). {figure.caption}" for figure in figures]
    return "\n\n".join(lines) + "\n"
