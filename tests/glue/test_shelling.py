"""Laying without closing a hole, on tops drawn as squares and on any grid."""

from __future__ import annotations

import networkx as nx
from hypothesis import given, strategies as st

from tesselath.field import Piece
from tesselath.glue.shelling import OUTSIDE, Front, find_contacts
from tesselath.shape import as_outline


def _top(*rows: str, gap: float = 0.0) -> list[Piece]:
    """Draw a top in characters, the back row first: one square piece for each that is no dot."""
    pieces = []
    for y, row in enumerate(reversed(rows)):
        for x, sign in enumerate(row):
            if sign != ".":
                x0, y0, x1, y1 = 20.0 * x, 20.0 * y, 20.0 * (x + 1) - gap, 20.0 * (y + 1) - gap
                outline = as_outline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
                pieces.append(
                    Piece(
                        int(sign, 36),
                        "A",
                        "field",
                        "oak",
                        "plain",
                        outline,
                        None,
                        0.0,
                        20.0,
                        20.0,
                        20.0,
                        0,
                    )
                )
    return sorted(pieces, key=lambda piece: piece.number)


SQUARE = ("789", "456", "123")


def test_pieces_that_meet_at_a_corner_only_do_not_lie_side_by_side() -> None:
    graph = find_contacts(_top(*SQUARE), gap=0.0)
    assert sorted(graph.neighbors(5)) == [2, 4, 6, 8]
    assert sorted(graph.neighbors(1)) == [OUTSIDE, 2, 4]


def test_a_gap_parts_nothing_that_lies_side_by_side() -> None:
    for gap in (0.0, 0.5, 2.0):
        graph = find_contacts(_top(*SQUARE, gap=gap), gap=gap)
        assert sorted(graph.neighbors(5)) == [2, 4, 6, 8]


def test_a_piece_beside_a_bare_place_can_be_pushed_in_from_there() -> None:
    graph = find_contacts(_top("abcde", "fghij", "kl.no", "pqrst", "uvwxy"), gap=0.0)
    assert graph.has_edge(int("h", 36), OUTSIDE)
    assert not graph.has_edge(int("g", 36), OUTSIDE)


def test_the_last_of_a_ring_shuts_in_the_middle() -> None:
    front = Front(find_contacts(_top(*SQUARE), gap=0.0))
    for number in (1, 2, 3, 6, 9, 8, 7):
        assert not front.shuts_in(number)
        front.lay(number)
    assert front.shuts_in(4)
    assert not front.shuts_in(5)
    front.lay(5)
    assert not front.shuts_in(4)


def test_a_hole_that_is_open_at_a_corner_only_is_shut() -> None:
    # 5 meets the outside at no edge once 2, 4, 6 and 8 lie.
    front = Front(find_contacts(_top(*SQUARE), gap=0.0))
    for number in (2, 1, 4, 7, 8):
        front.lay(number)
    assert front.shuts_in(6)


def test_a_piece_taken_up_again_opens_the_hole_again() -> None:
    front = Front(find_contacts(_top(*SQUARE), gap=0.0))
    for number in (2, 1, 4, 7, 8):
        front.lay(number)
    front.lift([8])
    assert not front.shuts_in(6)
    assert not front.touches(9)
    assert front.touches(8)


@given(st.integers(2, 6), st.integers(2, 5), st.randoms(use_true_random=False))
def test_some_piece_may_always_go_on_and_each_keeps_what_is_left_open(
    width: int, depth: int, chance: object
) -> None:
    """Choose at random among the pieces that may go on; none is ever shut in, all are laid."""
    signs = "123456789abcdefghijklmnopqrstuvwxyz"
    rows = [signs[y * width : (y + 1) * width] for y in range(depth)]
    pieces = _top(*rows)
    graph = find_contacts(pieces, gap=0.0)
    front = Front(graph)
    left = [piece.number for piece in pieces]
    front.lay(left.pop(chance.randrange(len(left))))  # type: ignore[attr-defined]
    while left:
        may = [n for n in left if front.touches(n) and not front.shuts_in(n)]
        number = chance.choice(may)  # type: ignore[attr-defined]
        front.lay(number)
        left.remove(number)
        # By networkx: all that is left still hangs together with the outside.
        assert nx.is_connected(graph.subgraph([OUTSIDE, *left]))
