"""The book: the printable plan, its figures and its steps, all from one list of blocks."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.book.blocks import (
        Beside as Beside,
        Block as Block,
        Chapter as Chapter,
        Figure as Figure,
        Heading as Heading,
        Title as Title,
        Words as Words,
        figure_file as figure_file,
        number_figures as number_figures,
    )
    from tesselath.book.book import plan_chapters as plan_chapters, write_book as write_book
    from tesselath.book.english import speech_for as speech_for
    from tesselath.book.front import woods_of as woods_of
    from tesselath.book.steps import write_steps as write_steps
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "blocks": "Beside Block Chapter Figure Heading Title Words figure_file number_figures",
            "book": "plan_chapters write_book",
            "english": "speech_for",
            "front": "woods_of",
            "steps": "write_steps",
        },
    )
