"""Setting-out by hand: lays each shipped pattern anew, from its description in words.

Comes in: the name of a pattern, its sizes in mm, its turn and shift, and the field. Goes out: the
wood of every strip as a shapely polygon with its tone and its grain. Knows nothing of pattern
files: each rule here was written from what the motif is, so that it can be set against the plan.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
import shapely

__all__ = ["check_layout", "expected"]

Cell = tuple[list[tuple[float, float]], str, float]  # corners, tone, grain
Sizes = Mapping[str, float]

#: Wood thinner than this may or may not be kept [mm].
DOUBTFUL = 0.02


def expected(
    pattern: str,
    sizes: Sizes,
    *,
    field: shapely.Polygon,
    gap: float = 0.0,
    angle: float = 0.0,
    shift: tuple[float, float] = (0.0, 0.0),
) -> list[tuple[shapely.Polygon, str, float]]:
    """Lay a pattern and give what the field leaves of each strip."""
    grown = field.buffer(gap / 2, join_style="mitre", mitre_limit=50) if gap else field
    reach = float(np.abs(np.array(grown.exterior.coords)).max()) * math.sqrt(2) + math.hypot(*shift)
    rules = list(_RULES[pattern](sizes, gap, reach))
    c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    cells = np.array([corners for corners, _, _ in rules]) @ np.array([[c, s], [-s, c]]) + shift
    west, south, east, north = grown.bounds
    x, y = cells[:, :, 0], cells[:, :, 1]
    near = (x.max(1) > west) & (x.min(1) < east) & (y.max(1) > south) & (y.min(1) < north)
    kept = np.flatnonzero(near)
    left = shapely.intersection(shapely.polygons(cells[kept]), grown, grid_size=1e-6)
    found = []
    for place, shape in zip(kept, left, strict=True):
        _, tone, grain = rules[place]
        for part in getattr(shape, "geoms", [shape]):
            if part.geom_type != "Polygon" or part.area < 1e-6:
                continue
            wood = part.buffer(-gap / 2, join_style="mitre", mitre_limit=50) if gap else part
            for bit in getattr(wood, "geoms", [wood]):
                if bit.area > 0:
                    found.append((bit, tone, (grain + angle) % 180.0))
    return found


def check_layout(plan: Mapping[str, Any], laid: list[tuple[shapely.Polygon, str, float]]) -> None:
    """Every strip laid by hand is a piece of the plan, with its tone and grain, and vice versa."""
    pieces = [piece for piece in plan["pieces"] if piece["zone"] == "field"]
    woods = [shapely.Polygon(piece["outline"]) for piece in pieces]
    tree = shapely.STRtree(woods)
    taken = set()
    for wood, tone, grain in laid:
        thin = 4 * wood.area / max(wood.length, 1e-9) < DOUBTFUL
        near = [int(i) for i in tree.query(wood) if i not in taken]
        best = min(near, key=lambda i: _apart(woods[i], wood), default=None)
        if best is None or _apart(woods[best], wood) > 0.01:
            assert thin, f"no piece where the {tone} strip round {_round(wood)} should lie"
            continue
        taken.add(best)
        piece = pieces[best]
        assert piece["tone"] == tone, f"piece {piece['number']} is {piece['tone']}, not {tone}"
        off = abs((piece["grain"] - grain + 90) % 180 - 90)
        assert off < 1e-6, f"piece {piece['number']}: grain {piece['grain']}, should be {grain}"
    left = [pieces[i]["number"] for i in range(len(pieces)) if i not in taken]
    assert not left, f"pieces {left[:9]} lie where no strip should"


def _apart(a: shapely.Polygon, b: shapely.Polygon) -> float:
    return float(max(shapely.hausdorff_distance(a, b), shapely.hausdorff_distance(b, a)))


def _round(wood: shapely.Polygon) -> str:
    return f"({wood.centroid.x:.2f}, {wood.centroid.y:.2f}), {wood.area:.3f} mm2"


# --- one rule a pattern -----------------------------------------------------------------------


def _box(x: float, y: float, wide: float, deep: float) -> list[tuple[float, float]]:
    return [(x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep)]


def _herringbone(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """Blocks of n strips; each next block is a block's breadth over and up, or a length along."""
    w, n = sizes["w"] + gap, int(sizes.get("n", 1))
    long, wide = sizes["r"] * w, n * w
    for a in range(-math.ceil(2 * reach / wide) - 2, math.ceil(2 * reach / wide) + 3):
        for b in range(-math.ceil(2 * reach / long) - 2, math.ceil(2 * reach / long) + 3):
            x, y = a * wide + b * long, a * wide - b * long
            if math.hypot(x, y) > reach + 2 * long:
                continue
            for k in range(n):
                yield _box(x - long / 2, y - wide / 2 + k * w, long, w), "dark", 0.0
                yield _box(x - long / 2 + k * w, y + wide / 2, w, long), "light", 90.0


