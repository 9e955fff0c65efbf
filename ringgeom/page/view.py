"""A design's text → everything the page shows of it, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from math import pi
from typing import Any

from ringgeom.drawing.cut import cut_faces
from ringgeom.drawing.inks import inks
from ringgeom.drawing.outside import outside_letters, outside_patches
from ringgeom.errors import InputError
from ringgeom.form.places import Segments
from ringgeom.jobs import Job
from ringgeom.output.json import job_json, problems_json, sketch_json
from ringgeom.page.along_taper import grips_along, measures_along
from ringgeom.page.edits import Change, changed_text
from ringgeom.page.fixes import fixes
from ringgeom.page.grips import grips
from ringgeom.page.grips_round import grips_round
from ringgeom.page.latest import Latest
from ringgeom.page.marks import mark
from ringgeom.page.measures import measures
from ringgeom.page.measures_round import measures_round
from ringgeom.sketch import Sketch
from ringgeom.toml_lines import key_lines

WHOLE = ("job", "ring", "parts", "castings", "colours", "contrasts", "findings", "routes", "band")


def view(
    text: str, changes: Sequence[Change], latest: Latest, *, trying: bool = False
) -> dict[str, Any]:
    """What the page shows of a text after some changes; problems where it cannot be read.

    The text comes back too: changed only where a key was set, remarks and all.

    Parameters
    ----------
    trying : bool
        The hand still moves: sections, finished parts and what ails the form, but nothing of
        what is cast, joined and melted for it.
    """
    try:
        text = changed_text(text, changes)
        found = latest.sketch(text) if trying else latest.job(text)
    except InputError as error:
        return {"text": text, **problems_json(error)}
    lines = key_lines(text) if found.findings else None
    data = job_json(found, lines) if isinstance(found, Job) else sketch_json(found, lines)
    kept = {key: data[key] for key in WHOLE if key in data}
    return {"text": text, "problems": [], **kept, **_shown(found, kept["findings"])}


def _shown(found: Sketch, findings: list[dict[str, Any]]) -> dict[str, Any]:
    """The drawings, with what can be grabbed; marks and ways out go to the findings."""
    design, form, band = found.design, found.form, found.form.band
    angle, twist = _cut(found)
    faces = cut_faces(found)
    held = grips(design, band, angle, twist)
    lines = measures(design, band, angle, twist)
    names = [part.name for part in design.parts]
    of_form = set(found.on_form if isinstance(found, Job) else found.findings)
    for told, finding in zip(findings, found.findings, strict=True):
        where = mark(finding, design, band, faces, held, lines)
        told["key"] = list(finding.key)
        told["mark"] = None if where is None else asdict(where)
        told["fixes"] = [asdict(fix) for fix in fixes(finding, names)]
        told["of_form"] = finding in of_form
    colours = inks(found)
    return {
        "design": design.model_dump(mode="json", by_alias=True),
        "stopped": found.stopped,
        "section": {
            "bore_mm": band.bore_mm,
            "crest_mm": band.crest_mm,
            "half_mm": band.half_mm,
            "faces": [
                {
                    "part": face.part.name,
                    "alloy": face.part.alloy.name,
                    "fill": colours.fills[face.part.alloy.name],
                    "hatch": colours.numbers[face.part.alloy.name],
                    "loops": face.loops,
                }
                for face in faces
            ],
            "grips": [asdict(grip) for grip in held],
            "measures": [asdict(line) for line in lines],
        },
        "outside": {
            "around_mm": 2 * pi * band.crest_mm,
            "half_mm": band.half_mm,
            # under the hand the page keeps those that it has
            "letters": outside_letters(found) if isinstance(found, Job) else None,
            "patches": [
                {
                    "part": patch.part.name,
                    "alloy": patch.part.alloy.name,
                    "fill": colours.fills[patch.part.alloy.name],
                    "hatch": colours.numbers[patch.part.alloy.name],
                    "areas": patch.areas,
                }
                for patch in outside_patches(found)
            ],
            "grips": [asdict(grip) for grip in grips_along(grips_round(design, band), form)],
            "measures": [
                asdict(line) for line in measures_along(measures_round(design, band), form)
            ],
            "cut": [
                [band.crest_mm * (angle + twist * z), z] for z in (-band.half_mm, band.half_mm)
            ],
        },
    }


def _cut(found: Sketch) -> tuple[float, float]:
    """Where the ring is cut to be drawn and how that cut leans [rad], also of a stopped ring."""
    if found.ring is not None:
        return found.ring.seen_angle, found.ring.twist
    band = found.form.band
    claims = [
        placed.claim
        for part in found.design.parts
        if isinstance(part, Segments)
        for placed in part.placed(band)
    ]
    sectors = claims[0].sectors if claims else None
    return (pi / sectors.count, sectors.twist) if sectors else (0.0, 0.0)
