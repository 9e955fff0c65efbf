"""The job as JSON, the contract for scripts: every number in the unit its key names."""

from __future__ import annotations

import json
from typing import Any

import ringgeom
from ringgeom.errors import InputError
from ringgeom.finger import FingerSize, hints, labels
from ringgeom.jobs import Job
from ringgeom.making.part import Finished, Part
from ringgeom.making.tapering import tapering
from ringgeom.refusing import spelled
from ringgeom.sketch import Sketch

SCHEMA = "ringgeom/1"

Lines = dict[tuple[str | int, ...], int]


def job_json(job: Job, lines: Lines | None = None) -> dict[str, Any]:
    """Everything about a job as plain data, in the contract's keys.

    Parameters
    ----------
    lines : dict, optional
        Line of every key of the design file, for the findings.
    """
    # findings are told without all of this, and weighing wants to be quick
    from ringgeom.output.json_casting import casting_json
    from ringgeom.output.json_engraving import engravings_json
    from ringgeom.output.json_inlays import inlays_json
    from ringgeom.output.json_making import band_json, joint_json, route_json
    from ringgeom.output.json_metal import (
        caution_json,
        colour_json,
        contrast_json,
        marks_json,
        melts_json,
    )
    from ringgeom.output.json_tables import bench_json

    return {
        "schema": SCHEMA,
        "program": f"ringgeom {ringgeom.__version__}",
        "job": {
            "name": job.design.job.name,
            "design": job.design.model_dump(mode="json", by_alias=True, exclude_defaults=True),
        },
        "ring": ring_json(job),
        "parts": [_finished(part) | _cast(part) for part in job.parts],
        "engravings": engravings_json(job),
        "inlays": inlays_json(job),
        "castings": [casting_json(casting) for casting in job.castings],
        "joints": [joint_json(joint) for joint in job.joints],
        "routes": [route_json(route) for route in job.routes],
        "band": None if job.band is None else band_json(job.band),
        **bench_json(job.bench()),
        "melts": melts_json(job.melts),
        "quote": _quote(job),
        "colours": [colour_json(alloy, found) for alloy, found in job.colours],
        "contrasts": [contrast_json(meeting.pair, meeting.better) for meeting in job.meetings],
        "marks": [marks_json(proposal) for proposal in job.marks],
        "cautions": [caution_json(caution) for caution in job.cautions],
        "findings": findings_json(job, lines),
        "gaps": [
            {
                "of": job.ring.placed[piece.owner.claim].names[piece.sector or 0]
                if job.ring and piece.owner.claim >= 0
                else "body",
                "kind": piece.owner.kind,
                "volume_mm3": volume.volume_mm3,
                "volume_by": volume.by,
            }
            for piece, volume in job.volumes
            if piece.owner.kind not in ("part", "body")
        ],
        "shop": job.shop.settings(),
    }


def sketch_json(sketch: Sketch, lines: Lines | None = None) -> dict[str, Any]:
    """What is known of a ring as form, under the same keys as `job_json`."""
    return {
        "ring": ring_json(sketch),
        "parts": [_finished(part) for part in sketch.parts],
        "findings": findings_json(sketch, lines),
    }


def _quote(job: Job) -> dict[str, Any] | None:
    """What it costs by the shop's own figures; null without prices and without a rate."""
    from ringgeom.output.json_price import quote_json
    from ringgeom.quoting import quote

    found = quote(job)
    return None if found is None else quote_json(found)


def ring_json(job: Sketch) -> dict[str, Any]:
    """Size and measures of the whole ring."""
    return {
        "asked": job.finger.asked,
        "finger_diameter_mm": job.made.finger_diameter_mm,
        "inside_diameter_mm": job.made.inside_diameter_mm,
        "circumference_mm": job.circumference_mm,
        "outside_diameter_mm": job.outside_diameter_mm,
        "width_mm": job.form.width_mm,
        "thickness_mm": job.form.thickness_mm,
        "taper": [
            {"at": one.clock, "width_mm": one.width_mm, "thickness_mm": one.thickness_mm}
            for one in tapering(job.form)
        ],
        "volume_mm3": job.volume_mm3,
        "finished_g": job.finished_g,
        "uncertainty_g": job.uncertainty_g,
        "allowances": [
            {"name": one.name, "diameter_mm": one.diameter_mm, "why": one.why}
            for one in job.made.allowances
        ],
        "labels": {one.scale: one.label for one in labels(job.made.inside_diameter_mm)},
    }


def _finished(part: Finished) -> dict[str, Any]:
    return {
        "name": part.name,
        "alloy": part.alloy.name,
        "density_g_cm3": part.alloy.density_g_cm3,
        "density_from": part.alloy.density_from,
        "density_basis": part.alloy.density_basis,
        "volume_mm3": part.volume_mm3,
        "volume_by": part.volume_by,
        "engraved_mm3": part.engraved_mm3,
        "pieces": part.count,
        "finished_g": part.finished_g,
        "uncertainty_g": part.uncertainty_g,
    }


def _cast(part: Part) -> dict[str, Any]:
    return {
        "as_cast_mm3": part.cast_mm3,
        "as_cast_g": part.as_cast_g,
        "pattern_scale": part.scale.scale,
        "shrink_percent": part.scale.cast_percent,
        "pattern_shrink_percent": part.scale.pattern_percent,
        "wax_bore_mm": part.wax.bore_mm,
        "wax_outside_mm": part.wax.outside_mm,
        "wax_width_mm": part.wax.width_mm,
    }


def findings_json(sketch: Sketch, lines: Lines | None) -> list[dict[str, Any]]:
    """The findings, each with its place in the design file in words and its line if known."""
    from ringgeom.toml_lines import line_of

    if not sketch.findings:
        return []
    asked = sketch.design.model_dump(mode="json", by_alias=True)
    return [
        {
            "code": finding.code,
            "level": finding.level,
            "part": finding.part,
            "value": finding.value,
            "limit": finding.limit,
            "unit": finding.unit,
            "text": finding.text,
            "fix": finding.fix,
            "where": spelled(finding.key, asked),
            "line": line_of(lines, finding.key) if lines else None,
        }
        for finding in sketch.findings
    ]


def json_text(data: Any, *, plain: bool = False) -> str:
    """Data as JSON text: numbers unrounded, keys in the order given, no infinities.

    `plain` writes every letter beyond ASCII as an escape, for a stream that cannot hold it.
    """
    return json.dumps(data, indent=1, ensure_ascii=plain, allow_nan=False) + "\n"


def size_json(size: FingerSize) -> dict[str, Any]:
    """A finger size and the nearest mark on every scale."""
    near = labels(size.inside_diameter_mm)
    return {
        "asked": size.asked,
        "inside_diameter_mm": size.inside_diameter_mm,
        "circumference_mm": size.circumference_mm,
        "labels": {one.scale: one.label for one in near},
        "residuals_mm": {one.scale: one.residual_mm for one in near},
        "notes": list(hints(size)),
    }


def problems_json(error: InputError) -> dict[str, Any]:
    """What could not be read."""
    return {
        "problems": [
            {
                **({"file": one.file} if one.file else {}),
                "where": one.where,
                "line": one.line,
                "value": one.value,
                "text": one.text,
                "allowed": one.allowed,
                "nearest": one.nearest,
            }
            for one in error.problems
        ],
    }