def _chevron(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """Columns side by side; in each the strips lie one upon the other, the rise turned about."""
    w, c, rise = sizes["w"] + gap, sizes["c"], sizes["rise"]
    up, pitch = c * math.tan(math.radians(rise)), w / math.cos(math.radians(rise))
    columns, rows = math.ceil(reach / c) + 1, math.ceil((reach + up) / pitch) + 2
    for i in range(-columns, columns + 1):
        low, high = (0.0, up) if i % 2 == 0 else (up, 0.0)
        for j in range(-rows, rows + 1):
            x, y = i * c, (j - 0.5) * pitch
            corners = [
                (x, y + low),
                (x + c, y + high),
                (x + c, y + high + pitch),
                (x, y + low + pitch),
            ]
            tone = ("dark", "mid", "light")[j % 3]
            yield corners, tone, rise if i % 2 == 0 else 180.0 - rise


def _stepped_diamond(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """Rows from the centre: joints at n s, 2 n s, ... less one s for each row away from row 0."""
    w, s, n = sizes["w"] + gap, sizes["s"], int(sizes["n"])
    rows = math.ceil(reach / w) + 1
    for row in range(-rows, rows + 1):
        joints: list[tuple[float, int]] = []  # outer joint to the right, and its number
        m = 0
        while not joints or joints[-1][0] < reach:
            x = m * n * s - s * abs(row)
            if x > 1e-6:
                joints.append((x, m))
            m += 1
        y, inner = (row - 0.5) * w, None
        for x, m in joints:
            tone = ("dark", "mid", "light")[m % 3]
            if inner is None:
                yield _box(-x, y, 2 * x, w), tone, 0.0
            else:
                yield _box(inner, y, x - inner, w), tone, 0.0
                yield _box(-x, y, x - inner, w), tone, 0.0
            inner = x


def _stair(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """Rows of equal strips, each moved on by a step."""
    w, s, long = sizes["w"] + gap, sizes["s"], sizes["L"]
    rows = math.ceil(reach / w) + 1
    for row in range(-rows, rows + 1):
        first = math.floor((-reach - s * row) / long) - 1
        for m in range(first, first + math.ceil(2 * reach / long) + 4):
            x = s * row + (m - 1) * long
            yield _box(x, (row - 0.5) * w, long, w), ("dark", "mid", "light")[m % 3], 0.0


def _running_bond(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """Rows of equal strips, each moved along by a share of the length."""
    w, long, offset = sizes["w"] + gap, sizes["L"] + gap, sizes.get("offset", 0.5)
    rows = math.ceil(reach / w) + 1
    for row in range(-rows, rows + 1):
        first = math.floor((-reach - offset * long * row) / long) - 1
        for m in range(first, first + math.ceil(2 * reach / long) + 4):
            tone = ("dark", "light")[row % 2]
            yield _box((m + offset * row) * long, row * w, long, w), tone, 0.0


def _basket_weave(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """A chequer of square blocks: along, up, along, up."""
    w, n = sizes["w"] + gap, int(sizes["n"])
    side = n * w
    blocks = math.ceil(reach / side) + 1
    for i in range(-blocks, blocks + 1):
        for j in range(-blocks, blocks + 1):
            for k in range(n):
                x, y = i * side, j * side
                if (i + j) % 2 == 0:
                    yield _box(x, y + k * w, side, w), "dark", 0.0
                else:
                    yield _box(x + k * w, y, w, side), "light", 90.0


def _tumbling_block(sizes: Sizes, gap: float, reach: float) -> Iterator[Cell]:
    """Three lozenges round each corner where the tones meet, and those corners on a hexagon net."""
    e = (sizes["w"] + gap) / math.sin(math.pi / 3)

    def ray(degrees: float) -> tuple[float, float]:
        return e * math.cos(math.radians(degrees)), e * math.sin(math.radians(degrees))

    rows = math.ceil(reach / (1.5 * e)) + 2
    columns = math.ceil(reach / (math.sqrt(3) * e)) + 2
    for b in range(-rows, rows + 1):
        for a in range(-columns, columns + 1):
            x, y = math.sqrt(3) * e * (a + (b % 2) / 2), 1.5 * e * b
            for k, tone in enumerate(("dark", "mid", "light")):
                (px, py), (qx, qy) = ray(120 * k - 30), ray(120 * k + 30)
                corners = [
                    (x, y),
                    (x + px, y + py),
                    (x + px + qx, y + py + qy),
                    (x + qx, y + qy),
                ]
                yield corners, tone, (30.0 + 120.0 * k) % 180.0


_RULES = {
    "herringbone": _herringbone,
    "chevron": _chevron,
    "stepped-diamond": _stepped_diamond,
    "stair": _stair,
    "running-bond": _running_bond,
    "basket-weave": _basket_weave,
    "tumbling-block": _tumbling_block,
}
