"""Compares all that two checkouts write, to the byte: ``python tests/same_bytes.py OLD NEW``.

Run before a change that must not be seen from outside. Each checkout is installed twice, as a
checkout and as a wheel in an empty environment, and is asked for all that it can write: every
help, what ``begin`` writes, the plan folder of every example and of every pattern, answers in
JSON, the JSON Schema, the pattern reference and the gallery. What is written is kept below
``--work``, so that a second run asks only what is missing. Exit status 1 where anything differs.
"""

from __future__ import annotations

import argparse
import hashlib
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

#: Commands asked once in each environment, beside the examples' folders, in this order.
ASKED = (
    "patterns",
    "patterns --json",
    "patterns stepped-diamond",
    "patterns herringbone --json",
    "woods",
    "woods --json",
    "woods cherry",
    "movement hall-table/design.toml",
    "movement hall-table/design.toml --json",
    "prove herringbone",
    "prove herringbone --json",
    "prove no-such-pattern",
    "prove no-such-pattern --json",
    "begin plain.toml",
    "begin metric.toml --units mm --width 612 --depth 306",
    "begin own.toml --pattern-file",
    "begin plain.toml",
    "begin no-toml --json",
    "plan nowhere.toml",
    "plan hall-table/design.toml --only plan,map --into only --json",
    "plan hall-table/design.toml --only figures,steps,mirrored --into published",
    "plan hall-table/design.toml --only nothing",
    "plan hall-table/design.toml --spoiled 17,31",
    "plan hall-table/design.toml --spoiled 17,31 --json",
    "plan sideboard/design.toml --into sideboard-json --json",
    "fit card-table/design.toml --top 3",
    "fit card-table/design.toml --json",
    "fit card-table/design.toml --apply 1 --into applied.toml --picture layouts.svg",
    "refit window-seat/design.toml --from window-seat-plan --cut inner",
    "compare hall-table/design.toml card-table/design.toml --picture both.svg",
    "compare hall-table-plan hall-table/design.toml --json",
)


@dataclass(frozen=True)
class Environment:
    """A Python that has one checkout installed in one of two ways."""

    checkout: Path
    python: Path
    out: Path  # where it works, and where its answers are kept

    def ask(self, name: str, command: str) -> None:
        """Run a command of the program once and keep what it prints."""
        kept = self.out / "answers" / f"{name}.txt"
        if kept.exists():
            return
        words = [str(self.python), "-m", "tesselath", *command.split()]
        done = subprocess.run(words, cwd=self.out, capture_output=True, text=True, check=False)
        text = f"{command}\nstatus {done.returncode}\n{done.stdout}{done.stderr}"
        kept.parent.mkdir(exist_ok=True)
        kept.write_text(_without_places(text, self), encoding="utf-8")


def main() -> None:
    """Install both checkouts both ways, ask, and compare."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("old", type=Path)
    parser.add_argument("new", type=Path)
    parser.add_argument("--work", type=Path, help="where what is written is kept")
    given = parser.parse_args()
    work = given.work or Path(tempfile.mkdtemp(prefix="same-bytes-"))
    differences: list[str] = []
    for way in ("checkout", "wheel"):
        sides = [
            _prepare(path.resolve(), way, work.resolve() / f"{side}-{way}")
            for side, path in (("old", given.old), ("new", given.new))
        ]
        for side in sides:
            _ask_all(side)
        differences += [f"{way}: {line}" for line in _differences(*(s.out for s in sides))]
    kept = [_committed(path.resolve()) for path in (given.old, given.new)]
    differences += [f"committed: {line}" for line in _unlike(*kept)]
    print("\n".join(differences) or "The same to the byte.")
    sys.exit(1 if differences else 0)


def _prepare(checkout: Path, way: str, folder: Path) -> Environment:
    python = folder / "venv" / "bin" / "python"
    if not python.exists():
        subprocess.run([sys.executable, "-m", "venv", str(folder / "venv")], check=True)
        what = ["-e", str(checkout)] if way == "checkout" else [str(checkout)]
        subprocess.run([str(python), "-m", "pip", "install", "--quiet", *what], check=True)
    out = folder / "out"
    out.mkdir(exist_ok=True)
    for design in sorted((checkout / "examples").glob("*/design.toml")):
        beside = out / design.parent.name
        beside.mkdir(exist_ok=True)
        for file in design.parent.iterdir():
            (beside / file.name).write_bytes(file.read_bytes())
    return Environment(checkout, python, out)


def _ask_all(at: Environment) -> None:
    """Ask for everything; plans two at a time, for that is what takes the time."""
    at.ask("help", "--help")
    at.ask("version", "--version")
    listed = (at.out / "answers" / "help.txt").read_text("utf-8").partition("Commands:")[2]
    for name in re.findall(r"^  ([a-z]+)", listed, re.MULTILINE):
        at.ask(f"help-{name}", f"{name} --help")
    plans = [
        (f"plan-{d.parent.name}", f"plan {d.parent.name}/design.toml --into {d.parent.name}-plan")
        for d in sorted(at.out.glob("*/design.toml"))
        if d.parent.name in {p.name for p in (at.checkout / "examples").iterdir()}
    ]
    for path in sorted((at.checkout / "patterns").glob("*.toml")):
        name = path.stem
        at.ask(f"begin-{name}", f"begin begun-{name}.toml --pattern {name}")
        plans.append((f"plan-begun-{name}", f"plan begun-{name}.toml"))
    plans.append(("gallery", "gallery --into gallery"))
    with ThreadPoolExecutor(2) as pool:
        list(pool.map(lambda plan: at.ask(*plan), plans))
    for number, command in enumerate(ASKED):
        at.ask(f"asked-{number:02}", command)
    # The schema has lain in two places: it is found by its name.
    code = (
        "from importlib.resources import files; from pathlib import Path;"
        "found = Path(str(files('tesselath'))).rglob('design_schema.json');"
        "print(next(found).read_text('utf-8'))"
    )
    done = subprocess.run([str(at.python), "-c", code], capture_output=True, check=True)
    (at.out / "answers" / "schema.json").write_bytes(done.stdout)


def _without_places(text: str, at: Environment) -> str:
    """Leave out where the program and its patterns lie."""
    text = re.sub(r"[^\s\"]*?/patterns/", "PATTERNS/", text)
    return text.replace(str(at.out), "HERE").replace(str(at.checkout), "CHECKOUT")


def _committed(checkout: Path) -> dict[str, str]:
    """Hash what a checkout keeps of what the program writes."""
    kept = [checkout / "patterns" / "README.md", *sorted((checkout / "gallery").iterdir())]
    return {str(path.relative_to(checkout)): _hash(path) for path in kept}


def _differences(old: Path, new: Path) -> Iterator[str]:
    yield from _unlike(
        *({str(p.relative_to(side)): _hash(p) for p in _files(side)} for side in (old, new))
    )


def _unlike(old: dict[str, str], new: dict[str, str]) -> Iterator[str]:
    for name in sorted(old.keys() | new.keys()):
        if name not in new:
            yield f"{name} is not written any more"
        elif name not in old:
            yield f"{name} is new"
        elif old[name] != new[name]:
            yield f"{name} differs"


def _files(folder: Path) -> Iterator[Path]:
    yield from (path for path in sorted(folder.rglob("*")) if path.is_file())


def _hash(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


if __name__ == "__main__":
    main()
