"""The book: the printable plan, chapter by chapter.

Comes in: a plan. Goes out: its chapters, or the bytes of plan.pdf.
"""

from __future__ import annotations

from tesselath.book.back import cautions, glossary
from tesselath.book.blocks import Chapter
from tesselath.book.cutting import cut_list, cutting, map_of_parts
from tesselath.book.english import speech_for
from tesselath.book.fit_pages import after_the_glue, dry_fit
from tesselath.book.frame_pages import frame_and_base
from tesselath.book.front import buying, cover, woods_of
from tesselath.book.glue_pages import gluing
from tesselath.book.paper import page_room
from tesselath.book.stick_pages import stick_diagrams
from tesselath.book.typst_pages import set_book
from tesselath.book.wood_pages import wood_moves
from tesselath.plan import Plan

__all__ = ["plan_chapters", "write_book"]


def write_book(plan: Plan) -> bytes:
    """Write plan.pdf.

    Source: common practice of published plans.

    Returns
    -------
    bytes
        The file, the same for the same plan.
    """
    return set_book(
        plan_chapters(plan), plan.design, speech=speech_for(plan.design, tuple(woods_of(plan)))
    )


def plan_chapters(plan: Plan) -> tuple[Chapter, ...]:
    """Write the chapters of the book, the cover first.

    Source: common practice of published plans.

    Returns
    -------
    tuple of Chapter
        The chapters that have something to say.
    """
    room = page_room(plan.design)
    before = (
        cover,
        buying,
        frame_and_base,
        map_of_parts,
        cutting,
        cut_list,
        stick_diagrams,
        dry_fit,
    )
    after = (after_the_glue, wood_moves, cautions, glossary)
    chapters = (
        *(chapter(plan, room) for chapter in before),
        *gluing(plan, room),
        *(chapter(plan, room) for chapter in after),
    )
    return tuple(chapter for chapter in chapters if chapter.blocks)
