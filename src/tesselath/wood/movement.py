"""Movement: what the seasons do to a strip, to a row of them, to the field and to the frame.

Comes in: the design, its pieces, the outlines of opening and field. Goes out: changes in mm from
the dry to the humid season, and a verdict. The plan refuses a solid slab in a fixed frame.

Wood moves across its grain and next to nothing along it. Strips glued on plywood cannot move as a
whole: the field follows the sheet, each strip pulls at its glue, and the joints open a little::

      free:   |====|====|====|          glued, in the dry season:   /==\\_/==\\_/==\\
              |===|===|===|                                         #############
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin, tanh

import numpy as np

from tesselath.design import Design
from tesselath.field import Piece
from tesselath.parts import Part
from tesselath.shape import Outline, area, corner_turns
from tesselath.wood.cup import cup_of_panel
from tesselath.wood.moisture import Seasons, change_share, equilibrium_moisture, find_seasons
from tesselath.wood.side_by_side import Run, longest_run
from tesselath.wood.woods import Wood, wood_of

__all__ = [
    "FrameMove",
    "Movement",
    "Swing",
    "WoodMove",
    "plan_movement",
    "strip_direction",
    "wood_share",
]

#: Along the grain, for one percent of moisture: 0.15 % from green to ovendry, the middle of the
#: 0.1 to 0.2 % of the Wood Handbook, FPL-GTR-190 (2010), chapter 4.
ALONG_GRAIN = 0.0015 / 30

#: Plywood in its plane, for one percent: 0.2 to 0.3 % from ovendry to saturation. From memory.
PLYWOOD = 0.0025 / 30

#: The humidities of the plotted range [percent], at the middle of the seasons' temperatures.
_HUMIDITIES = tuple(range(20, 91, 5))

_ROOM_TEMPERATURE = 21.0


@dataclass(frozen=True, slots=True)
class WoodMove:
    """One strip of a wood [mm]: its usual width and what the seasons do to it.

    ``change`` is from the dry to the humid season; ``shrinks`` and ``swells`` count from the day
    it is made, both 0 or more where the room is drier and more humid than the shop.
    """

    wood: str
    species: str
    known: bool
    direction: str  # "tangential" (flat-sawn) or "radial" (quarter-sawn or sliced off an edge)
    coefficient: float
    confidence: str
    width: float
    change: float
    shrinks: float
    swells: float


@dataclass(frozen=True, slots=True)
class FrameMove:
    """A member of the frame across its grain [mm]; ``opens`` is the mitre's gap when dry."""

    wood: str
    width: float
    change: float
    opens: float | None


@dataclass(frozen=True, slots=True)
class Swing:
    """The field at one humidity: growth since it was made, left to right and front to back [mm].

    ``free`` is what the strips would do if nothing held them.
    """

    humidity: float
    moisture: float
    field: tuple[float, float]
    free: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Movement:
    """What the seasons do to the top; changes are from the dry to the humid season [mm].

    ``strip`` is that of the wood that moves most. ``along`` is left to right, ``across`` front to
    back, ``free`` both if nothing held the strips. ``joint`` is what a joint opens and
    closes at the show face, ``held`` the shrinking that the glue holds back, as a strain.
    ``room_needed`` is the gap that the swelling field wants on each side, ``room_left`` the one it
    has, None without a frame that it swells against. ``cup`` is the rise of the middle over
    ``cup_over`` when dry, without a backer.
    """

    seasons: Seasons
    woods: tuple[WoodMove, ...]
    strip: WoodMove
    row: Run
    row_change: float
    size: tuple[float, float]
    along: float
    across: float
    free: tuple[float, float]
    frame: FrameMove | None
    solid: bool
    joint: float
    held: float
    room_needed: float
    room_left: float | None
    cup: float | None
    cup_over: float
    swings: tuple[Swing, ...]
    widest: float  # strip of all, borders too [mm]
    degree: str  # "passes", "caution", "warning" or "strong warning"
    crossed: bool


