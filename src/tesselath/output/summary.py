"""The summary: what the command line says of a plan, in trade words.

Comes in: a plan. Goes out: a few lines of text.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from functools import partial
from typing import cast

import numpy as np

from tesselath.advice import movement_in_short
from tesselath.glue import hold_of
from tesselath.measure import run_unit, show_area, show_number, show_numbers, show_run
from tesselath.output.terminal import WIDTH, wrapped
from tesselath.pattern import Pattern, show_size
from tesselath.plan import Plan
from tesselath.stock import Bound, account_for_sticks
from tesselath.tables import count_pieces
from tesselath.top import say_trial_cut, show_count
from tesselath.wood import describe_weight

__all__ = ["describe_pattern", "summarise"]


def summarise(plan: Plan) -> str:
    """Say what a plan comes to.

    Returns
    -------
    str
        The lines, without a line end after the last.
    """
    design, totals = plan.design, plan.totals
    show = design.show_plain
    run, (_, unit) = partial(show_run, units=design.units), run_unit(design.units)
    width, depth = (float(v) for v in np.ptp(np.asarray(plan.opening), axis=0))
    pattern = design.field.filling.pattern
    lines = [
        f"{design.name}: {pattern.title.lower()} in an opening of {show(width)} x {show(depth)}, "
        f"order: {design.order}",
        f"  {count_pieces(plan)} pieces in {totals['parts']} parts, {totals['cuts']} cuts, "
        f"{totals['setups']} saw set-ups, {totals['glue_ups']} glue-ups",
        f"  field {show_area(cast(float, totals['field_area']), units=design.units)}",
    ]
    accounts = account_for_sticks(plan.parts, plan.sticks, end_trim=design.stock.end_trim)
    for wood in sorted({b.wood for b in plan.bounds}):
        mine = [b for b in plan.bounds if b.wood == wood]
        count = sum(b.sticks for b in mine)
        lines.append(
            f"  {wood}: {count} stick{'s' if count != 1 else ''} to cut with spares in them "
            f"({_proof(mine)}), {plan.sticks_to_buy.get(wood, 0)} {_bought(plan, wood)}"
        )
        account = accounts[wood]
        lines.append(
            f"    of {run(account.sticks)} {unit}: net {run(account.net)}, spares "
            f"{run(account.spares)}, kerf and waste {run(account.kerf)}, end trim "
            f"{run(account.trim)}, left over {run(account.left_over)} {unit}"
        )
    if len(plan.stages) > 1:
        lines.append(f"  cut in this order: {'; '.join(_stages(plan))}")
    if plan.sticks:
        lines += _at_the_saw(plan)
    lines.append(f"  {_describe_gluing(plan)}")
    days = plan.hours.glue_days
    lines.append(
        f"  about {show_number(plan.hours.total, decimals=1)} hours at the stated pace, "
        f"gluing over {days} day{'s' if days != 1 else ''}"
    )
    lines.append(f"  {describe_weight(design, plan.weight)}")
    lines.append(f"  {movement_in_short(design, plan.movement)}")
    thinnest = cast(float, totals["thinnest"])
    shortest = cast(float, totals["shortest_edge"])
    lines.append(
        f"  thinnest piece: {totals['thinnest_piece']}, {show(thinnest)}; "
        f"shortest edge on the fence: {show(shortest)}, piece {totals['shortest_edge_piece']}; "
        f"largest rounding of a length: {_show_rounding(plan, 'largest')}"
    )
    lines.append(
        f"  rounding adds up to {_show_rounding(plan, 'row')} along the worst row; edge pieces are "
        f"printed long, by up to {_show_rounding(plan, 'edge')}"
    )
    lines += _describe_tolerance(plan)
    if len(plan.orders) > 1:
        lines.append("  what each order of work would take:")
    for o in plan.orders if len(plan.orders) > 1 else ():
        mark = ">" if o.order == design.order else " "
        lines.append(
            f"  {mark} {o.order:7} {o.parts:4} parts  {o.setups:4} set-ups  {o.cuts:6} cuts  "
            f"{o.sticks:4} sticks"
        )
    troubles = [n for n in plan.notes if not n.code.startswith("caution")]
    cautions = [n for n in plan.notes if n.code.startswith("caution")]
    for title, notes in (("notes", troubles), ("cautions", cautions)):
        if notes:
            lines.append(f"  {title}:")
        for note in notes:
            text = note.text
            if note.numbers and len(note.numbers) <= 8 and not note.code.startswith("caution"):
                text += f" (piece {show_numbers(note.numbers)})"
            lines += wrapped(text)
    return "\n".join(lines)


def _stages(plan: Plan) -> list[str]:
    """Say how many pieces are cut in each go, and what is done between."""
    first, *_ = plan.stages
    told = []
    for stage in plan.stages:
        words = f"{len(stage.numbers)} {stage.name}"
        told.append(f"{words}, glue, measure, refit" if stage is first else words)
    return told


def _proof(bounds: Sequence[Bound]) -> str:
    """Say how near to the least the sticks of one wood are."""
    least, count = sum(b.proven_least for b in bounds), sum(b.sticks for b in bounds)
    words = "; ".join(dict.fromkeys(bound.status for bound in bounds))
    if least == count or "cheapest" in words:
        return words
    return f"{least} at the least: {words}"


def _bought(plan: Plan, wood: str) -> str:
    """Say whether sticks are bought, or ripped from boards that are."""
    boards = [row for row in plan.shopping if row.what == "boards" and row.wood == wood]
    if not boards:
        return "to buy"
    return f"to rip from {' and '.join(show_count(row) for row in boards)}"


def _at_the_saw(plan: Plan) -> list[str]:
    """Say how often something is set when the sticks are kept open, and what else it would be."""
    counts = plan.saw_counts
    angles = f"{counts.angles} angle{'s' if counts.angles != 1 else ''}"
    stops = f"{counts.stops} stop setting{'s' if counts.stops != 1 else ''}"
    return [
        f"  at the saw, part by part, all sticks kept open: {angles}, {stops}, a stick taken up "
        f"{counts.handlings} times",
        f"    with like sticks cut together the stop is set {counts.stops_by_like_sticks} times, "
        f"stick by stick {counts.handlings}",
    ]


def _describe_gluing(plan: Plan) -> str:
    """Say how much goes into a glue-up, and how long it is held."""
    hold = hold_of(plan.design)
    most = max(len(glue_up.numbers) for glue_up in plan.glue_ups)
    laying = show_number(max(glue_up.minutes for glue_up in plan.glue_ups), decimals=1)
    return (
        f"glued from the centre lines outward, up to {most} piece{'s' if most != 1 else ''} at a "
        f"time in {laying} min, then {show_number(hold.minutes, decimals=0)} min {hold.under}"
    )


def _describe_tolerance(plan: Plan) -> list[str]:
    """Say what the errors of the cuts come to, and where it is seen first."""
    design = plan.design

    def show(mm: float) -> str:
        return design.show_plain(mm, up=True)

    spans = ", ".join(
        f"{line.name} {show(line.likely)} as a rule ({show(line.worst)} at the worst)"
        for line in plan.tolerance.lines
    )
    lines = textwrap.wrap(
        f"errors of the cuts add up to: {spans}",
        WIDTH,
        initial_indent="  ",
        subsequent_indent="    ",
    )
    if plan.tolerance.closings:
        ring = max(plan.tolerance.closings, key=lambda c: round(c.gap_worst, 6))
        lines.append(
            f"  the last joint of {ring.zone} may open by {show(ring.gap_likely)} as a rule, "
            f"{show(ring.gap_worst)} at the worst"
        )
    trial = plan.trial_cuts[0] if plan.trial_cuts else None
    if trial is not None:
        lines += textwrap.wrap(
            f"before the batch: {say_trial_cut(trial, design)}",
            WIDTH,
            initial_indent="  ",
            subsequent_indent="    ",
        )
    return lines


def _show_rounding(plan: Plan, what: str) -> str:
    """Print a rounding error of cut lengths, in thousandths or hundredths of a mm."""
    error = cast(float, plan.totals[f"{what}_rounding"])
    if plan.design.units == "mm":
        return f"{show_number(error, decimals=2)} mm"
    return f"{show_number(error / 25.4, decimals=3)} in"


def describe_pattern(pattern: Pattern) -> str:
    """Explain a pattern: what it is, what can be set, which tones it has."""
    lines = [f"{pattern.name}: {pattern.title}"]
    if pattern.note:
        lines += textwrap.wrap(pattern.note, WIDTH, initial_indent="  ", subsequent_indent="  ")
    lines.append("  sizes, by either name, set in [field.set]:")
    for size in pattern.sizes:
        limits = []
        if size.least is not None:
            limits.append(f"at least {show_size(size, size.least)}")
        if size.most is not None:
            limits.append(f"at most {show_size(size, size.most)}")
        if size.whole:
            limits.append("a whole number")
        label = f'"{size.label}"' if size.label else ""
        lines.append(f"    {size.name:8} {label:32} {show_size(size, size.value)}")
        if limits:
            lines.append(f"    {'':8} {', '.join(limits)}")
    lines.append(f"  tones: {', '.join(pattern.tones) or 'plain'}")
    if not pattern.fills:
        lines.append("  It stands alone; what it does not cover stays bare.")
    return "\n".join(lines)
