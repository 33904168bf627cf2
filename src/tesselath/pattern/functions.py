"""The functions of a pattern's arithmetic: what each computes, from how many values."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tesselath.measure import SLACK, cosine, sine

__all__ = ["FUNCTIONS", "Function", "Value", "floor"]

Value = float | NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Function:
    """A function of the language: how to compute it, how many values, which dimensions."""

    compute: Callable[..., Value]
    least: int
    most: int
    rule: str  # "number", "like", "root" or "choose"

    @property
    def takes(self) -> str:
        """How many values it takes, in words."""
        return str(self.least) if self.least == self.most else f"{self.least} or more"


def floor(x: Value) -> Value:
    return np.floor(x + SLACK)


def _on_each(function: Callable[[float], float]) -> Callable[[Value], Value]:
    """Let an exact function of one angle work on an array."""

    def compute(x: Value) -> Value:
        if isinstance(x, np.ndarray):
            return np.array(
                [function(float(v)) if math.isfinite(v) else math.nan for v in x.ravel()]
            ).reshape(x.shape)
        return function(float(x)) if math.isfinite(x) else math.nan

    return compute


def _tangent(x: float) -> float:
    c = cosine(x)
    return math.nan if c == 0 else sine(x) / c


def _root(x: Value) -> Value:
    # A square that came out a hair below 0 is 0.
    return np.sqrt(np.where(np.abs(x) < SLACK, np.abs(x), x))


def _choose(test: Value, yes: Value, no: Value) -> Value:
    return np.where(np.not_equal(test, 0.0), yes, no) + 0.0


def _many(function: Callable[[Value, Value], Value]) -> Callable[..., Value]:
    def compute(*values: Value) -> Value:
        result = values[0]
        for value in values[1:]:
            result = function(result, value)
        return result

    return compute


FUNCTIONS: Mapping[str, Function] = {
    "sqrt": Function(_root, 1, 1, "root"),
    "sin": Function(_on_each(sine), 1, 1, "number"),
    "cos": Function(_on_each(cosine), 1, 1, "number"),
    "tan": Function(_on_each(_tangent), 1, 1, "number"),
    "asin": Function(lambda x: np.degrees(np.arcsin(x)), 1, 1, "number"),
    "acos": Function(lambda x: np.degrees(np.arccos(x)), 1, 1, "number"),
    "atan": Function(lambda x: np.degrees(np.arctan(x)), 1, 1, "number"),
    "abs": Function(np.abs, 1, 1, "like"),
    "min": Function(_many(np.minimum), 2, 9, "like"),
    "max": Function(_many(np.maximum), 2, 9, "like"),
    "floor": Function(floor, 1, 1, "number"),
    "ceil": Function(lambda x: np.ceil(x - SLACK), 1, 1, "number"),
    "round": Function(lambda x: floor(x + 0.5), 1, 1, "number"),
    "choose": Function(_choose, 3, 3, "choose"),
}