def plan_movement(
    design: Design,
    *,
    pieces: Sequence[Piece],
    parts: Sequence[Part],
    opening: Outline,
    field: Outline,
) -> Movement:
    """Reckon what the seasons do to a top.

    Source: Wood Handbook, FPL-GTR-190 (2010), chapters 4 and 13, for the change of free wood. What
    glued strips do is an own estimate: their shear gives way over one thickness from each edge.

    Parameters
    ----------
    design : Design
        The design, with its room, woods, strips, base and frame.
    pieces : sequence of Piece
        The pieces as they lie.
    parts : sequence of Part
        The parts, for the strips they are cut from.
    opening, field : array (n, 2)
        The clear area inside the frame, and what the strips cover [mm].

    Returns
    -------
    Movement
        The changes [mm].
    """
    seasons = find_seasons(design)
    names = list(dict.fromkeys(piece.wood for piece in pieces))
    woods = tuple(_wood_move(design, name, parts, seasons) for name in names)
    strip = max(woods, key=lambda move: (round(move.change / move.width, 9), round(move.change, 6)))
    lying = _Lying.of(design, pieces, names)
    box = np.ptp(np.asarray(field), axis=0)
    size = float(box[0]), float(box[1])
    solid = design.strips.kind == "solid slab"

    def free(start: float, end: float) -> tuple[float, float]:
        return lying.grow(size, start, end)

    def whole(start: float, end: float) -> tuple[float, float]:
        if solid:
            return free(start, end)
        return size[0] * PLYWOOD * (end - start), size[1] * PLYWOOD * (end - start)

    dry, humid, made = seasons.dry, seasons.humid, seasons.made
    change = [b - a for a, b in zip(whole(made, dry), whole(made, humid), strict=True)]
    unheld = [b - a for a, b in zip(free(made, dry), free(made, humid), strict=True)]
    run = longest_run(pieces)
    share = {move.wood: move.change / move.width for move in woods}
    strain = strip.shrinks / strip.width
    thick = design.strips.thickness
    give = tanh(strip.width / 2 / thick) * 2 * thick / strip.width
    widest = max(part.stick_width for part in parts)
    cup, over = (None, max(size)) if solid else cup_of_panel(design, free(made, dry), size)
    return Movement(
        seasons=seasons,
        woods=woods,
        strip=strip,
        row=run,
        row_change=sum(width * share[wood] for wood, width in run.strips),
        size=size,
        along=change[0],
        across=change[1],
        free=(unheld[0], unheld[1]),
        frame=_frame(design, opening, seasons),
        solid=solid,
        joint=0.0 if solid else abs(strip.change) * give,
        held=0.0 if solid else strain * (1 - give),
        room_needed=max(0.0, *whole(made, humid)) / 2,
        room_left=_room_left(design),
        cup=cup,
        cup_over=over,
        swings=tuple(_swing(h, made, whole, free) for h in _HUMIDITIES),
        widest=widest,
        degree=_degree(design, widest, solid=solid, crossed=lying.crossed),
        crossed=lying.crossed,
    )


def strip_direction(design: Design, wood: str) -> str:
    """Say across which direction of the tree the strips of a wood are wide.

    Source: common practice.

    Parameters
    ----------
    design : Design
        The design, with its woods and boards.
    wood : str
        The wood as the design calls it.

    Returns
    -------
    str
        "tangential" of flat-sawn strips; "radial" of quarter-sawn ones, and of strips sliced off
        the edge of a flat-sawn board, whose thickness becomes their width.
    """
    detail = design.woods.get(wood)
    if detail is not None and detail.sawn is not None:
        return "radial" if detail.sawn == "quarter" else "tangential"
    boards = [board for board in design.stock.boards if board.wood in (wood, None)]
    sliced = bool(boards) and all(board.from_ == "edge" for board in boards)
    return "radial" if sliced else "tangential"


def wood_share(wood: Wood, direction: str, start: float, end: float) -> float:
    """Say by what share a wood grows across its grain.

    Source: Wood Handbook, FPL-GTR-190 (2010), chapter 13.

    Parameters
    ----------
    direction : str
        "tangential", or "radial"; where that figure is not known the tangential one stands for it.
    start, end : float
        Moisture [percent].

    Returns
    -------
    float
        The growth as a share of the size at ``start``.
    """
    if wood.coefficient(direction) is None:
        direction = "tangential"
    figure, shrinkage = wood.coefficient(direction), wood.shrinkage(direction)
    return change_share(
        start,
        end,
        coefficient=None if figure is None else figure.value,
        shrinkage=None if shrinkage is None else shrinkage.value,
    )


def _wood_move(design: Design, name: str, parts: Sequence[Part], seasons: Seasons) -> WoodMove:
    wood, known = wood_of(design, name)
    direction = strip_direction(design, name)
    figure = wood.coefficient(direction) or wood.tangential
    widths: dict[float, int] = {}
    for part in parts:
        if part.wood == name:
            width = round(part.strip_width or part.width, 4)
            widths[width] = widths.get(width, 0) + part.count
    width = max(widths.items(), key=lambda item: (item[1], item[0]))[0]
    shrinks = -width * wood_share(wood, direction, seasons.made, seasons.dry)
    swells = width * wood_share(wood, direction, seasons.made, seasons.humid)
    return WoodMove(
        name,
        wood.name,
        known,
        direction,
        0.0 if figure is None else figure.value,
        "" if figure is None else figure.confidence,
        width,
        shrinks + swells,
        shrinks,
        swells,
    )


