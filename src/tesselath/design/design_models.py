"""The design file's tables as pydantic models: every key, its kind, its limits, its default.

Comes in: the tables as the TOML reader found them, and the file's units as context. Goes out:
models with mm, degrees, shares and seconds, defaults filled in by units. Refuses: unknown keys and
values of the wrong kind or outside their limits, all at once; what depends on several keys together
is checked in ``design_checks``.

A default is written here once, as a maker would write it; the starter and the JSON schema
print the same text.
"""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field, ValidationInfo, model_validator

from tesselath.design import design_kinds as kinds, design_words as words
from tesselath.design.design import MixedLot

__all__ = [
    "MEASURED_KEYS",
    "AirModel",
    "BoardModel",
    "BorderModel",
    "DesignModel",
    "FieldModel",
    "FrameModel",
    "GlueModel",
    "MedallionModel",
    "OffcutModel",
    "OpeningModel",
    "PaceModel",
    "RoomModel",
    "SawModel",
    "SheetModel",
    "StickModel",
    "StockModel",
    "StripsModel",
    "Table",
    "WoodModel",
]

#: The sides and diagonals of an opening as measured, in the order of the design file.
MEASURED_KEYS = (
    "front",
    "right",
    "back",
    "left",
    "front_left_to_back_right",
    "front_right_to_back_left",
)

_Wood = Annotated[str | None, words.named("A wood")]
_Width = Annotated[float | None, kinds.length("A strip", above=0, most=500, than="wider")]
_Thick = Annotated[float | None, kinds.length("A thickness", above=0, most=300)]
_Price = Annotated[float | None, kinds.number("A price", least=0, most=1_000_000)]
_Per = Annotated[str | None, words.choice("board foot", "foot", "metre", "cubic metre", "stick")]
_Pieces = Annotated[int | None, kinds.count("A count", least=1, most=100_000)]
_Set = dict[str, Annotated[str | int | float, words.scalar("A size")]]
_Time = Annotated[float, kinds.duration("A pace", least=0, most=864_000)]
_Side = Annotated[float | None, kinds.length("A side", above=0)]


class Table(BaseModel):
    """A table of the design file: unknown keys are refused, defaults follow the units."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    @model_validator(mode="before")
    @classmethod
    def _complete(cls, written: Any, info: ValidationInfo) -> Any:
        """Give the keys left out their default."""
        if not isinstance(written, dict):
            return written
        units = (info.context or {}).get("units", "in")
        filled: dict[str, Any] = dict(written)
        for key, name in cls.keys().items():
            told = cls.model_fields[name].json_schema_extra
            if key not in filled and isinstance(told, dict) and "default" in told:
                filled[key] = told["default_mm" if units == "mm" else "default"]
        return filled

    @classmethod
    def keys(cls) -> dict[str, str]:
        """List the keys as written in a file, each with its field's name."""
        return {field.alias or name: name for name, field in cls.model_fields.items()}


class OpeningModel(Table):
    """The clear area inside the frame."""

    width: Annotated[float | None, kinds.length("An opening's width", above=0)] = Field(
        None, description="left to right"
    )
    depth: Annotated[float | None, kinds.length("An opening's depth", above=0)] = Field(
        None, description="front to back"
    )
    overall: Annotated[tuple[float, float] | None, kinds.pair("An overall size")] = Field(
        None, description="width and depth over the frame, instead of the opening's"
    )
    clearance: Annotated[float, kinds.length("A clearance", least=0, most=100)] = kinds.default(
        "1/32", "0.8", description="left free along the frame"
    )
    front: _Side = None
    right: _Side = None
    back: _Side = None
    left: _Side = None
    front_left_to_back_right: _Side = None
    front_right_to_back_left: _Side = None
    axis: Annotated[str, words.choice("centre line", "front edge")] = kinds.default("centre line")
    points: list[Annotated[tuple[float, float], kinds.point()]] | None = Field(
        None, description="any outline, by its corners from the centre"
    )
    corner_radius: Annotated[float, kinds.length("A corner's radius", least=0)] = kinds.default("0")
    corner_clip: Annotated[float, kinds.length("A clipped corner", least=0)] = kinds.default("0")
    oval: Annotated[bool, words.flag()] = kinds.default(False)


