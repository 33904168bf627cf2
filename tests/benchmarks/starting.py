"""How long the program takes to answer, beside a Python that only loads click.

``python tests/benchmarks/starting.py``: processor time of whole processes, the least of some runs.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
from pathlib import Path

#: What is asked, and the most it should cost of what ``import click`` costs.
ASKED = (("--help", 1.5), ("--version", 2.0), ("woods", 2.0), ("patterns", 4.0))

YARDSTICK = ("-c", "import click")


def main() -> None:
    """Print a line for each question."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=9, help="runs of each, taken in turns")
    runs = parser.parse_args().runs
    program = str(Path(sys.executable).with_name("tesselath"))
    questions = [YARDSTICK, *((program, words) for words, _ in ASKED)]
    least = [min(times) for times in zip(*map(_one_round, [questions] * runs), strict=True)]
    print(f"{'asked':12} {'ms':>6} {'ratio':>6} {'aim':>6}")
    for (words, aim), spent in zip(ASKED, least[1:], strict=True):
        print(f"{words:12} {1000 * spent:6.0f} {spent / least[0]:6.2f} {aim:6.1f}")


def _one_round(questions: list[tuple[str, ...]]) -> list[float]:
    return [_processor_time(question) for question in questions]


def _processor_time(words: tuple[str, ...]) -> float:
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *words], check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


if __name__ == "__main__":
    main()
