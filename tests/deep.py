"""Tries every property with new examples, seed by seed: ``python tests/deep.py FIRST LAST``.

What was tried stands in ``tests/deep.csv``: the state of the source, the seed, what came of it and
how long it took. A seed that has passed with the source as it is now is not tried again, so a run
that was stopped goes on where it was. Exit status 1 where a seed failed.
"""

from __future__ import annotations

import argparse
import csv
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
LOG = Path(__file__).with_suffix(".csv")
HEAD = ("source", "seed", "result", "minutes")


def main() -> None:
    """Try each seed that has not passed yet."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    given = parser.parse_args()
    source = state_of_source()
    failed = 0
    for seed in range(given.first, given.last + 1):
        if (source, str(seed)) in passed():
            print(f"seed {seed}: has passed already")
            continue
        began = time.monotonic()
        command = [sys.executable, "-m", "pytest", "-n", "auto", "--profile", "deep"]
        done = subprocess.run([*command, f"--hypothesis-seed={seed}"], cwd=ROOT, check=False)
        result = "passed" if done.returncode == 0 else "failed"
        failed += done.returncode != 0
        record(source, seed, result, (time.monotonic() - began) / 60)
    sys.exit(1 if failed else 0)


def state_of_source() -> str:
    """Name the source as it is committed; what is not committed cannot be told from it."""
    asked = ["git", "rev-parse", "--short=12", "HEAD:src"]
    return subprocess.run(
        asked, cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.strip()


def passed() -> set[tuple[str, str]]:
    if not LOG.exists():
        return set()
    with LOG.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {(row["source"], row["seed"]) for row in rows if row["result"] == "passed"}


def record(source: str, seed: int, result: str, minutes: float) -> None:
    new = not LOG.exists()
    with LOG.open("a", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        if new:
            writer.writerow(HEAD)
        writer.writerow((source, seed, result, f"{minutes:.1f}"))


if __name__ == "__main__":
    main()
