"""Paper: sheets, pens, lettering and colours, and the writers that put sheets into files."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tesselath.draw.paper.colours import (
        colour_distance as colour_distance,
        grey as grey,
        mixed as mixed,
        tinted as tinted,
    )
    from tesselath.draw.paper.lettering import (
        fitted_cap as fitted_cap,
        text_outline as text_outline,
        text_width as text_width,
        wrapped_text as wrapped_text,
    )
    from tesselath.draw.paper.measuring import (
        Tape as Tape,
        draw_dimension as draw_dimension,
        draw_ruler as draw_ruler,
        ruler_depth as ruler_depth,
        without_ease as without_ease,
    )
    from tesselath.draw.paper.page import (
        Page as Page,
        check_line as check_line,
        lay_page as lay_page,
        page_for as page_for,
    )
    from tesselath.draw.paper.pdf import (
        TYPST_FONT as TYPST_FONT,
        quote_typst as quote_typst,
        typeset as typeset,
        write_pdf as write_pdf,
        write_pngs as write_pngs,
    )
    from tesselath.draw.paper.pens import (
        INK as INK,
        SIGNAL as SIGNAL,
        Pens as Pens,
        pens_for as pens_for,
    )
    from tesselath.draw.paper.restyle import in_black as in_black, scaled as scaled
    from tesselath.draw.paper.sheet import (
        Circle as Circle,
        Corners as Corners,
        Fill as Fill,
        Hatch as Hatch,
        Item as Item,
        Layer as Layer,
        Line as Line,
        Point as Point,
        Polygon as Polygon,
        Sheet as Sheet,
        Stroke as Stroke,
        Text as Text,
        box_outline as box_outline,
        moved as moved,
        moved_corners as moved_corners,
    )
    from tesselath.draw.paper.svg import show_coordinate as show_coordinate, write_svg as write_svg
    from tesselath.draw.paper.window import (
        Box as Box,
        Cuttable as Cuttable,
        in_window as in_window,
        prepare as prepare,
        runs_of as runs_of,
    )
else:
    from tesselath.doors import open_doors

    __all__, __getattr__, __dir__ = open_doors(
        __name__,
        {
            "colours": "colour_distance grey mixed tinted",
            "lettering": "fitted_cap text_outline text_width wrapped_text",
            "measuring": "Tape draw_dimension draw_ruler ruler_depth without_ease",
            "page": "Page check_line lay_page page_for",
            "pdf": "TYPST_FONT quote_typst typeset write_pdf write_pngs",
            "pens": "INK SIGNAL Pens pens_for",
            "restyle": "in_black scaled",
            "sheet": (
                "Circle Corners Fill Hatch Item Layer Line Point Polygon Sheet Stroke Text "
                "box_outline moved moved_corners"
            ),
            "svg": "show_coordinate write_svg",
            "window": "Box Cuttable in_window prepare runs_of",
        },
    )
