"""The plan folder: files written whole or not at all.

Comes in: names with their contents. Goes out: a folder on disk. Refuses: a folder that the program
did not make, unless it is told to.

Everything is written into a new folder beside the old one first; only then do the files change
places, so that a full disk or a lost connection leaves the old plan as it was.
"""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Collection, Mapping
from pathlib import Path

from tesselath.errors import Fault, OutputError

__all__ = ["FILE_NAMES", "write_file", "write_folder"]

#: Every file a plan folder may hold; an older one of these is taken away when it is not renewed.
FILE_NAMES = (
    "plan.json",
    "map.svg",
    "parts.csv",
    "pieces.csv",
    "setups.csv",
    "sticks.csv",
    "sticks.svg",
    "shopping.csv",
    "glue-up.csv",
    "plan.pdf",
    "cards.pdf",
    "rod.pdf",
    "template.pdf",
    "template.svg",
    "template-mirrored.pdf",
    "template-mirrored.svg",
    "map.dxf",
    "movement.svg",
    "steps.md",
)

#: Folders within a plan folder that hold nothing but the program's own files.
_FOLDERS = ("figures",)

_FORMAT = "tesselath-plan/"


def write_folder(files: Mapping[str, str | bytes], *, into: Path, force: bool = False) -> None:
    """Write a plan folder.

    Source: common practice (write aside, then rename).

    Parameters
    ----------
    files : mapping of str to str or bytes
        The contents by file name; a name may lie in a folder, as in figures/1.svg.
    force : bool
        Whether a folder that the program did not make may be written into.

    Raises
    ------
    OutputError
        If the folder is somebody else's, or cannot be written.
    """
    if into.exists() and not into.is_dir():
        raise OutputError(
            Fault(str(into), None, "This is a file, not a folder.", "Choose another.")
        )
    if into.is_dir() and any(into.iterdir()) and not force and not _is_ours(into):
        raise OutputError(
            Fault(
                str(into),
                None,
                "This folder holds files that no plan made.",
                "Choose another with --into, or write into it with --force.",
            )
        )
    try:
        into.parent.mkdir(parents=True, exist_ok=True)
        aside = Path(tempfile.mkdtemp(prefix=f".{into.name}-", dir=into.parent))
    except OSError as error:
        raise _cannot_write(into, error) from None
    try:
        for name, content in files.items():
            data = content.encode() if isinstance(content, str) else content
            (aside / name).parent.mkdir(parents=True, exist_ok=True)
            (aside / name).write_bytes(data)
        if not into.exists():
            aside.chmod(0o755)
            aside.replace(into)
            return
        _change_places(aside, into, files, keep=_same_plan(into, files.get("plan.json")))
    except OSError as error:
        raise _cannot_write(into, error) from None
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _change_places(aside: Path, into: Path, files: Collection[str], *, keep: bool) -> None:
    """Put the new files in the place of the old ones; undo it all if one of them cannot be moved.

    Files of an older plan that are not renewed are taken away, unless it is the same plan.
    """
    old = aside / "old"
    old.mkdir()
    gone = [] if keep else [name for name in _known(into) if name not in files]
    moved: list[tuple[Path, Path]] = []
    try:
        for name in [*files, *gone]:
            if (into / name).exists():
                (old / name).parent.mkdir(parents=True, exist_ok=True)
                (into / name).replace(old / name)
                moved.append((old / name, into / name))
            if name in files:
                (into / name).parent.mkdir(parents=True, exist_ok=True)
                (aside / name).replace(into / name)
                moved.append((into / name, aside / name))
    except OSError:
        for now, before in reversed(moved):
            now.rename(before)
        raise


def _known(into: Path) -> list[str]:
    """Every file of the program's own that may lie in a plan folder."""
    inner = [path for name in _FOLDERS for path in sorted((into / name).glob("*"))]
    return [*FILE_NAMES, *(str(path.relative_to(into)) for path in inner)]


def _same_plan(into: Path, plan: str | bytes | None) -> bool:
    """Whether the folder holds this very plan already."""
    data = plan.encode() if isinstance(plan, str) else plan
    try:
        return (into / "plan.json").read_bytes() == data
    except OSError:
        return False


def write_file(path: Path, content: str, *, force: bool = False) -> None:
    """Write one new file, whole or not at all.

    Parameters
    ----------
    force : bool
        Whether an existing file may be replaced.

    Raises
    ------
    OutputError
        If the file exists, or cannot be written.
    """
    if path.exists() and (path.is_dir() or not force):
        raise OutputError(
            Fault(
                str(path),
                None,
                "There is a file of this name already; it stays as it is.",
                "Choose another name, or replace it with --force.",
            )
        )
    aside: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}-", dir=path.parent)
        aside = Path(name)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(content)
        aside.chmod(0o644)
        aside.replace(path)
    except OSError as error:
        if aside is not None:
            aside.unlink(missing_ok=True)
        raise _cannot_write(path, error, "Choose another name or place.") from None


def _is_ours(folder: Path) -> bool:
    """Whether a plan of this program lies in a folder."""
    try:
        with (folder / "plan.json").open(encoding="utf-8") as stream:
            found = json.load(stream).get("format", "")
    except (OSError, ValueError, AttributeError):
        return False
    return isinstance(found, str) and found.startswith(_FORMAT)


def _cannot_write(
    path: Path, error: OSError, remedy: str = "Choose another place with --into."
) -> OutputError:
    reason = error.strerror or "unknown reason"
    rule = f"This cannot be written ({reason[0].lower()}{reason[1:]})."
    return OutputError(Fault(str(path), None, rule, remedy))
