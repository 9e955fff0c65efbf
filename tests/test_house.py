"""The house: rooms import one way only, and outputs never compute."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest

import ringgeom

ROOT = Path(ringgeom.__file__).parent

ROOMS = (
    "units",
    "errors",
    "notebook",
    "facts",
    "asked",
    "finger",
    "metal",
    "colour",
    "marks",
    "form",
    "fonts",
    "engraving",
    "toml_lines",
    "refusing",
    "reading",
    "design",
    "shop",
    "readings",
    "melt",
    "making",
    "price",
    "findings",
    "sketch",
    "jobs",
    "grid",
    "afterwards",
    "resizing",
    "quoting",
    "swap",
    "drawing",
    "sheet",
    "scene",
    "output",
    "spout",
    "terminal",
    "report",
    "page",
    "cli",
    "door",
)
"""From the foundation up: a room may use only those before it."""

LARGEST_LINES = 300


def modules() -> list[Path]:
    return sorted(ROOT.rglob("*.py"))


def room(path: Path) -> str:
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def imported(path: Path, *, for_types: bool = False) -> set[str]:
    """Every module of the house that a file imports, also inside functions."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    skipped: set[int] = set()
    if not for_types:
        for node in ast.walk(tree):
            if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
                skipped.update(id(inner) for child in node.body for inner in ast.walk(child))
    found: set[str] = set()
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("ringgeom"):
            found.add(str(node.module))
            found.update(f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Import):
            found.update(a.name for a in node.names if a.name.startswith("ringgeom"))
    return found


def test_every_room_is_in_the_plan() -> None:
    rooms = {room(path) for path in modules()} - {"__init__"}
    assert rooms == set(ROOMS)


@pytest.mark.parametrize("path", modules(), ids=lambda p: str(p.relative_to(ROOT)))
def test_a_room_uses_only_rooms_below_it(path: Path) -> None:
    own = room(path)
    if own == "__init__":
        return  # the front door opens every room, lazily
    for name in imported(path, for_types=True):
        parts = name.split(".")
        if len(parts) > 1 and parts[1] in ROOMS:
            assert ROOMS.index(parts[1]) <= ROOMS.index(own), f"{own} uses {name}"


def test_no_two_files_need_each_other() -> None:
    """No circle of imports between files, not even one hidden inside functions."""
    names = {
        ".".join(("ringgeom", *path.relative_to(ROOT).with_suffix("").parts)).removesuffix(
            ".__init__"
        ): path
        for path in modules()
        if path != ROOT / "__init__.py"
    }
    needs = {
        name: {other for other in imported(path) if other in names and other != name}
        for name, path in names.items()
    }
    # a package's face gathers its files, and they may name their own package
    needs = {
        name: {o for o in others if not name.startswith(o + ".")} for name, others in needs.items()
    }
    done: set[str] = set()

    def visit(name: str, path: tuple[str, ...]) -> None:
        assert name not in path, " -> ".join((*path[path.index(name) :], name))
        if name not in done:
            for other in sorted(needs[name]):
                visit(other, (*path, name))
            done.add(name)

    for name in sorted(needs):
        visit(name, ())


def test_only_the_loader_opens_the_tables() -> None:
    for path in modules():
        if room(path) != "facts":
            text = path.read_text(encoding="utf-8")
            assert '.csv"' not in text.replace("weights.csv", ""), path
            assert "DictReader" not in text, path


def test_commands_and_outputs_do_no_geometry() -> None:
    """The CLI and the report do not touch numpy; outputs only write what is there."""
    plain = [ROOT / name for name in ("terminal.py", "output/json.py", "output/table.py")]
    plain += [*(ROOT / "cli").glob("*.py"), *(ROOT / "report").glob("*.py")]
    plain += (ROOT / "output").glob("json_*.py")
    for path in plain:
        assert "numpy" not in path.read_text(encoding="utf-8"), path


def test_files_stay_small() -> None:
    for path in modules():
        lines = len(path.read_text(encoding="utf-8").splitlines())
        assert lines <= LARGEST_LINES, f"{path} has {lines} lines: probably two subjects"


def test_nothing_lies_about_unused() -> None:
    """Every function, class and constant is named once more than where it stands.

    What is decorated as a rule or a command is used by being so.
    """
    texts = {path: path.read_text(encoding="utf-8") for path in modules()}
    named = Counter(word for text in texts.values() for word in re.findall(r"\w+", text))
    for path, text in texts.items():
        for name in defined(ast.parse(text)):
            assert named[name] > 1, f"{path}: {name}"


def defined(tree: ast.Module) -> Iterator[str]:
    """Names that a file makes at its outermost level."""
    plain = ("dataclass", "cache", "contextmanager")
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            if all(any(word in ast.unparse(one) for word in plain) for one in node.decorator_list):
                yield node.name
        elif isinstance(node, ast.Assign):
            yield from (one.id for one in node.targets if isinstance(one, ast.Name))
        elif isinstance(node, ast.AnnAssign):
            yield ast.unparse(node.target)
