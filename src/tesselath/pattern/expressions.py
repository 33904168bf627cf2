"""Bounded expressions: the arithmetic a pattern file may use.

Comes in: text such as ``"n * w + zone_width / 2"``. Goes out: an ``Expression`` that can be
evaluated, on single numbers or on whole arrays, and asked which dimension it has. Refuses:
everything but numbers, names, ``+ - * / %``, comparisons and the listed functions; long or deep
text; results that are not finite; lengths added to plain numbers.

The text is parsed into a syntax tree and only the listed nodes are let through; nothing is ever
executed as Python. Angles are in degrees; comparisons give 1 or 0.
"""

from __future__ import annotations

import ast
import math
import warnings
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from tesselath.errors import PatternError
from tesselath.measure import SLACK
from tesselath.pattern.functions import FUNCTIONS, Value, floor

__all__ = [
    "Dimension",
    "Expression",
    "Value",
    "constant",
    "parse_expression",
]


#: Power of a length: 1 for a length, 2 for an area, 0 for a plain number or an angle; None for
#: the number 0, which may stand for any of them.
Dimension = float | None

LONGEST_TEXT = 300
MOST_NODES = 200


@dataclass(frozen=True, slots=True)
class Expression:
    """A parsed expression; two are equal when their text is.

    Examples
    --------
    >>> parse_expression("(n + 1/2) * w").evaluate({"n": 2.0, "w": 10.0})
    25.0
    """

    text: str
    tree: ast.expr
    #: The dimension of a measure such as "1/8 in"; unset, it follows from the tree.
    measured: Dimension = None

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Expression) and self.text == other.text

    def __hash__(self) -> int:
        return hash(self.text)

    def names(self) -> tuple[str, ...]:
        """List the names it uses, sorted, functions left out."""
        called = {n.func.id for n in ast.walk(self.tree) if _is_call(n)}  # type: ignore[attr-defined]
        used = {n.id for n in ast.walk(self.tree) if isinstance(n, ast.Name)}
        return tuple(sorted(used - called))

    def evaluate(self, values: Mapping[str, Value]) -> Value:
        """Give its value where each name has a value.

        Parameters
        ----------
        values : mapping of str to float or array
            What each name stands for; arrays of one shape may be mixed with numbers
            [mm, degrees or count].

        Returns
        -------
        float or array
            The value, always finite.

        Raises
        ------
        PatternError
            If a name is unknown, or the result is not finite.
        """
        with np.errstate(all="ignore"):
            result = _evaluate(self.tree, values, self.text)
        if isinstance(result, np.ndarray):
            if not np.all(np.isfinite(result)):
                raise PatternError(f'"{self.text}" does not come out as a finite number.')
            return result
        if not math.isfinite(result):
            raise PatternError(f'"{self.text}" does not come out as a finite number.')
        return float(result)

    def number(self, values: Mapping[str, Value]) -> float:
        """Give its value as one number; see `evaluate`."""
        result = self.evaluate(values)
        if isinstance(result, np.ndarray):
            raise PatternError(f'"{self.text}" comes out as many numbers where one is meant.')
        return result

    def dimension(self, dimensions: Mapping[str, Dimension]) -> Dimension:
        """Give the power of a length it has, checking that no unlike things are added.

        Source: dimensional analysis.

        Parameters
        ----------
        dimensions : mapping of str to float or None
            The dimension of each name.

        Returns
        -------
        float or None
            1 for a length, 2 for an area, 0 for a number; None for plain 0.

        Raises
        ------
        PatternError
            If a length meets a plain number where both must be alike.

        Examples
        --------
        >>> parse_expression("r * w").dimension({"r": 0, "w": 1})
        1
        """
        if self.measured is not None:
            return self.measured
        return _dimension(self.tree, dimensions, self.text)


