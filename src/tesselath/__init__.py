"""tesselath lays out a decorative field of wood strips in a framed panel.

From a short design file it gives the numbered map, every piece with its lengths and mitre
angles, identical pieces grouped as parts, the saw set-ups and the sticks to buy.
"""

__all__ = ["__version__"]

__version__ = "0.1.0"