@dataclass(frozen=True, slots=True)
class _Lying:
    """How much of the field each wood covers, by how its grain lies."""

    #: Wood, direction, and the share of the field that moves across each axis.
    shares: tuple[tuple[Wood, str, float, float], ...]
    crossed: bool  # grain lies in more than one direction

    @classmethod
    def of(cls, design: Design, pieces: Sequence[Piece], names: Sequence[str]) -> _Lying:
        across: dict[str, list[float]] = {name: [0.0, 0.0] for name in names}
        angles: dict[int, float] = {}
        whole = 0.0
        for piece in pieces:
            covers = area(piece.outline)
            turn = radians(piece.grain)
            across[piece.wood][0] += covers * sin(turn) ** 2
            across[piece.wood][1] += covers * cos(turn) ** 2
            key = round(piece.grain) % 180
            angles[key] = angles.get(key, 0.0) + covers
            whole += covers
        shares = tuple(
            (wood_of(design, name)[0], strip_direction(design, name), x / whole, y / whole)
            for name, (x, y) in across.items()
        )
        return cls(shares, max(angles.values()) < 0.98 * whole)

    def grow(self, size: tuple[float, float], start: float, end: float) -> tuple[float, float]:
        """Let the strips grow as if nothing held them: the mean over the field, each way."""
        along = ALONG_GRAIN * (end - start)
        growth = [0.0, 0.0]
        for wood, direction, *covers in self.shares:
            across = wood_share(wood, direction, start, end)
            for n in (0, 1):
                growth[n] += covers[n] * across + covers[1 - n] * along
        return size[0] * growth[0], size[1] * growth[1]


def _frame(design: Design, opening: Outline, seasons: Seasons) -> FrameMove | None:
    frame = design.frame
    if frame is None:
        return None
    name = frame.wood or "frame"
    wood, _ = wood_of(design, name)
    detail = design.woods.get(name)
    direction = "radial" if detail is not None and detail.sawn == "quarter" else "tangential"
    shrinks = -wood_share(wood, direction, seasons.made, seasons.dry)
    swells = wood_share(wood, direction, seasons.made, seasons.humid)
    opens = None
    if frame.corner == "mitre":
        # A mitre's run along the members stays, its rise shrinks by e: each cut turns by e/2.
        mitre = max(abs(float(turn)) / 2 for turn in corner_turns(opening))
        joint = frame.width / cos(radians(mitre))
        opens = max(0.0, shrinks) * sin(radians(2 * mitre)) * joint
    return FrameMove(wood.name, frame.width, (shrinks + swells) * frame.width, opens)


def _room_left(design: Design) -> float | None:
    """The gap that the field and the base have on each side, against a frame made first."""
    if design.frame is None or design.order == "trim" or design.frame.sits == "on the base":
        return None
    gaps = [] if design.order == "lap" else [design.opening.clearance]
    if design.base is not None:
        gaps.append(design.base.clearance)
    return min(gaps, default=None)


_Growth = Callable[[float, float], tuple[float, float]]


def _swing(humidity: float, made: float, whole: _Growth, free: _Growth) -> Swing:
    moisture = equilibrium_moisture(_ROOM_TEMPERATURE, humidity / 100)
    return Swing(humidity, moisture, whole(made, moisture), free(made, moisture))


#: By thickness and by width, from where strips on plywood are a caution and a warning [mm]. 3/16 to
#: 1/4 in thick is what most makers glue, from 1/2 in on trouble is expected; up to 2 in wide is
#: usual, and boards wider than a 1x4 crack. Common practice.
_THICK = (6.85, 12.7)
_WIDE = (50.8, 88.9)
_DEGREES = ("passes", "caution", "warning", "strong warning")


def _degree(design: Design, width: float, *, solid: bool, crossed: bool) -> str:
    if solid:
        return "warning" if crossed else "caution" if design.frame is not None else "passes"
    thick = design.strips.thickness
    by_thickness = (thick > _THICK[0]) + (thick >= _THICK[1] - 0.05)
    by_width = (width > _WIDE[0] + 0.05) + (width > _WIDE[1] + 0.05)
    worst = max(by_thickness, by_width)
    return _DEGREES[3 if min(by_thickness, by_width) and worst == 2 else worst]
