"""The house: rooms in one order, doors that open when asked, and numbers that may only fall."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "tesselath"
TESTS = ROOT / "tests"

#: A room imports only rooms named before it; within draw, paper comes before maps before bench.
_ROOMS = """
    measure shape files pattern design field parts ways cutting stock saw frame wood accuracy glue
    work fit top advice plan revise prove tables draw.paper draw.maps draw.bench book output reckon
    page commands
"""
ORDER = tuple(_ROOMS.split())

#: Modules at the root that every room may use.
GROUND = {"doors", "errors"}

#: The only rooms that know a library, beside the library.
ONLY_IN = {
    "pydantic": {"pattern", "design", "plan", "page"},
    "click": {"commands"},
}

#: The rooms that print lengths.
PRINTS = {"advice", "revise", "tables", "draw", "book", "output", "page", "commands"}

#: What may only fall: lower the number when there is less of it.
RATCHETS = {
    "modules over 400 lines": 2,
    "lines of docstrings": 9000,
    "lines that keep the formatter out": 0,
    "uses of Any": 120,
    "modules that print lengths and should not": 16,
    "modules of the solver that speak in sentences": 5,
}

HEAVY = {"numpy", "shapely", "pydantic", "typst", "ezdxf", "highspy", "networkx", "svgwrite"}


@cache
def modules() -> dict[str, Path]:
    """Every module of the package by its dotted name within it."""
    found = {}
    for path in sorted(SOURCE.rglob("*.py")):
        parts = path.relative_to(SOURCE).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def room_of(module: str) -> str:
    """The room a module lies in; a part of draw counts as a room, the root has none."""
    parts = module.split(".")
    deep = 2 if parts[0] == "draw" else 1
    room = ".".join(parts[:deep])
    return room if (SOURCE / room.replace(".", "/")).is_dir() else ""


@cache
def rooms() -> tuple[str, ...]:
    """The rooms that stand."""
    return tuple(sorted({room_of(module) for module in modules()} - {"", "draw"}))


def doors_of(room: str) -> tuple[str, ...]:
    return tuple(getattr(import_module(f"tesselath.{room}"), "__all__", ()))


def taken(path: Path) -> Iterator[tuple[str, str, int]]:
    """What a file takes from the package: module, name and line, wherever the import stands."""
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "tesselath":
            for alias in node.names:
                yield (
                    (node.module or "").removeprefix("tesselath").lstrip("."),
                    alias.name,
                    (node.lineno),
                )
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.split(".")[0] == "tesselath":
                    yield alias.name.removeprefix("tesselath").lstrip("."), "", node.lineno


def libraries(path: Path) -> set[str]:
    """The libraries that a file names in an import."""
    found = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ImportFrom):
            found.add((node.module or "").split(".")[0])
        elif isinstance(node, ast.Import):
            found |= {alias.name.split(".")[0] for alias in node.names}
    return found


def from_inside() -> Iterator[tuple[str, str, str, str]]:
    """Each import of the package within it: who, the room it lies in, from where, which name."""
    for module, path in modules().items():
        for base, name, line in taken(path):
            whole = f"{base}.{name}".strip(".")
            source = whole if whole in modules() else base
            yield f"{path.relative_to(ROOT)}:{line}", room_of(module), source, name


def test_every_room_has_its_place_in_the_order() -> None:
    assert set(rooms()) <= set(ORDER)


def test_a_room_imports_only_rooms_before_it() -> None:
    wrong = [
        f"{who} takes {name} from {source}"
        for who, room, source, name in from_inside()
        if room and room_of(source) and ORDER.index(room_of(source)) > ORDER.index(room)
    ]
    assert not wrong


def test_nothing_inside_imports_the_root() -> None:
    wrong = [
        f"{who} takes {name or 'the package'}"
        for who, _, source, name in from_inside()
        if not source or (not room_of(source) and source not in GROUND and source != "draw")
    ]
    wrong = [line for line in wrong if "__main__" not in line]
    assert not wrong


def test_the_ground_stands_on_no_room() -> None:
    grounds = {modules()[name] for name in GROUND}
    assert not [base for path in grounds for base, _, _ in taken(path) if base not in GROUND]


def test_a_room_is_entered_by_its_door() -> None:
    wrong = [
        f"{who} takes {name} from {source}"
        for who, room, source, name in from_inside()
        if room_of(source) not in ("", room, source)
    ]
    assert not wrong


@pytest.mark.parametrize("library", sorted(ONLY_IN))
def test_a_library_stays_in_its_rooms(library: str) -> None:
    using = {
        room_of(m).split(".")[0] for m, path in modules().items() if library in libraries(path)
    }
    assert using <= ONLY_IN[library]


@pytest.mark.parametrize("room", rooms())
def test_what_a_type_checker_sees_at_a_door_is_what_opens(room: str) -> None:
    path = SOURCE / room.replace(".", "/") / "__init__.py"
    seen = {name: base for base, name, _ in taken(path) if base != "doors"}
    assert sorted(seen) == sorted(doors_of(room))
    for name, base in seen.items():
        opened = getattr(import_module(f"tesselath.{room}"), name)
        assert opened is getattr(import_module(f"tesselath.{base}"), name)


@pytest.mark.parametrize("room", rooms())
def test_a_room_has_tests_of_its_own(room: str) -> None:
    assert list((TESTS / room.replace(".", "/")).glob("test_*.py"))


@pytest.mark.parametrize("code", ["import tesselath", *(f"import tesselath.{r}" for r in ORDER)])
def test_looking_through_a_door_loads_nothing_heavy(code: str) -> None:
    if code.partition(".")[2] not in ("", *rooms()):
        pytest.skip("this room is not built yet")
    assert not loaded_by(code)


@pytest.mark.parametrize(
    "words", ["--help", "--version", "woods", "woods cherry", "patterns", "plan --help"]
)
def test_what_answers_at_once_loads_nothing_heavy(words: str) -> None:
    code = f"import sys\nsys.argv = ['tesselath', *{words.split()!r}]\n"
    code += "from tesselath.commands import main\nmain(standalone_mode=False)"
    assert not loaded_by(code)


def loaded_by(code: str) -> set[str]:
    """The heavy libraries that a fresh process has loaded after some code."""
    code += "\nimport sys\nprint('LOADED', *{name.split('.')[0] for name in sys.modules})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.rpartition("LOADED")[2].split()) & HEAVY


def test_no_module_is_named_for_nothing() -> None:
    vague = {"utils", "util", "helpers", "helper", "common", "misc", "manager"}
    assert not [name for name in modules() if name.split(".")[-1] in vague]


def test_the_first_folder_can_be_read_at_a_glance() -> None:
    assert len([path for path in SOURCE.iterdir() if path.name != "__pycache__"]) <= 38


@pytest.mark.parametrize("what", sorted(RATCHETS))
def test_what_may_only_fall_has_not_risen(what: str) -> None:
    counted = {
        "modules over 400 lines": long_modules,
        "lines of docstrings": docstring_lines,
        "lines that keep the formatter out": unformatted_lines,
        "uses of Any": uses_of_any,
        "modules that print lengths and should not": printing_modules,
        "modules of the solver that speak in sentences": speaking_solver,
    }[what]()
    number = counted if isinstance(counted, int) else len(counted)
    assert number <= RATCHETS[what], counted
    assert number >= RATCHETS[what] * 0.98, f"lower the number of {what} to {number}"


def long_modules() -> list[str]:
    return [m for m, path in modules().items() if len(path.read_text("utf-8").splitlines()) > 400]


def docstring_lines() -> int:
    return sum(
        node.body[0].end_lineno - node.body[0].lineno + 1  # type: ignore[operator]
        for path in modules().values()
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and ast.get_docstring(node, clean=False) is not None
    )


def unformatted_lines() -> list[str]:
    mark = "# fmt: " + "skip"
    return [
        f"{path.relative_to(ROOT)}:{number}"
        for folder in (SOURCE, TESTS)
        for path in sorted(folder.rglob("*.py"))
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if mark in line
    ]


def uses_of_any() -> list[str]:
    return [
        f"{module}:{node.lineno}"
        for module, path in modules().items()
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.Name) and node.id == "Any"
    ]


def printing_modules() -> list[str]:
    """Modules of other rooms that put lengths into words: by show_ of measure, or of a design."""
    return [
        module
        for module, path in modules().items()
        if room_of(module).split(".")[0] not in PRINTS | {"", "measure"} and _prints(path)
    ]


def speaking_solver() -> list[str]:
    """Modules of the solver that word a refusal; it should answer by a value."""
    return [
        module
        for module, path in modules().items()
        if room_of(module) == "cutting" and any(name == "Fault" for _, name, _ in taken(path))
    ]


def _prints(path: Path) -> bool:
    named = any(name.startswith("show_") for base, name, _ in taken(path) if base == "measure")
    called = any(
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("show", "show_plain", "show_both")
        for node in ast.walk(tree_of(path))
    )
    return named or called


def test_developers_are_told_of_every_room_and_of_no_other() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    listed = text.partition("## The rooms")[2].partition("Two modules")[0]
    named = [line.split("`")[1] for line in listed.splitlines() if line.startswith("| `")]
    assert named == [room for room in ORDER if room in rooms()]


def test_every_file_that_developers_are_told_of_exists() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8")
    named = [word.partition(" ")[0] for word in text.split("`")[1::2] if "/" in word]
    files = [name for name in named if name.endswith((".py", ".csv", ".md")) and "*" not in name]
    assert len(files) > 20
    assert not [f for f in files if not (ROOT / f).exists() and not (SOURCE / f).exists()]