class FrameModel(Table):
    """The frame round the opening."""

    width: Annotated[float, kinds.length("A frame", above=0, most=1000, than="wider")] = Field(
        examples=["2 1/2 in"]
    )
    thickness: _Thick = None
    corner: Annotated[str, words.choice("mitre", "butt")] = kinds.default("mitre")
    sits: Annotated[str, words.choice("round the base", "on the base")] = kinds.default(
        "round the base"
    )
    recess: Annotated[float | None, kinds.length("A recess", above=0, most=300)] = Field(
        None, description="from the frame's top face down to the base"
    )
    lap: Annotated[float, kinds.length("A lap", least=0, most=300)] = kinds.default(
        "1/4 in", description='how far the frame covers the field, for order "lap"'
    )
    wood: _Wood = None
    joint: Annotated[str, words.choice("none", "spline", "key", "loose tenon")] = kinds.default(
        "none", description="what holds the frame's corners besides glue"
    )
    joint_allowance: Annotated[float, kinds.length("A joint", above=0, most=300)] = kinds.default(
        "1/2", "12", description="how far a spline, key or loose tenon reaches into each member"
    )


class SheetModel(Table):
    """The sheet under the strips."""

    thickness: _Thick = Field(None, description="actual, not nominal")
    sheet: Annotated[tuple[float, float] | None, kinds.pair("A sheet's size")] = None
    clearance: Annotated[float, kinds.length("A clearance", least=0, most=100)] = kinds.default(
        "1/16 in", description="left between base and frame"
    )


class StripsModel(Table):
    """The strips as they are."""

    width: _Width = Field(None, description="actual; left out, each pattern's own")
    thickness: Annotated[float, kinds.length("A strip's thickness", above=0, most=300)] = (
        kinds.default("1/4 in")
    )
    gap: Annotated[float, kinds.length("A gap", least=0, most=25)] = kinds.default("0")
    faces: Annotated[str, words.choice("both", "one")] = kinds.default(
        "both", description='"one": pieces must not be rolled face down'
    )
    overlength: Annotated[float | None, kinds.length("An overlength", least=0, most=300)] = Field(
        None, description='left on edge pieces; 1/2 in when order is "trim", else 0'
    )
    kind: Annotated[str, words.choice("strips on plywood", "solid slab")] = kinds.default(
        "strips on plywood"
    )
    measured: (
        list[Annotated[float, kinds.length("A strip", above=0, most=500, than="wider")]] | None
    ) = None


class BorderModel(Table):
    """A strip band round the field."""

    width: Annotated[
        float,
        kinds.length(
            "A border",
            above=0,
            most=2000,
            than="wider",
            remedy="Leave the table out for no border.",
        ),
    ] = Field(examples=["1 1/2 in"])
    corner: Annotated[
        str,
        words.choice("mitre", "pinwheel", "long through", "short through", "turn about", "square"),
    ] = kinds.default("mitre")
    wood: _Wood = None
    pattern: Annotated[str | None, words.text("A pattern")] = None
    set: _Set = {}
    angle: Annotated[float, kinds.angle("An angle", least=-360, most=360)] = kinds.default("0 deg")
    shift: Annotated[tuple[float, float], kinds.point()] = kinds.default(["0", "0"])


class FieldModel(Table):
    """The patterned area inside the borders."""

    pattern: Annotated[str, words.text("A pattern")] = Field(
        description="a pattern's name, or a path to a file of your own", examples=["herringbone"]
    )
    set: _Set = Field({}, description="the pattern's sizes, by name or by label")
    angle: Annotated[float, kinds.angle("An angle", least=-360, most=360)] = kinds.default("45 deg")
    shift: Annotated[tuple[float, float] | str, kinds.point(or_word="best")] = kinds.default(
        ["0", "0"]
    )
    mirror: Annotated[
        str, words.choice("none", "left-right", "front-back", "four ways", "quarters turned")
    ] = kinds.default("none")
    centre: Annotated[str, words.choice("cut", "run through")] = kinds.default(
        "cut", description="pieces across a mirror line"
    )


class MedallionModel(Table):
    """A figure let into the field."""

    points: list[Annotated[tuple[float, float], kinds.point()]] = Field(
        examples=['[["8 in", 0], [0, "6 in"], ["-8 in", 0], [0, "-6 in"]]']
    )
    pattern: Annotated[str, words.text("A pattern")] = Field(examples=["rings"])
    angle: Annotated[float, kinds.angle("An angle", least=-360, most=360)] = kinds.default("0 deg")
    shift: Annotated[tuple[float, float], kinds.point()] = kinds.default(["0", "0"])
    set: _Set = {}


