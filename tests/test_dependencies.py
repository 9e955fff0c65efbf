"""Every dependency has a floor and a ceiling, and what is installed lies between them."""

from __future__ import annotations

import re
import tomllib
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import pytest

PROJECT = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))[
    "project"
]
WANTED = (*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["test"])


def numbers(text: str) -> tuple[int, ...]:
    return tuple(map(int, re.findall(r"\d+", text)))


def ends(wanted: str) -> tuple[str, tuple[int, ...], tuple[int, ...]]:
    """Name, floor and ceiling: `>=1.2,<2`, or `~=1.2.3`, which is below 1.3."""
    found = re.fullmatch(r"([\w-]+)(?:\[\w+\])?(?:>=([\d.]+),<([\d.]+)|~=([\d.]+))", wanted)
    assert found is not None, f"{wanted} has no floor and ceiling"
    if found[4] is None:
        return found[1], numbers(found[2]), numbers(found[3])
    floor = numbers(found[4])
    return found[1], floor, (*floor[:-2], floor[-2] + 1)


@pytest.mark.parametrize("wanted", WANTED)
def test_what_is_installed_lies_between(wanted: str) -> None:
    name, floor, ceiling = ends(wanted)
    assert floor < ceiling
    try:
        here = numbers(version(name))
    except PackageNotFoundError:
        pytest.skip(f"{name} is not installed here: it is for tests only")
    assert floor <= here + (0,) * (len(floor) - len(here)) < ceiling
