"""How many examples a property that plans whole tops is tried with."""

from __future__ import annotations

from hypothesis import settings

#: Examples in a quick run, to which a test's own number is meant.
_QUICK = 25


def examples(count: int) -> settings:
    """Try a property with so many examples in a quick run, and with more in the other profiles."""
    return settings(max_examples=max(count, count * settings.default.max_examples // _QUICK))