class WoodModel(Table):
    """What is known of a wood beyond its name."""

    species: Annotated[str | None, words.text("A species")] = None
    colour: Annotated[str | None, words.colour()] = None
    price: _Price = None
    per: _Per = None
    sawn: Annotated[str | None, words.choice("flat", "quarter")] = Field(
        None, description="how its strips are sawn"
    )
    radial_shrinkage: Annotated[float | None, kinds.per_cent("A shrinkage", most=25)] = Field(
        None, description="green to ovendry, of a wood that is not built in"
    )
    tangential_shrinkage: Annotated[float | None, kinds.per_cent("A shrinkage", most=25)] = None
    specific_gravity: Annotated[float | None, kinds.number("A gravity", least=0.05, most=1.5)] = (
        Field(None, description="at 12 % moisture")
    )


class StickModel(Table):
    """A kind of stick that can be bought or is at hand."""

    wood: _Wood = Field(None, description="left out: any")
    width: _Width = None
    thickness: _Thick = None
    length: Annotated[float, kinds.length("A stick", above=0)] = Field(examples=["96 in"])
    count: _Pieces = Field(None, description="left out: as many as needed")
    price: _Price = None


class BoardModel(Table):
    """A board from which strips are sliced or ripped."""

    wood: _Wood = None
    width: Annotated[float | None, kinds.length("A board", above=0, most=2000, than="wider")] = None
    thickness: _Thick = None
    length: Annotated[float, kinds.length("A board", above=0)] = Field(examples=["96 in"])
    from_: Annotated[str, words.choice("edge", "face")] = kinds.default(
        "edge", alias="from", description="strips sliced off the edge, or ripped flat"
    )
    plane: Annotated[float, kinds.length("What is planed off", least=0, most=50)] = kinds.default(
        "0"
    )
    count: _Pieces = None
    price: _Price = None
    per: _Per = None


class OffcutModel(Table):
    """A leftover of an earlier job."""

    wood: _Wood = None
    width: _Width = None
    length: Annotated[float, kinds.length("An offcut", above=0)] = Field(examples=["31 in"])
    count: Annotated[int, kinds.count("A count", least=1, most=100_000)] = kinds.default(1)


class StockModel(Table):
    """What is cut, and what each cut costs."""

    kerf: Annotated[float, kinds.length("A kerf", least=0, most=25)] = kinds.default("1/8", "3.2")
    rip_kerf: Annotated[float, kinds.length("A kerf", least=0, most=25)] = kinds.default(
        "1/8", "3.2"
    )
    end_trim: Annotated[float, kinds.length("An end trim", least=0, most=1000)] = kinds.default(
        "1/2", "12", description="once, at the stop end"
    )
    shared_cuts: Annotated[str, words.choice("stick only", "safe", "tight")] = kinds.default(
        "stick only"
    )
    defects: Annotated[float, kinds.share("The share lost to defects", most=0.9)] = kinds.default(
        "10 %", description="share of what is bought that is lost"
    )
    spares: Annotated[float, kinds.share("The share of spares", most=1)] = kinds.default(
        "10 %", description="of parts with six pieces or more"
    )
    spare_sticks: Annotated[int, kinds.count("A count of spare sticks", least=0, most=1000)] = (
        kinds.default(1)
    )
    board_feet: Annotated[str, words.choice("volume", "surface measure")] = kinds.default(
        "volume", description="the rule they are counted by"
    )
    stick: list[StickModel] = []
    board: list[BoardModel] = []
    offcut: list[OffcutModel] = []


class SawModel(Table):
    """The mitre saw and how exact it is."""

    largest_mitre: Annotated[float, kinds.angle("A saw's largest mitre", least=0, most=80)] = (
        kinds.default("50 deg")
    )
    holding: Annotated[float, kinds.length("A length to hold", least=0, most=1000)] = kinds.default(
        "6 in", "150 mm", description="least length that must stay in the hand or clamp"
    )
    hand_distance: Annotated[float, kinds.length("A hand's distance", least=0, most=1000)] = (
        kinds.default("6 in", "150 mm")
    )
    stop_side: Annotated[str, words.choice("left", "right")] = kinds.default("left")
    stop_reach: Annotated[float, kinds.length("A stop's reach", above=0, most=10_000)] = (
        kinds.default("48 in")
    )
    length_error: Annotated[float, kinds.length("An error", least=0, most=10)] = kinds.default(
        "1/64 in", description="of one cut"
    )
    width_error: Annotated[float, kinds.length("An error", least=0, most=10)] = kinds.default(
        "1/128 in"
    )
    angle_error: Annotated[float, kinds.angle("An error", least=0, most=10)] = kinds.default(
        "0.1 deg"
    )
    angle_offset: Annotated[float, kinds.angle("An offset", least=-10, most=10)] = kinds.default(
        "0 deg",
        description="what the saw cuts where its scale reads 0; to the left positive",
    )
    angles: list[Annotated[float, kinds.angle("A saw's angle", least=0, most=80)]] = Field(
        [], description="only these can be set; left out: any"
    )


