"""The command that draws every pattern and every example.

Comes in: a folder. Goes out: pictures in it, a contact sheet and a page.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from tesselath.commands.answers import json_option, print_json, says_what_is_wrong
from tesselath.errors import Fault, OutputError

if TYPE_CHECKING:
    pass

__all__ = ["gallery"]


@click.command(epilog="Example: tesselath gallery --into gallery --only herringbone,chevron")
@click.option("--into", type=click.Path(path_type=Path), required=True, help="The folder.")
@click.option("--only", default=None, metavar="NAME,...", help="Some patterns or examples only.")
@json_option
@says_what_is_wrong
def gallery(*, into: Path, only: str | None, as_json: bool) -> None:
    """Draw every pattern and every example: SVG, PNG, a contact sheet and a page."""
    from tesselath.commands.gallery import (
        draw_gallery,
        render_png,
        render_sheet,
        write_index,
    )
    from tesselath.files import examples_folder

    names = None if only is None else {name.strip() for name in only.split(",")}
    pictures = list(draw_gallery(examples=examples_folder(), only=names))
    try:
        into.mkdir(parents=True, exist_ok=True)
        for picture in pictures:
            (into / f"{picture.name}.svg").write_text(picture.svg, encoding="utf-8")
            width = {"map": 1400, "example": 800}.get(picture.kind, 400)
            (into / f"{picture.name}.png").write_bytes(render_png(picture.svg, width_px=width))
        if names is None:
            shown = [p for p in pictures if p.kind != "map" and p.name != "crowded-tray"]
            (into / "sheet.png").write_bytes(render_sheet(shown, columns=9, width_px=1600))
            (into / "index.html").write_text(write_index(pictures), encoding="utf-8")
    except OSError as error:
        reason = error.strerror or "unknown reason"
        raise OutputError(Fault(str(into), None, f"This cannot be written ({reason}).")) from None
    if as_json:
        print_json({"folder": str(into), "pictures": [p.name for p in pictures]})
    else:
        click.echo(f"Drew {len(pictures)} pictures into {into}.")
