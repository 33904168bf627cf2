"""How long whole plans take: every example, from the design file to the plan.

Run it from a checkout::

    python tests/benchmarks/plan_tops.py

Printed are, for each top: pieces, parts, sticks, how many of them are proven to be needed, the
seconds of processor time for all of the planning, and those of it for the sticks. All three orders
of work are planned, as the command does.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tesselath.design import read_design
from tesselath.plan import plan_design
from tesselath.work import work

EXAMPLES = Path(__file__).parents[2] / "examples"


def main() -> None:
    """Print the table."""
    print(f"{'top':16} pieces parts sticks proven  all [s]  sticks [s]")
    for path in sorted(EXAMPLES.glob("*/design.toml")):
        design = read_design(path)
        spent: list[float] = []
        usual = work.plan_sticks
        work.plan_sticks = _timed(usual, spent)
        try:
            start = time.process_time()
            plan = plan_design(design)
            took = time.process_time() - start
        finally:
            work.plan_sticks = usual
        least = sum(bound.proven_least for bound in plan.bounds)
        print(
            f"{path.parent.name:16} {len(plan.pieces):6} {len(plan.parts):5} "
            f"{len(plan.sticks):6} {least:6} {took:8.2f} {sum(spent):11.2f}",
            flush=True,
        )


def _timed(function: Callable[..., Any], spent: list[float]) -> Callable[..., Any]:
    """Note the processor time of every call."""

    def call(*args: Any, **options: Any) -> Any:
        start = time.process_time()
        result = function(*args, **options)
        spent.append(time.process_time() - start)
        return result

    return call


if __name__ == "__main__":
    main()
