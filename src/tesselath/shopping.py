"""The shopping list."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ShoppingRow"]


@dataclass(frozen=True, slots=True)
class ShoppingRow:
    """One line to buy; lengths in mm, None where they mean nothing."""

    what: str
    item: str
    wood: str | None
    length: float | None
    width: float | None
    thickness: float | None
    count: float
    unit: str
    price: float | None
