"""The rows of a grid as JSON, piece by piece: one row a line, numbers unrounded."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

import ringgeom
from ringgeom.findings.scope import NOT_OF_MANY
from ringgeom.grid import Grid, Row
from ringgeom.grid.tally import Tally
from ringgeom.output.json import SCHEMA


def grid_json(
    grid: Grid, rows: Iterable[Row], tally: Tally, *, plain: bool = False
) -> Iterator[str]:
    """A grid as the text of one JSON object.

    Parameters
    ----------
    tally : Tally
        Counts the rows as they pass; its sums come last.
    plain : bool
        Write every letter beyond ASCII as an escape.
    """

    def text(data: Any) -> str:
        return json.dumps(data, ensure_ascii=plain, allow_nan=False)

    yield f'{{"schema": {text(SCHEMA)},\n"program": {text(f"ringgeom {ringgeom.__version__}")},\n'
    yield f'"job": {text(_job(grid))},\n"grid": {text(axes_json(grid))},\n"rows": [\n'
    between = ""
    for row in rows:
        yield between + text(row_json(grid, row))
        between = ",\n"
    yield f'\n],\n"summary": {text(summary_json(tally))},\n'
    yield f'"shop": {text(grid.shop.settings())}}}\n'


def _job(grid: Grid) -> dict[str, Any]:
    design = grid.design
    return {
        "name": design.job.name,
        "design": design.model_dump(mode="json", by_alias=True, exclude_defaults=True),
    }


def axes_json(grid: Grid) -> dict[str, Any]:
    """What the rings of a grid differ in."""
    asked = grid.asked
    return {
        "sizes": [size.asked for size in asked.sizes],
        "widths_mm": list(asked.widths_mm),
        "thicknesses_mm": list(asked.thicknesses_mm),
        "parts": list(grid.roles),
        "alloys": len(asked.choices),
        "places": asked.places,
        "rows": asked.rows,
        "not_judged": list(NOT_OF_MANY),
    }


def row_json(grid: Grid, row: Row) -> dict[str, Any]:
    """One ring; without grams where it is stopped."""
    volumes = row.volumes_mm3 or (None,) * len(row.alloys)
    return {
        "row": row.number,
        "size": row.size,
        "inside_diameter_mm": row.bore_mm,
        "width_mm": row.width_mm,
        "thickness_mm": row.thickness_mm,
        "parts": [
            {"name": name, "alloy": alloy, "volume_mm3": volume}
            for name, alloy, volume in zip(grid.roles, row.alloys, volumes, strict=True)
        ],
        "castings": [
            {
                "alloy": one.alloy,
                "finished_g": one.finished_g,
                "parts_g": one.parts_g,
                "sprue_g": one.sprue_g,
                "button_g": one.button_g,
                "loss_g": one.loss_g,
                "melt_g": one.melt_g,
            }
            for one in row.castings
        ],
        "volume_mm3": row.volume_mm3 if row.castings else None,
        "finished_g": row.finished_g if row.castings else None,
        "melt_g": row.melt_g if row.castings else None,
        **row.further,
        "level": row.level or None,
        "findings": [
            {"code": mark.code, "level": mark.level, "part": mark.part, "text": mark.text}
            for mark in row.marks
        ],
    }


def summary_json(tally: Tally) -> dict[str, Any]:
    """What a whole grid comes to."""
    return {
        "rows": tally.rows,
        "stopped": tally.stopped,
        "warned": tally.warned,
        "broken": [
            {
                "code": one.code,
                "level": one.level,
                "rows": one.rows,
                "first_row": one.first,
                "text": one.text,
            }
            for one in tally.broken
        ],
    }
