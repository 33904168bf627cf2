"""The zones of a design file: their patterns found, their sizes and tones checked.

Comes in: a design's models. Goes out: what fills each zone, the wood of each tone, and what is
wrong. Refuses: nothing itself; complaints go out as data.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from tesselath.design.design import Filling, MixedLot
from tesselath.design.design_faults import Complaint
from tesselath.design.design_models import BorderModel, DesignModel, FieldModel, MedallionModel
from tesselath.errors import Fault, PatternError
from tesselath.measure import british, nearest
from tesselath.pattern import check_settings, find_pattern

__all__ = ["Zones", "fill_zones"]

_ZoneModel = FieldModel | BorderModel | MedallionModel


@dataclass(frozen=True, slots=True)
class Zones:
    """What fills a design's zones, and what is wrong with it."""

    #: By zone: "field", "border.1", "medallion.1" and so on.
    fillings: Mapping[str, Filling]
    #: The wood of each tone, by the pattern's own spelling of it.
    tones: Mapping[str, str | MixedLot]
    complaints: tuple[Complaint, ...]
    #: Faults within pattern files, which have their own places.
    faults: tuple[Fault, ...]


def fill_zones(model: DesignModel, *, beside: Path | None, faulty: Collection[str]) -> Zones:
    """Find the pattern of each zone and check what the design sets of it."""
    models: dict[str, _ZoneModel] = {"field": model.field}
    models |= {f"border.{n}": border for n, border in enumerate(model.border, 1) if border.pattern}
    models |= {f"medallion.{n}": figure for n, figure in enumerate(model.medallion, 1)}
    fillings: dict[str, Filling] = {}
    complaints: list[Complaint] = []
    faults: list[Fault] = []
    for zone, filled in models.items():
        if {zone, f"{zone}.pattern"} & set(faulty):
            continue
        try:
            fillings[zone], wrong = _fill(zone, filled, beside=beside)
            complaints += wrong
        except PatternError as error:
            for fault in error.faults:
                if not fault.place:
                    complaints.append(Complaint(f"{zone}.pattern", fault.rule, fault.remedy))
                elif fault not in faults:
                    faults.append(fault)
    # Tones can only be told once every pattern is known.
    whole = len(fillings) == len(models)
    tones, wrong = _name_tones(model.tones, fillings.values()) if whole else ({}, [])
    return Zones(fillings, tones, (*complaints, *wrong), tuple(faults))


def _fill(zone: str, model: _ZoneModel, *, beside: Path | None) -> tuple[Filling, list[Complaint]]:
    """Find a zone's pattern and check its sizes."""
    pattern = find_pattern(model.pattern or "", beside=beside)
    settings, wrong = check_settings(pattern, model.set)
    complaints = [
        Complaint(
            f"{zone}.set.{fault.key}",
            # The measure's own message quotes what was written; once is enough.
            fault.rule.removeprefix(f'"{fault.wrote}". '),
            _misplaced(zone, fault.key, model) or fault.remedy,
            fault.wrote,
        )
        for fault in wrong
    ]
    filling = Filling(
        pattern=pattern,
        settings=MappingProxyType(settings),
        angle=model.angle,
        shift=model.shift,
    )
    return filling, complaints


def _misplaced(zone: str, key: str, model: _ZoneModel) -> str:
    """Say where a key belongs that is none of the pattern's but of the zone itself."""
    known = list(type(model).keys())
    if zone == "field" and british(key) in known:
        return f"{key} belongs to [field]: put it above [field.set]."
    return ""


def _name_tones(
    written: Mapping[str, str | MixedLot], fillings: Iterable[Filling]
) -> tuple[dict[str, str | MixedLot], list[Complaint]]:
    """Find the tone that each entry of [tones] means."""
    known: dict[str, str] = {}
    patterns: dict[str, None] = {}
    for filling in fillings:
        patterns[filling.pattern.name] = None
        for tone in filling.pattern.tones or ("plain",):
            known.setdefault(british(tone.lower()), tone)
    tones: dict[str, str | MixedLot] = {}
    complaints: list[Complaint] = []
    for key, wood in written.items():
        plain = british(key.lower())
        if plain not in known:
            near = nearest(plain, known)
            listed = ", ".join(sorted(known.values()))
            rule = f"{' and '.join(patterns)} has no tone of this name; there is {listed}."
            remedy = f"Did you mean {known[near]}?" if near else ""
            complaints.append(Complaint(f"tones.{key}", rule, remedy, key))
            continue
        tone = known[plain]
        if tone in tones:
            rule = f"The tone {tone} has a wood already."
            complaints.append(Complaint(f"tones.{key}", rule, "Keep one of the two.", key))
        else:
            tones[tone] = wood
    return tones, complaints
