"""Keys of a design that are read and checked but that no output of this version uses.

Comes in: a design. Goes out: the keys it sets in vain, so that nothing is silently ignored.
Refuses: nothing. Once an output uses a key, its row goes.
"""

from __future__ import annotations

from fnmatch import fnmatchcase

from tesselath.design import Design

__all__ = ["unused_keys"]

_UNUSED: tuple[str, ...] = ()


def unused_keys(design: Design) -> tuple[str, ...]:
    """List the keys that a design sets and nothing uses yet.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    tuple of str
        The keys, in file order.

    Raises
    ------
    ValueError
        Never.

    Notes
    -----
    Source: own derivation.
    """
    return tuple(key for key in design.places if any(fnmatchcase(key, u) for u in _UNUSED))
