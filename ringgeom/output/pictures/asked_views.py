"""Which views are asked for, by their names."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from ringgeom.errors import InputError, Problem
from ringgeom.scene.view import VIEWS

TURNTABLE = "turntable"


def view_names() -> tuple[str, ...]:
    """Every view that there is, in the order of a sheet."""
    return tuple(VIEWS)


def views_meant(names: Sequence[str]) -> tuple[str, ...]:
    """The views of some names, each once and in the order of a sheet; all of them for none.

    Raises
    ------
    InputError
        A name is none of a view; all that are wrong are told.
    """
    problems = []
    for name in dict.fromkeys(names):
        if name not in VIEWS:
            near = difflib.get_close_matches(name.lower().replace(" ", "-"), VIEWS, 1, 0.4)
            problems.append(
                Problem(
                    text="there is no such view",
                    where="--view",
                    value=f'"{name}"',
                    allowed=", ".join(VIEWS),
                    nearest=near[0] if near else "",
                )
            )
    if problems:
        raise InputError(problems)
    return tuple(name for name in VIEWS if name in names or not names)
