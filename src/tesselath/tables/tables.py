"""The tables for the bench, as CSV.

Comes in: a plan. Goes out: the text of parts.csv, pieces.csv, setups.csv, sticks.csv and
shopping.csv, with lengths to the maker's tape.

Every mitre stands twice: from square (0 is a square cut), and as a saw reads that calls square 90.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from tesselath.advice import Note, caution_of_rip, cautions_of_part, cautions_of_setup
from tesselath.measure import ALIKE, ANGLE_ALIKE, show_angle, show_number, show_numbers
from tesselath.parts import stage_of
from tesselath.plan import Plan
from tesselath.saw import MarkOut, Rip

__all__ = [
    "count_pieces",
    "show_counted",
    "write_csv",
    "write_parts",
    "write_pieces",
    "write_setups",
    "write_shopping",
    "write_sticks",
]


def write_parts(plan: Plan) -> str:
    """Write the cut list: one row a part.

    Source: RFC 4180.
    """
    head = [
        "mark",
        "count",
        "spares",
        "wood",
        "strip",
        "width",
        "edge",
        "overall",
        "long point",
        "short point",
        "left mitre",
        "left on a 90 scale",
        "left swing",
        "right mitre",
        "right on a 90 scale",
        "right swing",
        "handling",
        "stop",
        "mirror twin",
        "pieces",
        "cut already",
        "caution",
    ]
    show = _Printer(plan)
    cut: dict[str, list[int]] = {}
    for piece in plan.pieces:
        if piece.cut:
            cut.setdefault(piece.part, []).append(piece.number)
    done = set() if plan.refit is None else {part.mark for part in plan.refit.done}
    rows = [
        [
            p.mark,
            *((0, 0) if p.mark in done else (p.count, p.spares)),
            p.wood,
            show(p.strip_width),
            show(p.width),
            show(p.edge, up=p.fitted),
            show(p.overall, up=p.fitted),
            show(p.long_point, up=p.fitted),
            show(p.short_point, up=p.fitted),
            *_mitre(p.mitres[0], p.swings[0]),
            *_mitre(p.mitres[1], p.swings[1]),
            p.handling,
            p.stop_side,
            p.handed_pair or "",
            "" if p.mark in done else show_numbers(p.numbers),
            show_numbers(cut.get(p.mark, [])),
            _said(cautions_of_part(p, design=plan.design)),
        ]
        for p in plan.all_parts
    ]
    return write_csv(head, rows)


def write_pieces(plan: Plan) -> str:
    """Write one row a piece; see `write_parts`."""
    head = [
        "piece",
        "part",
        "zone",
        "wood",
        "tone",
        "row",
        "glue-up",
        "overall",
        "edge",
        "width",
        "grain",
        "centre across",
        "centre away",
        "stage",
    ]
    show = _Printer(plan)
    stage = stage_of(plan.stages)
    fitted = {part.mark: part.fitted for part in plan.all_parts}
    rows = []
    for p in plan.pieces:
        x, y = p.outline.mean(axis=0)
        up = fitted[p.part]
        rows.append(
            [
                p.number,
                p.part,
                p.zone,
                p.wood,
                p.tone,
                p.row,
                p.glue_up,
                show(p.overall, up=up),
                show(p.edge, up=up),
                show(p.width),
                show_angle(p.grain),
                show(float(x)),
                show(float(y)),
                stage.get(p.number, "cut"),
            ]
        )
    return write_csv(head, rows)


def write_setups(plan: Plan) -> str:
    """Write the saw's settings in the order to cut; see `write_parts`.

    Three tables in one: what is ripped first, what the mitre saw cuts, and what is marked and
    sawn by hand, with the run of each cut over the width of the piece. Set-ups have the numbers
    that they have on the cards and in plan.pdf.
    """
    head = [
        "step",
        "table",
        "set-up",
        "mitre",
        "on a 90 scale",
        "swing",
        "stop or fence",
        "stop side",
        "handling",
        "end at the stop",
        "stick width",
        "parts",
        "count",
        "sticks",
        "mark out",
        "scale reads",
        "scale at the stop end",
        "caution",
    ]
    show = _Printer(plan)
    by_mark = {part.mark: part for part in plan.parts}
    rows: list[list[object]] = [
        [
            "rip",
            "",
            "",
            "",
            "",
            show(r.width),
            "",
            _ripping(r, show),
            "",
            show(r.source_width),
            " ".join(r.parts),
            r.count,
            " ".join(r.sticks),
            "",
            "",
            "",
            caution_of_rip(r),
        ]
        for r in plan.rips
    ]
    for number, s in enumerate(plan.setups, 1):
        by_hand = s.handling == "mark and hand saw"
        up = all(by_mark[mark].fitted for mark in s.parts)
        marks = [m for m in plan.mark_outs if m.part in s.parts]
        steep = any(m.steep for m in marks)
        table = "mitre saw"
        if by_hand:
            table = "not at the mitre saw as it stands" if steep else "mark and hand saw"
        stopped = (
            "square" if s.end_swing == "square" else f"{show_angle(s.end_mitre)} {s.end_swing}"
        )
        rows.append(
            [
                table,
                number,
                *_mitre(s.mitre, s.swing),
                show(s.stop, up=up),
                s.stop_side,
                s.handling,
                stopped,
                show(s.strip_width),
                " ".join(s.parts),
                s.count,
                " ".join(s.sticks),
                "; ".join(_mark_out(m, show) for m in marks) if by_hand else "",
                str(s.scale),
                str(s.end_scale),
                _said(cautions_of_setup(s, parts=plan.parts, design=plan.design)),
            ]
        )
    return write_csv(head, [[n, *row] for n, row in enumerate(rows, 1)])


def write_sticks(plan: Plan) -> str:
    """Write what to cut from each stick, in order, and at which set-ups; see `write_parts`."""
    head = ["stick", "wood", "strip", "rip to", "length", "cut", "set-ups", "used", "left over"]
    show = _Printer(plan)
    at = {mark: n for n, setup in enumerate(plan.setups, 1) for mark in setup.parts}
    rows = [
        [
            s.name,
            s.wood,
            show(s.strip_width),
            show(s.width) if s.width < s.strip_width - ALIKE else "",
            show(s.length),
            show_counted(s.pieces),
            " ".join(map(str, sorted({at[mark] for mark in s.pieces}))),
            show(s.used, up=True),
            show(s.left_over),
        ]
        for s in plan.sticks
    ]
    return write_csv(head, rows)


def write_shopping(plan: Plan) -> str:
    """Write what to buy; see `write_parts`."""
    head = ["what", "item", "wood", "length", "width", "thickness", "count", "unit", "price"]
    show = _Printer(plan)
    rows = [
        [
            r.what,
            r.item,
            r.wood or "",
            show(r.length),
            show(r.width),
            show(r.thickness),
            show_number(r.count),
            r.unit,
            "" if r.price is None else f"{r.price:.2f}",
        ]
        for r in plan.shopping
    ]
    return write_csv(head, rows)


def _said(notes: Sequence[Note]) -> str:
    return " ".join(note.text for note in notes)


class _Printer:
    """Prints lengths to the maker's tape; nothing where there is none."""

    def __init__(self, plan: Plan) -> None:
        self.show = plan.design.show

    def __call__(self, mm: float | None, *, up: bool = False) -> str:
        return "" if mm is None else self.show(mm, up=up)


