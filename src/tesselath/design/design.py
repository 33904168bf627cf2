"""The design of one top, as values: what the maker wrote, checked and in mm.

Comes in: nothing; ``design_file`` builds these from a file. Goes out: frozen values that every
stage of the flow reads. Whatever is built here has been checked.

Every length is in mm and every angle in degrees. ``None`` means that the maker
left the key out and no default exists.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field as _default

from tesselath.measure import show_both, show_length
from tesselath.pattern import Pattern

__all__ = [
    "Base",
    "Board",
    "Border",
    "Design",
    "Field",
    "Filling",
    "Frame",
    "Glue",
    "Medallion",
    "MixedLot",
    "Offcut",
    "OpeningSize",
    "Pace",
    "Room",
    "Saw",
    "StickStock",
    "Stock",
    "Strips",
    "WoodDetail",
]

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class OpeningSize:
    """The clear area inside the frame, as drawn, as measured, or by its corners [mm]."""

    clearance: float
    width: float | None = None
    depth: float | None = None
    points: tuple[Point, ...] = ()
    #: The four sides and the diagonals as the tape read them, by key; empty when not measured.
    measured: Mapping[str, float] = _default(default_factory=dict)
    axis: str = "centre line"
    corner_radius: float = 0.0
    corner_clip: float = 0.0
    oval: bool = False


@dataclass(frozen=True, slots=True)
class Frame:
    """The frame round the opening [mm]."""

    width: float
    thickness: float | None = None
    corner: str = "mitre"
    sits: str = "round the base"
    recess: float | None = None
    lap: float = 6.35
    wood: str | None = None
    joint: str = "none"
    #: How far a spline, key or loose tenon reaches into each member.
    joint_allowance: float = 12.7


@dataclass(frozen=True, slots=True)
class Base:
    """The sheet under the strips [mm]."""

    thickness: float | None = None
    sheet: tuple[float, float] | None = None
    clearance: float = 1.5875


@dataclass(frozen=True, slots=True)
class Strips:
    """The strips as they are: actual sizes [mm]."""

    width: float | None = None
    thickness: float = 6.35
    gap: float = 0.0
    faces: str = "both"
    overlength: float = 0.0
    kind: str = "strips on plywood"
    #: The widths as measured; ``width`` is then their mean, ``named`` what the design calls it.
    measured: tuple[float, ...] = ()
    named: float | None = None


@dataclass(frozen=True, slots=True)
class Filling:
    """How a zone is filled: a pattern, its sizes as the design sets them, its turn and place.

    ``settings`` holds only what the design sets, by the size's short name, in mm, degrees or
    plain numbers.
    """

    pattern: Pattern
    settings: Mapping[str, float] = _default(default_factory=dict)
    angle: float = 0.0
    shift: Point | str = (0.0, 0.0)  # "best": the fit chooses


@dataclass(frozen=True, slots=True)
class Border:
    """A strip band round the field; plain in one wood, or filled with a pattern."""

    width: float
    corner: str = "mitre"
    wood: str | None = None
    filling: Filling | None = None


@dataclass(frozen=True, slots=True)
class Field:
    """The patterned area inside the borders."""

    filling: Filling
    mirror: str = "none"
    centre: str = "cut"


@dataclass(frozen=True, slots=True)
class Medallion:
    """A figure let into the field, by its outline [mm, from the centre of the opening]."""

    points: tuple[Point, ...]
    filling: Filling


@dataclass(frozen=True, slots=True)
class MixedLot:
    """Several woods that share one tone; ``shares`` sum to 1, ``seed`` settles who lies where."""

    woods: tuple[str, ...]
    shares: tuple[float, ...]
    seed: int = 1


@dataclass(frozen=True, slots=True)
class WoodDetail:
    """What the design says of a wood beyond its name."""

    name: str
    species: str | None = None
    colour: str | None = None
    price: float | None = None
    per: str | None = None
    #: How its strips are sawn, "flat" or "quarter"; None: as the boards it comes from say.
    sawn: str | None = None
    #: Green to ovendry [percent].
    radial_shrinkage: float | None = None
    tangential_shrinkage: float | None = None
    #: At 12 percent of moisture.
    specific_gravity: float | None = None


@dataclass(frozen=True, slots=True)
class StickStock:
    """A kind of stick the maker can buy or has; None is "any" or "as many as needed"."""

    length: float
    wood: str | None = None
    width: float | None = None
    thickness: float | None = None
    count: int | None = None
    price: float | None = None


@dataclass(frozen=True, slots=True)
class Board:
    """A board from which strips are sliced or ripped [mm]."""

    length: float
    width: float | None = None
    thickness: float | None = None
    wood: str | None = None
    from_: str = "edge"
    plane: float = 0.0
    count: int | None = None
    price: float | None = None
    per: str | None = None


@dataclass(frozen=True, slots=True)
class Offcut:
    """A leftover of an earlier job, used first [mm]."""

    length: float
    wood: str | None = None
    width: float | None = None
    count: int = 1


@dataclass(frozen=True, slots=True)
class Stock:
    """What is cut, and what each cut costs."""

    kerf: float = 3.175
    rip_kerf: float = 3.175
    end_trim: float = 12.7
    shared_cuts: str = "stick only"
    defects: float = 0.10  # the share of what is bought that is lost
    spares: float = 0.10  # of parts with six pieces or more
    spare_sticks: int = 1
    board_feet: str = "volume"  # or "surface measure"
    sticks: tuple[StickStock, ...] = ()
    boards: tuple[Board, ...] = ()
    offcuts: tuple[Offcut, ...] = ()


@dataclass(frozen=True, slots=True)
class Saw:
    """The mitre saw and how exact it is."""

    largest_mitre: float = 50.0
    holding: float = 152.4
    hand_distance: float = 152.4
    stop_side: str = "left"
    stop_reach: float = 1219.2
    length_error: float = 0.396875
    width_error: float = 0.1984375
    angle_error: float = 0.1
    angle_offset: float = 0.0
    angles: tuple[float, ...] = ()  # empty: any angle can be set


@dataclass(frozen=True, slots=True)
class Room:
    """The air the top was made in and will live in: moisture, or temperature and humidity."""

    dry: Mapping[str, float]
    humid: Mapping[str, float]
    made: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Glue:
    """How the pieces are stuck down; times in seconds, spread in g/m2."""

    open_time: float = 480.0
    pace: float = 30.0
    hold: str = "weights"
    spread: float = 180.0


@dataclass(frozen=True, slots=True)
class Pace:
    """How long the work takes: each time for one of its kind [s]."""

    stick: float = 240.0
    set_up: float = 600.0
    cut: float = 40.0
    by_hand: float = 480.0
    base: float = 2700.0
    member: float = 2700.0
    glue_up: float = 1200.0  # besides the laying of its pieces
    finish: float = 18000.0  # for a square metre
    glue_ups_a_day: int = 6


@dataclass(frozen=True, slots=True)
class Design:
    """One top, whole and checked."""

    name: str
    units: str  # "in" or "mm"
    tape: float  # the finest mark the maker reads [mm]
    opening: OpeningSize
    field: Field
    order: str = "let in"
    paper: str = "Letter"
    english: str = "US"
    both_units: bool = False
    print_scale: tuple[float, float] = (1.0, 1.0)
    author: str = ""
    revision: str = ""
    licence: str = ""
    frame: Frame | None = None
    base: Base | None = None
    strips: Strips = Strips()
    borders: tuple[Border, ...] = ()
    medallions: tuple[Medallion, ...] = ()
    #: Which wood stands for each tone the design names.
    tones: Mapping[str, str | MixedLot] = _default(default_factory=dict)
    woods: Mapping[str, WoodDetail] = _default(default_factory=dict)
    stock: Stock = Stock()
    saw: Saw = Saw()
    room: Room | None = None
    glue: Glue = Glue()
    pace: Pace = Pace()
    #: Where each key stands, "hall-table.toml, line 9, border.width", for later complaints.
    places: Mapping[str, str] = _default(default_factory=dict)
    #: Six letters from the design's contents, so that a card of an older plan is told apart.
    mark: str = ""

    def place(self, key: str) -> str:
        """Say where a key stands in the maker's file; the key alone when it was left out."""
        return self.places.get(key, key)

    def show(self, mm: float, *, up: bool = False) -> str:
        """Print a length [mm] to the maker's tape, in both units where the design asks for it."""
        print_length = show_both if self.both_units else show_length
        return print_length(mm, tape=self.tape, units=self.units, up=up)

    def show_plain(self, mm: float, *, up: bool = False) -> str:
        """Print a length [mm] to the maker's tape, in the design's own units alone."""
        return show_length(mm, tape=self.tape, units=self.units, up=up)
