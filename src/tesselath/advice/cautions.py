"""Cautions: what can hurt or spoil, on the row it belongs to and together at the end.

Comes in: parts, set-ups, the design. Goes out: notes, few words for a row or a card, whole
sentences for the list at the end. They are no safety system: the saw's manual, local rules and a
trained person come first, and the last note says so.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tesselath.advice.notes import Note
from tesselath.design import Design
from tesselath.measure import ALIKE, counted
from tesselath.parts import Part, numbers_of
from tesselath.saw import Rip, Setup
from tesselath.stock import NARROWEST_RIP, SHORTEST_RIP

__all__ = [
    "LAST_WORD",
    "caution_of_rip",
    "cautions_of_part",
    "cautions_of_plan",
    "cautions_of_setup",
    "note_cautions",
]

#: Whatever is said before it, this comes first.
LAST_WORD = "The saw's manual, local rules and a trained person come first."

#: Below this a piece needs a sled with a hold-down, or a hand saw [mm]; 2 in, common practice.
_SLED = 50.8

#: A slice thinner than this is sawn so that it falls on the far side of the blade [mm]; 3/4 in,
#: common practice.
_THIN_RIP = 19.05

#: Few words for the row or the card of a part, the most dangerous first.
_SHORT = {
    "tiny": "Very short: sled with a hold-down, or a hand saw.",
    "small": "Short: flip stop, hold-down, zero-clearance fence.",
    "steep": "Steeper than the saw swings: not at the mitre saw as it stands.",
    "notch": "A notch: band, scroll or coping saw, never the mitre saw.",
    "by hand": "Saw by hand and shoot; a loose piece never goes back to the power saw.",
    "made up": "Glue up or cut from a board; at the table saw the rip fence is never a stop.",
    "narrow": "Narrower than 3/8 in (10 mm): plane or knife it, do not rip it.",
    "ripped": "Rip the stick full length first; nothing short is ever ripped.",
}


def cautions_of_part(part: Part, *, design: Design) -> tuple[Note, ...]:
    """Say in a few words what to mind when a part is cut.

    Source: common practice; 4 to 6 in from the blade by mitre-saw manuals.

    Parameters
    ----------
    design : Design
        The design, for its saw.

    Returns
    -------
    tuple of Note
        One a danger, the worst first; none where the usual care is enough.
    """
    found = []
    if part.handling == "make up":
        found.append("made up")
    elif part.overall < _SLED - ALIKE:
        found.append("tiny")
    elif part.overall < design.saw.hand_distance - ALIKE:
        found.append("small")
    if any(cut.op == "notch" for cut in part.cuts):
        found.append("notch")
    elif part.too_steep:
        found.append("steep")
    elif part.handling == "mark and hand saw":
        found.append("by hand")
    if part.ripped:
        found.append("narrow" if part.width < NARROWEST_RIP - ALIKE else "ripped")
    return tuple(
        Note(f"caution-{key.replace(' ', '-')}", _SHORT[key], part.numbers)
        for key in _SHORT
        if key in found
    )


def cautions_of_setup(setup: Setup, *, parts: Sequence[Part], design: Design) -> tuple[Note, ...]:
    """Say in a few words what to mind at one setting of the saw.

    Source: as for `cautions_of_part`.

    Parameters
    ----------
    parts : sequence of Part
        All parts of the plan.
    design : Design
        The design, for its saw.

    Returns
    -------
    tuple of Note
        What `cautions_of_part` says of the parts it cuts, each once.
    """
    found: dict[tuple[str, str], list[int]] = {}
    for part in parts:
        if part.mark in setup.parts:
            for note in cautions_of_part(part, design=design):
                found.setdefault((note.code, note.text), []).extend(note.numbers)
    worst_first = list(_SHORT.values())
    return tuple(
        Note(code, text, tuple(sorted(numbers)))
        for (code, text), numbers in sorted(
            found.items(), key=lambda item: worst_first.index(item[0][1])
        )
    )


def caution_of_rip(rip: Rip) -> str:
    """Say in a few words what to mind when a strip is ripped."""
    if rip.width < NARROWEST_RIP - ALIKE:
        return _SHORT["narrow"]
    if rip.width < _THIN_RIP - ALIKE:
        return "Full length, riving knife; the thin strip on the far side of the blade, or pushed."
    return "Full length, riving knife, push blocks; nothing short is ever ripped."


def note_cautions(
    design: Design, *, parts: Sequence[Part], rips: Sequence[Rip]
) -> tuple[Note, ...]:
    """Note the usual cautions of a plan, one line a class.

    Returns
    -------
    tuple of Note
        The cautions; the last one defers to manual, rules and training.
    """
    show = design.show
    hand = design.saw.hand_distance
    at_saw = [p for p in parts if p.handling != "make up"]
    small = [p for p in at_saw if _SLED - ALIKE <= p.overall < hand - ALIKE]
    tiny = [p for p in at_saw if p.overall < _SLED - ALIKE]
    notes = []
    if small:
        notes.append(
            Note(
                "caution-small",
                f"{_pieces(small)} between {show(_SLED)} and {show(hand)} long: cut them from a "
                "long stick against a flip stop, with a hold-down and a zero-clearance fence, "
                "hands out of reach of the blade; let the blade stop before you lift.",
                numbers_of(small),
            )
        )
    if tiny:
        notes.append(
            Note(
                "caution-tiny",
                f"{_pieces(tiny)} under {show(_SLED)} long: a sled with a "
                "hold-down, or a hand saw.",
                numbers_of(tiny),
            )
        )
    if rips or design.stock.boards:
        notes.append(Note("caution-rip", _ripping(show)))
    if design.glue.hold in ("pins", "brads"):
        notes.append(Note("caution-pins", _pinning(design, show)))
    notes.append(
        Note(
            "caution-wood",
            "Spread oily rags flat out of doors or drown them in a lidded tin; "
            "look reclaimed wood over for nails and lead paint before it meets a blade.",
        )
    )
    notes.append(
        Note(
            "caution",
            f"Cut pieces from long sticks only and keep {show(design.saw.holding)} of "
            f"each stick in the clamp; hands stay {show(hand)} from the blade. Trim a loose piece "
            "with a shooting board, a sanding block or a hand saw, never at the saw. "
            f"Extract the dust and wear a mask. {LAST_WORD}",
        )
    )
    return tuple(notes)


def cautions_of_plan(
    design: Design, *, parts: Sequence[Part], rips: Sequence[Rip]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Gather all cautions of a plan in whole sentences, by where the work is done.

    Source: common practice; hardwood dust is a known carcinogen (IARC); rest from memory.

    Returns
    -------
    tuple of (str, tuple of str)
        A heading and its sentences; only what concerns this plan.
    """
    show = design.show
    saw, hand = design.saw, design.saw.hand_distance
    held = show(saw.holding)
    at_saw = [
        f"Hands stay {show(hand)} from the blade. Over that length a stick is held by hand; from "
        f"{show(_SLED)} to {show(hand)} with a stop, a hold-down and a zero-clearance fence; under "
        f"{show(_SLED)} on a sled with a hold-down, or cut by hand.",
        f"Hold the stick, never both sides of the cut, and keep {held} of it in the clamp: the "
        "tail is no piece.",
        "A short keeper caught between blade and stop is thrown: use a flip stop or a spacer and "
        "take it away before the cut. Let the blade stop before you lift. At a table saw the rip "
        "fence is never a stop.",
        "Cut both ends from the stick. A loose piece is trimmed on a shooting board, with a "
        "sanding block or a hand saw; it never goes back to the power saw.",
    ]
    if any(part.too_steep for part in parts):
        at_saw.append(
            "A cut steeper than the saw swings is marked out and sawn by hand, or made on a taper "
            "sled or band saw and planed; its complement with the piece square to the fence only "
            "clamped in a carrier, on a piece 12 in (305 mm) or longer."
        )
    if any(cut.op == "notch" for part in parts for cut in part.cuts):
        at_saw.append("Notches and hollow shapes: band, scroll or coping saw, never the mitre saw.")
    groups: list[tuple[str, list[str]]] = [("At the mitre saw", at_saw)]
    if rips or design.stock.boards:
        groups.append(
            (
                "Ripping and planing",
                [
                    _ripping(show),
                    f"A slice under {show(_THIN_RIP)} falls on the far side of the blade "
                    "(thin-rip jig), or is pushed with a block over the blade for its full cut; "
                    "resaw at the band saw. A planer takes nothing shorter than its manual says "
                    "(12 to 14 in, 300 to 350 mm); thin stock goes through on a carrier board.",
                ],
            )
        )
    gluing = [
        "Wet glue on one face cups a panel overnight: film and weights, both faces, in stages."
    ]
    if design.glue.hold in ("pins", "brads"):
        gluing.insert(0, _pinning(design, show))
    groups.append(("Gluing", gluing))
    groups.append(
        (
            "Dust, finish, old wood",
            [
                "Hardwood dust is a known carcinogen, and that of walnut, cedar and many exotics "
                "makes the skin over-sensitive: extract it at the tool, wear a mask, sand no more "
                "than you must.",
                "Rags with oil in them take fire by themselves: spread them flat out of doors or "
                "drown them in a lidded tin of water. Open the windows; wear gloves for epoxy and "
                "solvents.",
                "Reclaimed wood: a metal detector and a wire brush before the saw, a test for "
                "lead before old paint is sanded, and no pallet that is stamped as treated.",
                "Wear eye and hearing protection throughout.",
            ],
        )
    )
    return tuple((head, tuple(words)) for head, words in groups)


_Show = Callable[[float], str]


def _ripping(show: _Show) -> str:
    return (
        "Rip the stick or board full length, before crosscutting, with a riving knife and push "
        f"blocks; never rip a piece under {show(SHORTEST_RIP)}. Under {show(NARROWEST_RIP)} wide: "
        "plane or knife it."
    )


def _pinning(design: Design, show: _Show) -> str:
    what = "brad" if design.glue.hold == "brads" else "pin"
    return (
        f"Fingers {show(101.6)} from the nailer, for a {what} wanders along the grain; no {what} "
        f"within {show(19.05)} of a line still to be sawn, routed or planed, none in a piece "
        "shorter than twice its width; wear eye protection."
    )


def _pieces(parts: Sequence[Part]) -> str:
    return counted(sum(part.count for part in parts), "piece is", "pieces are")
