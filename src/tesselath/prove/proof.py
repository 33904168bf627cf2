"""Proof: what was tried of a pattern and what came of it, as values.

Comes in: nothing; ``prove`` builds these. Goes out: frozen values that the command line prints and
``draw.fault`` draws.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from tesselath.shape import Outline

__all__ = ["KINDS", "Cover", "Proof", "RepeatFigures", "TilingFault"]

#: What may be wrong, worst first.
KINDS = {
    "refused": "it cannot be laid",
    "crossed": "an outline crosses itself",
    "overlap": "strips lie on each other",
    "gap": "the strips of a repeat do not fill it",
    "bare": "something stays bare",
    "joint": "the gap between pieces is not kept",
}


@dataclass(frozen=True, slots=True)
class TilingFault:
    """One condition that fails, and where.

    ``kind`` is one of `KINDS`. ``place`` is the file, line and key that it hangs on. ``settings``
    are the sizes at which it was found first [mm, degrees or count], all of them; ``by_default``
    tells that they are the pattern's own. ``at`` is the middle of the worst place, in the
    pattern's axes, or in the opening's where ``opening`` says which [mm]. ``pieces`` name the
    pieces there. ``area`` is what overlaps or stays bare there [mm2], ``share`` the share of the
    whole that is wrong. ``found`` counts the sizes at which it was found; ``breaks`` names the
    sizes that bring it about alone.

    ``parts`` are the wrong places, ``between`` the pieces there and ``around`` their neighbours,
    for the drawing [mm].
    """

    kind: str
    text: str
    place: str = ""
    settings: tuple[tuple[str, float], ...] = ()
    by_default: bool = True
    at: tuple[float, float] | None = None
    pieces: tuple[str, ...] = ()
    area: float = 0.0
    share: float = 0.0
    opening: str = ""
    found: int = 1
    breaks: tuple[str, ...] = ()
    parts: tuple[Outline, ...] = field(default=(), repr=False)
    between: tuple[Outline, ...] = field(default=(), repr=False)
    around: tuple[Outline, ...] = field(default=(), repr=False)


@dataclass(frozen=True, slots=True)
class RepeatFigures:
    """One repeat at the default sizes: its steps [mm], its pieces [count], its area [mm2]."""

    steps: tuple[tuple[float, float], tuple[float, float]]
    pieces: int
    area: float


@dataclass(frozen=True, slots=True)
class Cover:
    """What a figure that stands alone covers at the default sizes.

    ``pieces`` [count]; ``area`` [mm2]; ``width`` and ``depth`` of its box [mm]; ``holes`` are
    the bare places within it [count], ``bare`` their area [mm2].
    """

    pieces: int
    area: float
    width: float
    depth: float
    holes: int
    bare: float


@dataclass(frozen=True, slots=True)
class Proof:
    """What came of trying a pattern.

    ``sizes_tried`` counts the settings, the default one among them; ``openings`` the openings
    laid and clipped; ``points`` those looked at one by one [count]. ``repeat`` is None where
    nothing repeats, ``cover`` where the pattern fills any opening. ``group`` and
    ``group_with_tones`` are short names of wallpaper groups, None where nothing repeats.
    ``notes`` are sentences on what was found beside.
    """

    name: str
    title: str
    stands_alone: bool
    sizes_tried: int
    openings: int
    points: int
    faults: tuple[TilingFault, ...]
    repeat: RepeatFigures | None = None
    cover: Cover | None = None
    group: str | None = None
    group_with_tones: str | None = None
    notes: tuple[str, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether nothing is wrong: it tiles, or stands alone without an overlap."""
        return not self.faults

    @property
    def tiles(self) -> bool:
        """Whether it fills any opening without gap or overlap."""
        return self.holds and not self.stands_alone
