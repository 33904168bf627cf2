"""What is said of the stock: boards that do not serve, and the planer."""

from __future__ import annotations

import pytest

from tops import plan_of, top

SLICED = 'width = "5 1/2"\nthickness = "13/16"\nlength = "96"\nplane = "1/16"'


def _notes(board: str, *, stock: str = "", width: str = "3/4") -> dict[str, str]:
    text = top(
        "stack-bond",
        width="30",
        depth="15",
        sizes=f'w = "{width} in"\nL = "6 in"',
        strips=f'width = "{width}"\nthickness = "1/4"',
        more=f"[stock]\n{stock}\n[[stock.board]]\n{board}\n",
    )
    return {note.code: note.text for note in plan_of(text).notes}


def test_planed_strips_come_with_a_word_on_snipe_and_the_least_length() -> None:
    said = _notes(SLICED)["planer"]
    assert "nothing shorter than 14 in" in said
    assert "the first and the last 2 in deeper" in said
    assert 'end_trim = "2 in"' in said


def test_an_end_trim_as_long_as_the_snipe_takes_it_off() -> None:
    said = _notes(SLICED, stock='end_trim = "2"')["planer"]
    assert "the end trim and the held tail take that off" in said


@pytest.mark.parametrize(
    "board",
    [SLICED.replace('plane = "1/16"', ""), 'from = "face"\nthickness = "1/4"\nlength = "96"'],
)
def test_strips_that_are_not_planed_go_without(board: str) -> None:
    assert "planer" not in _notes(board)


def test_a_board_too_short_for_the_planer_is_told() -> None:
    board = 'thickness = "13/16"\nlength = "13 in"\nplane = "1/16"'
    said = _notes(board, stock='end_trim = "0"')["planer"]
    assert "Boards of 13 in are too short" in said


@pytest.mark.parametrize(
    ("board", "why"),
    [
        ('thickness = "1/2"\nlength = "96"', "as wide as the board is thick, 1/2 in"),
        ('length = "96"', "no thickness"),
        ('from = "face"\nthickness = "1/4"\nplane = "1/8"\nlength = "96"', "1/8 in thick"),
        ('width = "1/8"\nthickness = "1"\nlength = "96"', "only 1/8 in wide"),
    ],
)
def test_a_board_that_gives_no_strip_is_told_with_the_reason(board: str, why: str) -> None:
    notes = _notes(board)
    assert why in notes["board-unfit"]
    assert "stick-assumed" in notes