def _mitre(mitre: float, swing: str) -> list[str]:
    return [show_angle(abs(mitre)), show_angle(90.0 - abs(mitre)), swing]


def _ripping(rip: Rip, show: _Printer) -> str:
    """Say what is ripped, and what the planer does before and after."""
    if rip.source == "stick":
        return "full length, before crosscutting"
    flat = rip.source == "board face"
    words = "rip strips off the board, flat" if flat else "slice strips off the board's edge"
    if rip.plane_first is not None:
        words = f"plane the board to {show(rip.plane_first)}, {words}"
    if rip.plane_after is not None:
        words += f", plane them to {show(rip.plane_after)}"
    return f"{words}; full length, before crosscutting"


def _mark_out(mark: MarkOut, show: _Printer) -> str:
    if mark.run is None or mark.mitre is None:
        return f"{mark.part}: saw out the notch on the {mark.side} by the map"
    angle = show_angle(abs(mark.mitre))
    if mark.op == "end":
        return f"{mark.part}: {mark.side} end {angle}, run {show(mark.run)} over {show(mark.over)}"
    lean = "towards the stop" if mark.mitre < -ANGLE_ALIKE else "away from the stop"
    return f"{mark.part}: {mark.side} corner {angle}, leaning {lean}, by the map"


def count_pieces(plan: Plan) -> str:
    """Say how many pieces are to be cut, and of a refit how many there are in all."""
    cut = sum(piece.cut for piece in plan.pieces)
    return f"{len(plan.pieces) - cut} of {len(plan.pieces)}" if cut else str(len(plan.pieces))


def show_counted(marks: Iterable[str]) -> str:
    """Print marks in order with repeats counted.

    >>> show_counted(["A", "A", "B", "A"])
    'A x2, B, A'
    """
    runs: list[tuple[str, int]] = []
    for mark in marks:
        if runs and runs[-1][0] == mark:
            runs[-1] = (mark, runs[-1][1] + 1)
        else:
            runs.append((mark, 1))
    return ", ".join(mark if n == 1 else f"{mark} x{n}" for mark, n in runs)


def write_csv(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    r"""Write a table as CSV.

    Source: RFC 4180.

    >>> write_csv(["mark", "count"], [["A", 24]])
    'mark,count\r\nA,24\r\n'
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(head)
    writer.writerows(rows)
    return text.getvalue()
