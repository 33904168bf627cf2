"""From the checked models to the frozen values: the last step of reading a design.

Comes in: models without a fault, and the patterns of the zones. Goes out: a ``Design``. Past this
module nothing knows pydantic.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from statistics import fmean
from types import MappingProxyType
from typing import Any

from tesselath.design.design import (
    Base,
    Board,
    Border,
    Design,
    Field,
    Filling,
    Frame,
    Glue,
    Medallion,
    MixedLot,
    Offcut,
    OpeningSize,
    Pace,
    Room,
    Saw,
    StickStock,
    Stock,
    Strips,
    WoodDetail,
)
from tesselath.design.design_checks import opening_size
from tesselath.design.design_models import MEASURED_KEYS, AirModel, DesignModel, Table
from tesselath.measure import ALIKE

__all__ = ["build_design"]

#: What is left on edge pieces that are trimmed after gluing, by units [mm].
_OVERLENGTH = {"in": 12.7, "mm": 12.0}


def build_design(
    model: DesignModel,
    *,
    fillings: Mapping[str, Filling],
    tones: Mapping[str, str | MixedLot],
    places: Mapping[str, str],
    name: str,
) -> Design:
    """Make the frozen design."""
    stock, room = model.stock, model.room
    one = _one_spelling(model, tones)
    return Design(
        name=name,
        units=model.units,
        tape=model.tape,
        opening=_build_opening(model),
        field=Field(
            filling=fillings["field"], mirror=model.field.mirror, centre=model.field.centre
        ),
        order=model.order,
        paper=model.paper,
        english=model.english,
        both_units=model.both_units,
        print_scale=model.print_scale,
        author=model.author,
        revision=model.revision,
        licence=model.licence,
        frame=None if model.frame is None else Frame(**_entries(model.frame, one)),
        base=None if model.base is None else Base(**_entries(model.base)),
        strips=_build_strips(model),
        borders=tuple(
            Border(
                border.width, border.corner, _called(border.wood, one), fillings.get(f"border.{n}")
            )
            for n, border in enumerate(model.border, 1)
        ),
        medallions=tuple(
            Medallion(tuple(medallion.points), fillings[f"medallion.{number}"])
            for number, medallion in enumerate(model.medallion, 1)
        ),
        tones=MappingProxyType({tone: _stands_for(wood, one) for tone, wood in tones.items()}),
        woods=MappingProxyType(
            {
                called: WoodDetail(called, **_entries(wood))
                for called, wood in ((_called(n, one) or n, w) for n, w in model.woods.items())
            }
        ),
        stock=Stock(
            **_entries(stock, without=("stick", "board", "offcut")),
            sticks=tuple(
                StickStock(**{**_entries(s, one), "width": _as_measured(model, s.width)})
                for s in stock.stick
            ),
            boards=tuple(Board(**_entries(board, one)) for board in stock.board),
            offcuts=tuple(
                Offcut(**{**_entries(o, one), "width": _as_measured(model, o.width)})
                for o in stock.offcut
            ),
        ),
        saw=Saw(**_entries(model.saw, without=("angles",)), angles=_in_order(model.saw.angles)),
        room=Room(*(_build_air(air) for air in (room.dry, room.humid, room.made))),
        glue=Glue(**_entries(model.glue)),
        pace=Pace(**_entries(model.pace)),
        places=MappingProxyType(dict(places)),
    )


def _build_opening(model: DesignModel) -> OpeningSize:
    opening = model.opening
    measured = {key: getattr(opening, key) for key in MEASURED_KEYS}
    drawn = not opening.points and opening.front is None
    width, depth = opening_size(model) if drawn else (None, None)
    return OpeningSize(
        clearance=opening.clearance,
        width=width,
        depth=depth,
        points=tuple(opening.points or ()),
        measured=MappingProxyType({key: mm for key, mm in measured.items() if mm is not None}),
        axis=opening.axis,
        corner_radius=opening.corner_radius,
        corner_clip=opening.corner_clip,
        oval=opening.oval,
    )


def _build_strips(model: DesignModel) -> Strips:
    strips = model.strips
    overlength = strips.overlength
    if overlength is None:
        overlength = _OVERLENGTH[model.units] if model.order == "trim" else 0.0
    measured = tuple(strips.measured or ())
    return Strips(
        **_entries(strips, without=("width", "overlength", "measured")),
        width=fmean(measured) if measured else strips.width,
        overlength=overlength,
        measured=measured,
        named=strips.width if measured else None,
    )


def _as_measured(model: DesignModel, width: float | None) -> float | None:
    """The width of a listed stick: one of those that were measured has their mean."""
    measured, named = model.strips.measured, model.strips.width
    if not measured or width is None:
        return width
    near = [*measured, *([named] if named is not None else [])]
    return fmean(measured) if min(near) - ALIKE <= width <= max(near) + ALIKE else width


def _build_air(air: AirModel) -> Mapping[str, float]:
    return MappingProxyType(
        {key: value for key, value in _entries(air).items() if value is not None}
    )


def _in_order(angles: list[float]) -> tuple[float, ...]:
    return tuple(sorted(dict.fromkeys(angles)))


def _one_spelling(model: DesignModel, tones: Mapping[str, str | MixedLot]) -> dict[str, str]:
    """Give each wood one spelling, the first: Walnut and walnut are one wood."""
    named: list[str] = []
    for wood in tones.values():
        named += [wood] if isinstance(wood, str) else wood.woods
    named += model.woods
    stock = model.stock
    tables: list[Any] = [*model.border, *stock.stick, *stock.board, *stock.offcut]
    named += [table.wood for table in (model.frame, *tables) if table and table.wood]
    one: dict[str, str] = {}
    for name in named:
        one.setdefault(" ".join(name.casefold().split()), name)
    return one


def _called(wood: str | None, one: Mapping[str, str]) -> str | None:
    return None if wood is None else one[" ".join(wood.casefold().split())]


def _stands_for(wood: str | MixedLot, one: Mapping[str, str]) -> str | MixedLot:
    if isinstance(wood, str):
        return _called(wood, one) or wood
    return replace(wood, woods=tuple(_called(name, one) or name for name in wood.woods))


def _entries(
    table: Table, one: Mapping[str, str] | None = None, *, without: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Give a table's values by the names the frozen value has as well; woods in one spelling."""
    found = {name: getattr(table, name) for name in type(table).model_fields if name not in without}
    return found if one is None else {**found, "wood": _called(found["wood"], one)}
