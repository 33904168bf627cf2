"""Balance: how a panel is kept flat, and how its wood is made ready.

Comes in: a design and what the seasons do to it. Goes out: advice, a sentence or two each.
"""

from __future__ import annotations

from tesselath.design import Design
from tesselath.measure import show_change, show_length, show_number
from tesselath.wood.movement import Movement

__all__ = ["balance_advice"]


def balance_advice(design: Design, movement: Movement) -> tuple[str, ...]:
    """Say how the panel is balanced, how long the wood rests, and how grain lies at its edges.

    Source: common practice; the cup is an estimate for two plates glued together.

    Parameters
    ----------
    movement : Movement
        What the seasons do to it.

    Returns
    -------
    tuple of str
        Balance, acclimatising, and the grain of borders and frame.
    """
    advice = []
    if not movement.solid:
        advice.append(_balance(design, movement))
    made = f"{show_number(movement.seasons.made, decimals=1)} %"
    advice.append(
        "Let the wood and the sheet lie in the shop for a week, stickered, or until two readings a "
        f"few days apart agree; it is planned to be made up at {made} of moisture."
    )
    grain = []
    if design.borders:
        grain.append(
            "lay the grain of a border along its side, and let it run into its mitres, so that "
            "only its width moves"
        )
    frame = movement.frame
    if frame is not None and frame.opens is not None:
        grain.append(
            "choose quarter-sawn wood for the frame and reinforce its mitres (spline, key or loose "
            "tenon), since a wide mitre opens at the inside when dry and at the outside when humid"
        )
    elif frame is not None:
        grain.append("glue a butted corner over its whole width and pin it with a dowel or tenon")
    if grain:
        text = "; ".join(grain)
        advice.append(f"{text[0].upper()}{text[1:]}.")
    return tuple(advice)


def _balance(design: Design, movement: Movement) -> str:
    text = (
        "A layer on one face alone cups the sheet: give the back a like layer, or a backer of "
        "veneer with its grain the same way, and at the very least as many coats of the same "
        "finish as the face"
    )
    if movement.cup is not None and movement.cup > 0.2:
        over = show_length(
            movement.cup_over, tape=25.4 if design.units == "in" else 10.0, units=design.units
        )
        rise = show_change(movement.cup, units=design.units)
        text += (
            f"; left alone, a dry season would lift it by about {rise} over {over} (an estimate)"
        )
    return (
        f"{text}. Wet glue cups it overnight as well: glue in stages, with film and weights on "
        "both faces until it is dry."
    )