class AirModel(Table):
    """The air of a room: moisture of the wood, or temperature and humidity."""

    moisture: Annotated[float | None, kinds.per_cent("Moisture", most=30)] = None
    temperature: Annotated[float | None, kinds.temperature("A temperature", least=-20, most=60)] = (
        None
    )
    humidity: Annotated[float | None, kinds.per_cent("Humidity", most=99)] = None


class RoomModel(Table):
    """The air the top was made in and will live in."""

    dry: AirModel = kinds.default({"temperature": "21 C", "humidity": 30})
    humid: AirModel = kinds.default({"temperature": "24 C", "humidity": 65})
    made: AirModel = kinds.default({"moisture": 8})


class GlueModel(Table):
    """How the pieces are stuck down."""

    open_time: Annotated[float, kinds.duration("An open time", least=10, most=86_400)] = (
        kinds.default("8 min")
    )
    pace: Annotated[float, kinds.duration("A pace", least=1, most=3600)] = kinds.default(
        "30 s", description="from piece to piece"
    )
    hold: Annotated[str, words.choice("weights", "pins", "brads", "tape", "vacuum")] = (
        kinds.default("weights")
    )
    spread: Annotated[float, kinds.number("A glue spread", least=10, most=2000)] = kinds.default(
        180, description="g/m2"
    )


class PaceModel(Table):
    """How long the work takes, each time for one of its kind."""

    stick: _Time = kinds.default("4 min", description="trimmed, marked and carried")
    set_up: _Time = kinds.default("10 min", description="a setting of the saw, tested")
    cut: _Time = kinds.default("40 s")
    by_hand: _Time = kinds.default("8 min", description="a piece marked, sawn by hand and shot")
    base: _Time = kinds.default("45 min", description="the base, and each join of it")
    member: _Time = kinds.default("45 min", description="a member of the frame")
    glue_up: _Time = kinds.default("20 min", description="besides the laying of its pieces")
    finish: _Time = kinds.default("5 h", description="levelling and finish of a square metre")
    glue_ups_a_day: Annotated[int, kinds.count("Glue-ups a day", least=1, most=100)] = (
        kinds.default(6)
    )


class DesignModel(Table):
    """A tesselath design."""

    name: Annotated[str | None, words.text("A name", longest=80)] = None
    units: Annotated[
        str,
        words.choice(
            "in", "mm", also={"inch": "in", "inches": "in", '"': "in", "millimetres": "mm"}
        ),
    ] = kinds.default("in")
    tape: Annotated[float, kinds.tape()] = kinds.default(
        "1/32 in", "0.5 mm", description="its finest mark"
    )
    paper: Annotated[str, words.choice("Letter", "A4")] = kinds.default("Letter", "A4")
    order: Annotated[str, words.choice("let in", "trim", "lap")] = kinds.default("let in")
    english: Annotated[str, words.choice("US", "UK")] = kinds.default("US", "UK")
    both_units: Annotated[bool, words.flag()] = kinds.default(False)
    print_scale: Annotated[tuple[float, float], kinds.print_scale()] = kinds.default(
        [1.0, 1.0], description="correction for a printer that is off, across and along"
    )
    author: Annotated[str, words.text("An author", empty=True)] = kinds.default("")
    revision: Annotated[str, words.text("A revision", empty=True)] = kinds.default("")
    licence: Annotated[str, words.text("A licence", empty=True)] = kinds.default("")
    format: Annotated[int, kinds.count("The format of a design file", least=1, most=1)] = (
        kinds.default(1)
    )
    opening: OpeningModel = Field(examples=['width = "54"'])
    frame: FrameModel | None = None
    base: SheetModel | None = None
    strips: StripsModel = kinds.default({})
    border: list[BorderModel] = Field([], description="outermost first")
    field: FieldModel = Field(examples=['pattern = "herringbone"'])
    medallion: list[MedallionModel] = []
    tones: dict[str, Annotated[str | MixedLot, words.wood_or_lot()]] = Field(
        {}, description="which wood for each tone of the pattern"
    )
    woods: dict[str, WoodModel] = Field({}, description="detail; well-known woods are built in")
    stock: StockModel = kinds.default({})
    saw: SawModel = kinds.default({})
    room: RoomModel = kinds.default({})
    glue: GlueModel = kinds.default({})
    pace: PaceModel = kinds.default({})
