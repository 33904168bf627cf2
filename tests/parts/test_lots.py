"""Mixed lots: shares kept to the piece, and no two alike side by side where that can be."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import networkx as nx
import pytest
import shapely
from hypothesis import given, strategies as st

from tesselath.design import MixedLot
from tesselath.field import Loose, Piece
from tesselath.parts import deal_woods, find_neighbours
from tesselath.shape import as_outline, turned
from tops import plan_of, top


def _piece(number: int, corners: Sequence[tuple[float, float]], *, tone: str = "light") -> Loose:
    return Loose(
        number, "field", "maple", tone, as_outline(list(corners)), None, 0.0, 20.0, 0, None
    )


def _wall(rows: int, columns: int, *, offset: float = 0.0, gap: float = 0.0) -> list[Loose]:
    """Rows of strips of 60 x 20 mm, each row moved along by a share of the length."""
    pieces: list[Loose] = []
    for row in range(rows):
        for column in range(columns):
            x, y = (column + offset * (row % 2)) * (60 + gap), row * (20 + gap)
            corners = [(x, y), (x + 60, y), (x + 60, y + 20), (x, y + 20)]
            pieces.append(_piece(len(pieces) + 1, corners))
    return pieces


def _lot(*shares: float, seed: int = 1) -> MixedLot:
    woods = ("maple", "birch", "ash", "beech")[: len(shares)]
    total = sum(shares)
    return MixedLot(woods, tuple(share / total for share in shares), seed)


def _deal(pieces: Sequence[Loose], lot: MixedLot, *, gap: float = 0.0) -> tuple[list[str], int]:
    dealt, alike = deal_woods(pieces, {"light": lot}, gap=gap)
    return [piece.wood for piece in dealt], alike


# --- shares ---


@given(
    st.integers(1, 6),
    st.integers(1, 9),
    st.lists(st.floats(0.05, 1), min_size=1, max_size=4),
    st.integers(0, 99),
)
def test_shares_are_kept_to_the_piece(
    rows: int, columns: int, shares: list[float], seed: int
) -> None:
    pieces, lot = _wall(rows, columns, offset=0.5), _lot(*shares, seed=seed)
    woods, _ = _deal(pieces, lot)
    counts = Counter(woods)
    assert sum(counts.values()) == len(pieces)
    for wood, share in zip(lot.woods, lot.shares, strict=True):
        assert abs(counts[wood] - share * len(pieces)) < 1


def test_what_is_left_over_goes_to_the_largest_rests() -> None:
    # 10 pieces at 1/3, 1/3, 1/3 are 4, 3, 3; at 0.55 and 0.45 they are 6 and 4 (5.5 and 4.5).
    woods, _ = _deal(_wall(2, 5), _lot(1, 1, 1))
    assert Counter(woods) == {"maple": 4, "birch": 3, "ash": 3}
    woods, _ = _deal(_wall(2, 5), _lot(0.29, 0.71))
    assert Counter(woods) == {"maple": 3, "birch": 7}


@given(st.integers(0, 99), st.permutations(range(12)))
def test_the_same_seed_gives_every_piece_the_same_wood(seed: int, order: list[int]) -> None:
    pieces, lot = _wall(3, 4, offset=0.5), _lot(3, 2, 1, seed=seed)
    woods, alike = _deal(pieces, lot)
    assert _deal(pieces, lot) == (woods, alike)


def test_another_seed_gives_other_woods() -> None:
    pieces = _wall(6, 6, offset=0.5)
    assert len({tuple(_deal(pieces, _lot(2, 1, 1, seed=seed))[0]) for seed in range(5)}) > 1


def test_only_the_tone_of_the_lot_is_dealt() -> None:
    light = _wall(2, 4)
    dark = [
        _piece(9 + n, [(x, 40), (x + 60, 40), (x + 60, 60), (x, 60)], tone="dark")
        for n, x in enumerate(range(0, 240, 60))
    ]
    dealt, _ = deal_woods([*light, *dark], {"light": _lot(1, 1)}, gap=0.0)
    assert [p.number for p in dealt] == list(range(1, 13))
    assert {p.wood for p in dealt if p.tone == "dark"} == {"maple"}
    assert Counter(p.wood for p in dealt if p.tone == "light") == {"maple": 4, "birch": 4}
    for before, after in zip((*light, *dark), dealt, strict=True):
        assert after.outline is before.outline


def test_a_lot_without_pieces_is_no_trouble() -> None:
    assert deal_woods([], {"light": _lot(1, 1)}, gap=0.0) == ((), 0)
    assert _deal(_wall(1, 1), _lot(1, 1)) == (["maple"], 0)


# --- neighbours ---


@pytest.mark.parametrize("gap", [0.0, 0.8, 1.5875, 3.0])
@pytest.mark.parametrize("angle", [0.0, 33.0])
def test_neighbours_meet_along_an_edge_and_not_at_a_corner(gap: float, angle: float) -> None:
    pieces = [
        _piece(p.number, [(float(x), float(y)) for x, y in turned(p.outline, angle)])
        for p in _wall(3, 3, gap=gap)
    ]
    # A grid: four beside each other one, none across a corner.
    grid = nx.grid_2d_graph(3, 3)
    wanted = {frozenset((3 * a + b + 1, 3 * c + d + 1)) for (a, b), (c, d) in grid.edges}
    assert {frozenset(edge) for edge in find_neighbours(pieces, gap=gap).edges} == wanted


@pytest.mark.parametrize("gap", [0.0, 1.5875])
def test_in_a_running_bond_every_inner_strip_has_six_neighbours(gap: float) -> None:
    graph = find_neighbours(_wall(5, 5, offset=0.5, gap=gap), gap=gap)
    assert graph.degree[13] == 6


def test_pieces_farther_apart_than_the_gap_are_no_neighbours() -> None:
    graph = find_neighbours(_wall(2, 2, gap=5.0), gap=1.0)
    assert graph.number_of_nodes() == 4
    assert graph.number_of_edges() == 0


# --- no two alike ---


def _clashes(pieces: Sequence[Loose | Piece], woods: Sequence[str]) -> int:
    """Count the pairs of one wood that share an edge, by their outlines alone."""
    shapes = [shapely.Polygon(piece.outline) for piece in pieces]
    return sum(
        woods[a] == woods[b]
        and shapely.intersection(shapes[a], shapes[b], grid_size=1e-6).length > 1e-3
        for b in range(len(shapes))
        for a in range(b)
    )


@given(st.integers(1, 5), st.integers(1, 6), st.sampled_from([0.0, 0.5]), st.integers(0, 20))
def test_the_pairs_alike_are_counted(rows: int, columns: int, offset: float, seed: int) -> None:
    pieces = _wall(rows, columns, offset=offset)
    woods, alike = _deal(pieces, _lot(2, 1, seed=seed))
    assert alike == _clashes(pieces, woods)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("rows", "columns"), [(1, 12), (4, 6), (7, 8), (12, 12)])
def test_two_woods_alternate_where_strips_lie_as_in_a_chequer(
    rows: int, columns: int, seed: int
) -> None:
    assert _deal(_wall(rows, columns), _lot(1, 1, seed=seed))[1] == 0


@pytest.mark.parametrize("seed", range(6))
def test_three_woods_suffice_in_a_running_bond(seed: int) -> None:
    assert _deal(_wall(9, 9, offset=0.5), _lot(1, 1, 1, seed=seed))[1] == 0


@pytest.mark.parametrize(
    ("offset", "woods"), [(0.0, 2), (0.5, 4)], ids=["odd chequer", "running bond"]
)
def test_what_can_be_dealt_without_a_pair_alike_is_so_for_every_seed(
    offset: float, woods: int
) -> None:
    pieces = _wall(9, 9, offset=offset)
    assert [_deal(pieces, _lot(*[1] * woods, seed=s))[1] for s in range(8)] == [0] * 8


@pytest.mark.parametrize("seed", range(6))
def test_shares_that_differ_are_spread_as_well(seed: int) -> None:
    # A third of the pieces at the most can be kept from each other in this wall.
    woods, alike = _deal(_wall(9, 9, offset=0.5), _lot(3, 3, 2, 1, seed=seed))
    assert Counter(woods) == {"maple": 27, "birch": 27, "ash": 18, "beech": 9}
    assert alike <= 4


def test_where_one_wood_has_most_pieces_few_lie_side_by_side_for_it() -> None:
    # 54 of 81 in a wall of 6 neighbours each: dealt blindly, 4/9 of 208 pairs would be of maple.
    _, alike = _deal(_wall(9, 9, offset=0.5), _lot(2, 1))
    assert 0 < alike < 100


# --- in a plan ---


def test_a_plan_deals_its_lots_and_says_how_many_pairs_are_alike() -> None:
    lot = '{ woods = ["maple", "birch"], shares = ["60 %", "40 %"] }'
    more = f'[tones]\ndark = "walnut"\nlight = {lot}\n'
    text = top("running-bond", width="24 in", depth="15 in", more=more)
    plan = plan_of(text)
    light = [p for p in plan.pieces if p.tone == "light"]
    counts = Counter(p.wood for p in light)
    assert abs(counts["maple"] - 0.6 * len(light)) < 1
    assert {p.wood for p in plan.pieces if p.tone == "dark"} == {"walnut"}
    alike = _clashes(light, [p.wood for p in light])
    notes = [note.text for note in plan.notes if note.code == "alike"]
    assert bool(notes) == bool(alike)
    if alike:
        assert f"{alike} pair" in notes[0]
    for part in plan.parts:
        assert {p.wood for p in plan.pieces if p.number in part.numbers} == {part.wood}
