"""The steps: the plan's work as Markdown, its tables whole and its names kept as they are."""

from __future__ import annotations

import re

import pytest

from tesselath.book import number_figures, plan_chapters, write_steps
from tesselath.output import output_names, usual_names, write_outputs
from tops import plan_of, top

FRAME = '[frame]\nwidth = "2 in"\nthickness = "1 in"\n[base]\n'
TEXTS = {
    "let in": top(width="9 in", depth="6 in", angle="45 deg", more=FRAME),
    "trim": top(width="9 in", depth="6 in", head='order = "trim"\nenglish = "UK"', more=FRAME),
}


@pytest.mark.parametrize("text", TEXTS.values(), ids=list(TEXTS))
def test_every_table_has_as_many_cells_in_each_row(text: str) -> None:
    tables = re.findall(r"(?:^\|.*\n)+", write_steps(plan_of(text)), flags=re.MULTILINE)
    assert len(tables) >= 5
    for table in tables:
        cells = {len(re.findall(r"(?<!\\)\|", line)) for line in table.strip().splitlines()}
        assert len(cells) == 1, table


@pytest.mark.parametrize("text", TEXTS.values(), ids=list(TEXTS))
def test_every_part_and_every_figure_of_a_step_is_named(text: str) -> None:
    plan = plan_of(text)
    words = write_steps(plan)
    for part in plan.parts:
        assert f"| **{part.mark}** |" in words
    numbers = {figure.name: n for n, figure in number_figures(plan_chapters(plan))}
    named = {name: int(n) for n, name in re.findall(r"\(figures/(\d+)-([a-z0-9-]+)\.png\)", words)}
    assert named.items() <= numbers.items()
    # All but the picture on the cover, which is no step.
    assert set(numbers) - set(named) == {"finished-top"}


def test_steps_follow_the_order_of_work() -> None:
    for text, first, then in (("trim", "Trim to the line", "Frame"), ("let in", "Level", "Finish")):
        titles = re.findall(r"^### \d\. (.*)$", write_steps(plan_of(TEXTS[text])), re.MULTILINE)
        assert titles.index(first) < titles.index(then)
        assert titles[0] == "Let it rest"
        assert titles[-1] == "Finish"
    assert "Trim to the line" not in write_steps(plan_of(TEXTS["let in"]))


def test_names_are_not_read_as_markup() -> None:
    name = "Lid *one* [a](b) | #2 <i>"
    words = write_steps(plan_of(top(width="6 in", depth="4 in", head=f'author = "{name}"')))
    assert r"Lid \*one\* \[a\](b) \| \#2 \<i\>" in words


def test_blanks_are_lines_to_write_on() -> None:
    assert r"reads | 9 in | \_\_\_\_ |" in write_steps(plan_of(TEXTS["let in"]))


def test_they_are_written_only_where_they_are_asked_for() -> None:
    plan = plan_of(TEXTS["let in"])
    assert "steps" not in usual_names()
    assert "steps" in output_names()
    assert set(write_outputs(plan, ("steps",))) == {"plan.json", "steps.md"}
