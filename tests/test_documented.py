"""Every public name says what it is, and every number its unit."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import ringgeom

ROOT = Path(ringgeom.__file__).parent
FILES = tuple(sorted(ROOT.rglob("*.py")))

Defined = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef
Named = tuple[str, Defined, "ast.ClassDef | None"]


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def public(node: ast.Module | ast.ClassDef, inside: str = "") -> Iterator[Named]:
    """Classes, functions and methods without a leading underscore, with the class they are in."""
    for one in node.body:
        if isinstance(one, Defined) and not one.name.startswith("_"):
            yield inside + one.name, one, node if isinstance(node, ast.ClassDef) else None
            if isinstance(one, ast.ClassDef):
                yield from public(one, f"{inside}{one.name}.")


CLASSES = [one for path in FILES for one in ast.walk(tree(path)) if isinstance(one, ast.ClassDef)]


def bases(one: ast.ClassDef) -> Iterator[ast.ClassDef]:
    """The classes of the package that a class stands on, nearest first."""
    for base in one.bases:
        name = ast.unparse(base).split("[")[0].split(".")[-1]
        for found in CLASSES:
            if found.name == name and name != one.name:
                yield found
                yield from bases(found)


def protocols() -> set[str]:
    """Methods of every protocol, which many classes answer to: told each, or all in its own."""
    return {
        one.name
        for found in CLASSES
        if any("Protocol" in ast.unparse(base) for base in found.bases)
        for one in found.body
        if isinstance(one, Defined)
        if ast.get_docstring(one) or f"`{one.name}`" in (ast.get_docstring(found) or "")
    }


PROTOCOLS = protocols()


def says(one: Defined, owner: ast.ClassDef | None) -> bool:
    """Whether it has a docstring, its own or that of the method it stands for."""
    if ast.get_docstring(one):
        return True
    return owner is not None and (
        one.name in PROTOCOLS
        or any(
            isinstance(other, Defined) and other.name == one.name and ast.get_docstring(other)
            for base in bases(owner)
            for other in base.body
        )
    )


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_public_name_says_what_it_is(path: Path) -> None:
    module = tree(path)
    assert ast.get_docstring(module), "the file says what its subject is"
    silent = [name for name, one, owner in public(module) if not says(one, owner)]
    assert not silent


UNITS = {"mm", "mm2", "mm3", "mm4", "g", "c", "deg", "rad", "permille", "percent", "cm3", "k"}
UNITS |= {"mpa", "s", "px", "pt", "nm", "um", "hour", "minutes", "days", "m", "us", "de00"}
UNITS |= {"cost", "credit", "factor", "ratio", "weight"}
"""Last words of a name that tell its unit; `us` are US sizes, a ratio and a factor have none."""

SHORT = {
    "delta_e_00": "CIEDE2000",
    "delta_e_00_a": "CIEDE2000",
    "delta_e_00_d65": "CIEDE2000",
    "angle": "rad from 12 o'clock",
    "band": "CIEDE2000",
    "fume": "a share",
    "grams": "g",
    "karat": "24ths",
    "lean": "mm along the radius for a mm along the axis",
    "phase": "rad",
    "radius": "mm",
    "rough": "0 for a mirror, 1 for chalk",
    "tilt": "rad",
    "turn": "rad",
    "twist": "rad for a mm along the axis",
    "yellowness": "yellowness index",
    "z": "mm from mid-width",
    "z0": "mm from mid-width",
    "z1": "mm from mid-width",
}
"""Short names, as in the cited formulas, that mean one thing in one unit in the whole house."""

TELLS = re.compile(
    r"\[[^\]]+\]|\b(mm|`unit`|rad|grams|g/cm3|permille|percent|shares?|times|points|units?|currency|dE00)\b"
)
"""How a docstring tells the unit of what has none in its name."""


def numbers(one: Defined) -> Iterator[str]:
    """Single numbers that a function takes, or that a class holds, without a unit in their name."""
    if isinstance(one, ast.ClassDef):
        found = [(x.target, x.annotation) for x in one.body if isinstance(x, ast.AnnAssign)]
        named = [(ast.unparse(target), annotation) for target, annotation in found]
        if any(name == "unit" for name, _ in named):
            return  # told beside it
    else:
        every = [*one.args.posonlyargs, *one.args.args, *one.args.kwonlyargs]
        named = [(a.arg, a.annotation) for a in every if a.annotation is not None]
    for name, annotation in named:
        kind = re.sub(r"^Annotated\[(\w+), .*\]", r"\1", ast.unparse(annotation))
        number = kind in ("float", "float | None")
        if number and not name.startswith("_") and name.split("_")[-1] not in UNITS:
            yield name


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_number_tells_its_unit(path: Path) -> None:
    """By the end of its name, by a name that has one meaning only, or in its docstring.

    Options of the command line tell it in their help, in capitals.
    """
    if path.parent.name == "cli":
        return
    untold = []
    for name, one, owner in public(tree(path)):
        doc = "".join(ast.get_docstring(x) or "" for x in (one, owner) if x is not None)
        inner = one.body if isinstance(one, ast.ClassDef) else ()
        doc += "".join(
            str(x.value.value)
            for x in inner
            if isinstance(x, ast.Expr) and isinstance(x.value, ast.Constant)
        )
        if not TELLS.search(doc):
            untold += [f"{name} {number}" for number in numbers(one) if number not in SHORT]
    assert not untold