def parse_expression(written: str | float) -> Expression:
    """Parse an expression, letting only arithmetic through.

    >>> parse_expression("2 ** 9")
    Traceback (most recent call last):
    tesselath.errors.PatternError: "2 ** 9": powers are not part of a pattern's arithmetic.
    """
    if isinstance(written, bool):
        raise PatternError(f'"{str(written).lower()}" is not a number or an expression.')
    if isinstance(written, int | float):
        return constant(written)
    text = written.strip()
    if not text:
        raise PatternError("An expression may not be empty.")
    if len(text) > LONGEST_TEXT:
        raise PatternError(
            f'"{text[:40]}...": an expression may have at most {LONGEST_TEXT} characters; '
            "put a part of it into [derive]."
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            tree = ast.parse(text, mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError):
        raise PatternError(
            f'"{text}" cannot be read as arithmetic. Write for example "2 * w + n * s".'
        ) from None
    nodes = sum(1 for _ in ast.walk(tree))
    if nodes > MOST_NODES:
        raise PatternError(f'"{text[:40]}...": too long; put a part of it into [derive].')
    _let_through(tree, text)
    return Expression(text, tree)


def constant(number: float, *, text: str = "", dimension: Dimension = None) -> Expression:
    """Make the expression that is one number, or one measure in mm; see `parse_expression`."""
    try:
        value = float(number)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise PatternError(f'"{number}" is not a finite number.')
    return Expression(text or repr(number), ast.Constant(value), dimension)


def _is_call(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name)


_REFUSED: dict[type[ast.AST], str] = {
    ast.Attribute: "a dot after a name is not part of a pattern's arithmetic.",
    ast.Subscript: "square brackets are not part of a pattern's arithmetic.",
    ast.Lambda: "functions of your own are not part of a pattern's arithmetic.",
    ast.BoolOp: 'write a * b for "both", max(a, b) for "either".',
    ast.IfExp: 'write choose(test, a, b) for "if".',
    ast.Starred: "stars before a name are not part of a pattern's arithmetic.",
    ast.NamedExpr: "use [derive] to name a value.",
    ast.List: "lists are not part of a pattern's arithmetic.",
    ast.Tuple: "a comma is not part of a pattern's arithmetic; a decimal is written 1.5.",
}


def _let_through(tree: ast.expr, text: str) -> None:
    """Refuse every node that is not on the list, each with its reason."""
    for node in ast.walk(tree):
        if isinstance(node, ast.expr_context | ast.operator | ast.unaryop | ast.cmpop):
            continue
        reason = _reason_against(node)
        if reason:
            raise PatternError(f'"{text}": {reason}')


def _reason_against(node: ast.AST) -> str:  # noqa: C901 - one branch for each kind of node
    if isinstance(node, ast.Constant):
        if isinstance(node.value, bool) or not isinstance(node.value, int | float):
            return "only plain numbers may stand in a pattern's arithmetic."
        try:
            finite = math.isfinite(float(node.value))
        except OverflowError:
            finite = False
        return "" if finite else "a number is too large."
    if isinstance(node, ast.Name):
        return ""
    if isinstance(node, ast.UnaryOp):
        plain = isinstance(node.op, ast.UAdd | ast.USub)
        return "" if plain else "only + and - may stand before a value."
    if isinstance(node, ast.BinOp):
        if isinstance(node.op, ast.Pow):
            return "powers are not part of a pattern's arithmetic."
        plain = isinstance(node.op, ast.Add | ast.Sub | ast.Mult | ast.Div | ast.Mod)
        return "" if plain else "only + - * / and % may stand between values."
    if isinstance(node, ast.Compare):
        plain = all(
            isinstance(op, ast.Lt | ast.LtE | ast.Gt | ast.GtE | ast.Eq | ast.NotEq)
            for op in node.ops
        )
        return "" if plain else "only < <= > >= == != compare values."
    if isinstance(node, ast.Call):
        if not isinstance(node.func, ast.Name) or node.func.id not in FUNCTIONS:
            name = node.func.id if isinstance(node.func, ast.Name) else "that"
            return f"there is no function {name}; there are {', '.join(sorted(FUNCTIONS))}."
        if node.keywords:
            return "a function takes plain values only."
        function = FUNCTIONS[node.func.id]
        if not function.least <= len(node.args) <= function.most:
            return f"{node.func.id} takes {function.takes} values, not {len(node.args)}."
        return ""
    return _REFUSED.get(type(node), "that is not part of a pattern's arithmetic.")


def _evaluate(node: ast.expr, values: Mapping[str, Value], text: str) -> Value:  # noqa: C901 - one branch for each kind of node
    if isinstance(node, ast.Constant):
        return float(node.value)  # type: ignore[arg-type]
    if isinstance(node, ast.Name):
        if node.id not in values:
            known = ", ".join(sorted(values))
            raise PatternError(f'"{text}": there is no {node.id} here; there are {known}.')
        return values[node.id]
    if isinstance(node, ast.UnaryOp):
        inner = _evaluate(node.operand, values, text)
        return -inner if isinstance(node.op, ast.USub) else inner
    if isinstance(node, ast.BinOp):
        left = _evaluate(node.left, values, text)
        right = _evaluate(node.right, values, text)
        if isinstance(node.op, ast.Add):
            return left + right
        if isinstance(node.op, ast.Sub):
            return left - right
        if isinstance(node.op, ast.Mult):
            return left * right
        if np.any(np.equal(right, 0.0)):
            raise PatternError(f'"{text}": a value is divided by 0.')
        if isinstance(node.op, ast.Div):
            return left / right
        return left - right * floor(left / right)
    if isinstance(node, ast.Compare):
        return _compare(node, values, text)
    assert isinstance(node, ast.Call)
    assert isinstance(node.func, ast.Name)
    arguments = [_evaluate(argument, values, text) for argument in node.args]
    result = FUNCTIONS[node.func.id].compute(*arguments)
    if np.any(np.isnan(result)):
        raise PatternError(f'"{text}": {node.func.id} has no value there.')
    return result


def _compare(node: ast.Compare, values: Mapping[str, Value], text: str) -> Value:
    truth: Value = 1.0
    left = _evaluate(node.left, values, text)
    for op, comparator in zip(node.ops, node.comparators, strict=True):
        right = _evaluate(comparator, values, text)
        difference = left - right
        # The slack keeps "s % w == 0" steady when s was computed.
        if isinstance(op, ast.Lt):
            holds = difference < -SLACK
        elif isinstance(op, ast.LtE):
            holds = difference <= SLACK
        elif isinstance(op, ast.Gt):
            holds = difference > SLACK
        elif isinstance(op, ast.GtE):
            holds = difference >= -SLACK
        elif isinstance(op, ast.Eq):
            holds = np.abs(difference) <= SLACK
        else:
            holds = np.abs(difference) > SLACK
        truth = truth * (holds.astype(float) if isinstance(holds, np.ndarray) else float(holds))
        left = right
    return truth


def _dimension(node: ast.expr, dimensions: Mapping[str, Dimension], text: str) -> Dimension:  # noqa: C901, PLR0912 - one branch for each kind of node
    if isinstance(node, ast.Constant):
        return None if node.value == 0 else 0
    if isinstance(node, ast.Name):
        if node.id not in dimensions:
            known = ", ".join(sorted(dimensions))
            raise PatternError(f'"{text}": there is no {node.id} here; there are {known}.')
        return dimensions[node.id]
    if isinstance(node, ast.UnaryOp):
        return _dimension(node.operand, dimensions, text)
    if isinstance(node, ast.BinOp):
        left = _dimension(node.left, dimensions, text)
        right = _dimension(node.right, dimensions, text)
        if isinstance(node.op, ast.Mult):
            return None if left is None or right is None else left + right
        if isinstance(node.op, ast.Div):
            return None if left is None else left - (right or 0)
        return _alike(left, right, text)
    if isinstance(node, ast.Compare):
        first = _dimension(node.left, dimensions, text)
        for comparator in node.comparators:
            first = _alike(first, _dimension(comparator, dimensions, text), text)
        return 0
    assert isinstance(node, ast.Call)
    assert isinstance(node.func, ast.Name)
    inner = [_dimension(argument, dimensions, text) for argument in node.args]
    rule = FUNCTIONS[node.func.id].rule
    if rule == "root":
        return None if inner[0] is None else inner[0] / 2
    if rule == "number":
        for dimension in inner:
            if dimension not in (None, 0):
                raise PatternError(
                    f'"{text}": {node.func.id} takes a plain number or an angle, not a length; '
                    "divide by another length first."
                )
        return 0
    if rule == "choose":
        inner = inner[1:]
    result: Dimension = None
    for dimension in inner:
        result = _alike(result, dimension, text)
    return result


def _alike(left: Dimension, right: Dimension, text: str) -> Dimension:
    if left is None:
        return right
    if right is None or math.isclose(left, right, abs_tol=SLACK):
        return left
    raise PatternError(
        f'"{text}": a length meets a plain number. Give the number a unit through a size or a '
        '[derive] entry such as d = "1/8 in".'
    )
