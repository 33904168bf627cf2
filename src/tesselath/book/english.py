"""English: British or American spelling for words and drawings, names left as they are.

Comes in: a design. Goes out: a way to spell.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from tesselath.design import Design
from tesselath.draw.paper import Layer, Sheet, Text
from tesselath.measure import in_english

__all__ = ["Speech", "speech_for"]


@dataclass(frozen=True, slots=True)
class Speech:
    """How words are spelt: "US" or "UK", and the maker's own names, which stay."""

    english: str
    names: tuple[str, ...]

    def say(self, words: str) -> str:
        """Spell words of the program's own; what the maker named stays as it is written."""
        if self.english == "UK":
            return words
        if not self.names:
            return in_english(words, self.english)
        parts = re.split(f"({'|'.join(map(re.escape, self.names))})", words)
        return "".join(
            part if n % 2 else in_english(part, self.english) for n, part in enumerate(parts)
        )

    def letter(self, sheet: Sheet) -> Sheet:
        """Spell the lettering of a drawing."""
        if self.english == "UK":
            return sheet
        return replace(sheet, layers=tuple(self._layer(layer) for layer in sheet.layers))

    def _layer(self, layer: Layer) -> Layer:
        return replace(
            layer,
            items=tuple(
                replace(item, text=self.say(item.text)) if isinstance(item, Text) else item
                for item in layer.items
            ),
        )


def speech_for(design: Design, woods: tuple[str, ...]) -> Speech:
    """Choose the spelling for a design.

    Parameters
    ----------
    design : Design
        The design: its English and its names.
    woods : tuple of str
        The woods it uses.
    """
    names = {design.name, design.author, design.revision, design.licence, *woods} - {""}
    return Speech(design.english, tuple(sorted(names, key=lambda name: (-len(name), name))))
