"""The benchmarks run; what they must never find they check themselves."""

from __future__ import annotations

import runpy
import sys
from pathlib import Path

import pytest

BENCHMARKS = Path(__file__).parent


def _run(name: str, *words: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "argv", [name, *words])
    monkeypatch.setattr(sys, "path", list(sys.path))
    runpy.run_path(str(BENCHMARKS / name), run_name="__main__")


def test_published_instances_are_compared_with_the_rivals_in_one_table(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("--sets", "Scholl 1", "--seconds", "0.1", "--rivals")
    _run("cutting_sticks.py", *words, monkeypatch=monkeypatch)
    rows = [line[19:] for line in capsys.readouterr().out.splitlines()]
    methods = {"first fit", "tesselath", "arc flow", "assignment"}
    assert {row[:12].strip() for row in rows[1:]} == methods


def test_whole_tops_are_timed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _run("plan_tops.py", monkeypatch=monkeypatch)
    rows = [line.split() for line in capsys.readouterr().out.splitlines()[1:]]
    tops = [path.parent.name for path in BENCHMARKS.parents[1].glob("examples/*/design.toml")]
    assert [row[0] for row in rows] == sorted(tops)
    for row in rows:
        assert 0 < int(row[4]) <= int(row[3])


def test_answers_are_timed_beside_a_bare_click(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _run("starting.py", "--runs", "1", monkeypatch=monkeypatch)
    rows = [line.split() for line in capsys.readouterr().out.splitlines()[1:]]
    assert [row[0] for row in rows] == ["--help", "--version", "woods", "patterns"]
    assert all(float(row[2]) > 0 for row in rows)
