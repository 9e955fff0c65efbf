"""Writing a colour map: PNG or SVG by the name's ending, beside and then renamed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ringgeom.colour.ternary import chart_points
from ringgeom.errors import InputError, Problem
from ringgeom.metal import Alloy
from ringgeom.output.one_file import write_file

KINDS = {".png": "png", ".svg": "svg"}


def write_chart(file: Path, alloys: Sequence[Alloy], *, title: str, green: bool) -> tuple[str, ...]:
    """Write a map with alloys marked; returns what to tell.

    Raises
    ------
    InputError
        The name ends in neither .png nor .svg.
    OutputError
        It cannot be written; an old file is untouched.
    """
    kind = KINDS.get(file.suffix.lower())
    if kind is None:
        raise InputError(
            Problem(
                text="a map is written as a picture or as a drawing",
                value=file.name,
                allowed="a name ending in .png or .svg",
                nearest=f"{file.stem.strip('.') or 'map'}.png" if file.suffix else "map.png",
            )
        )
    from ringgeom.output.chart import ternary_chart
    from ringgeom.output.chart_green import green_line_chart

    unique = {alloy.recipe.shares: alloy for alloy in reversed(alloys)}
    points = chart_points(reversed(list(unique.values())))
    draw = green_line_chart if green else ternary_chart
    write_file(file, draw(points, title=title, kind="png" if kind == "png" else "svg"))
    left = [alloy.name for alloy in unique.values() if alloy.name not in {p.name for p in points}]
    told = [f"{file} is written"]
    if left:
        told.append(f"not on this map: {', '.join(left)} (too much of other metals)")
    return tuple(told)
