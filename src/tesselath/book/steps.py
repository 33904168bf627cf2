"""The steps as Markdown, for whoever publishes the plan on a page of their own.

Comes in: a plan. Goes out: the text of steps.md.

The same chapters as the printed plan, those that are work to do. Pictures keep the numbers that
they carry there, and are shown from the folder ``figures``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from tesselath.book.blocks import (
    BLANK,
    Beside,
    Block,
    Contents,
    Figure,
    Heading,
    NewPage,
    Points,
    Table,
    Title,
    Words,
    figure_file,
    number_figures,
)
from tesselath.book.book import plan_chapters
from tesselath.book.english import Speech, speech_for
from tesselath.book.front import woods_of
from tesselath.plan import Plan

__all__ = ["write_steps"]

#: What Markdown would take for markup of its own.
_SIGNS = re.compile(r"([\\`*_{}\[\]<>#|~])")


def write_steps(plan: Plan) -> str:
    """Write the steps as Markdown.

    Source: CommonMark; tables by common practice.

    Returns
    -------
    str
        The text: CommonMark, with tables as most writers of it read them.
    """
    design = plan.design
    chapters = plan_chapters(plan)
    numbers = {figure.name: number for number, figure in number_figures(chapters)}
    writer = _Writer(speech_for(design, tuple(woods_of(plan))), numbers)
    by = [design.author, f"revision {design.revision}" if design.revision else "", design.licence]
    about = " · ".join(word for word in by if word)
    lines = [
        f"# {_plain(design.name)}",
        *([_plain(about)] if about else []),
        f"Plan with the design mark {design.mark}.",
    ]
    steps = [chapter for chapter in chapters if chapter.step]
    for number, chapter in enumerate(steps, 1):
        lines.append(f"## {number}. {writer.words(chapter.title)}")
        lines += [text for block in chapter.blocks if (text := writer.block(block))]
    return "\n\n".join(lines) + "\n"


class _Writer:
    """Turns blocks into Markdown; figures are named by their numbers."""

    def __init__(self, speech: Speech, numbers: Mapping[str, int]) -> None:
        self.speech, self.numbers = speech, numbers

    def words(self, text: str) -> str:
        """Spell words, and keep their signs from being read as markup; blanks stay lines."""
        return BLANK.replace("_", "\\_").join(map(_plain, self.speech.say(text).split(BLANK)))

    def block(self, block: Block) -> str:
        """Give a block as Markdown."""
        match block:
            case Heading():
                return f"{'#' * (block.level + 1)} {self.words(block.text)}"
            case Words():
                words = self.words(block.text)
                marks = {"strong": "**", "small": "*"}
                if block.style == "caution":
                    return f"> {words}"
                mark = marks.get(block.style, "")
                return f"{mark}{words}{mark}"
            case Points():
                signs = {"tick": "- [ ]", "dot": "-"}
                return "\n".join(
                    f"{signs.get(block.sign, f'{n}.')} {self.words(item)}"
                    for n, item in enumerate(block.items, 1)
                )
            case Table():
                return self._table(block)
            case Figure():
                number = self.numbers[block.name]
                caption = f" {self.words(block.caption)}" if block.caption else ""
                picture = f"![Figure {number}]({figure_file(number, block.name)}.png)"
                return f"{picture}\n\n*Figure {number}.*{caption}"
            case Beside():
                both: Sequence[Block] = (*block.left, *block.right)
                # What stands beside a picture is read first: its heading names it.
                ordered = sorted(both, key=lambda one: isinstance(one, Figure))
                return "\n\n".join(text for one in ordered if (text := self.block(one)))
            case Title() | Contents() | NewPage():
                return ""
        raise TypeError(f"{block!r} is no block of the book")

    def _table(self, block: Table) -> str:
        if not block.rows:
            return ""
        head = block.head or ("",) * len(block.align)
        rule = [{"r": "--:", "c": ":-:"}.get(a, "---") for a in block.align]
        rows = [[self.words(cell) or " " for cell in row] for row in block.rows]
        if block.strong:
            rows = [[f"**{row[0]}**", *row[1:]] for row in rows]
        lines = [[self.words(word) for word in head], rule, *rows]
        return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _plain(text: str) -> str:
    """Keep the signs of a text from being read as markup."""
    return _SIGNS.sub(r"\\\1", text)
