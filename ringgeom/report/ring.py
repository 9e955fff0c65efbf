"""A job told in the terminal: size, parts, what to melt, findings. It only reads the job."""

from __future__ import annotations

from ringgeom.finger import labels
from ringgeom.jobs import Job
from ringgeom.making.alike import Like, alike
from ringgeom.making.tapering import tapers_to
from ringgeom.output.json import findings_json
from ringgeom.terminal import finding_line, say, table
from ringgeom.toml_lines import Path as Keys
from ringgeom.units import grams

BOTH_TOLD = (
    "closed-inlay-cannot-enter",
    "undercut-traps-inlay",
    "button-under-floor",
    "sprue-oval",
)
"""Findings whose words already hold the value and the limit."""


def tell_size(job: Job) -> None:
    """What was understood of the size, in mm and on every scale."""
    made, finger, form = job.made, job.finger, job.form
    say(
        f"{job.design.job.name}: {finger.asked} = {made.finger_diameter_mm:.2f} mm across, "
        f"{finger.circumference_mm:.2f} mm around"
    )
    for allowance in made.allowances:
        say(f"  {allowance.name}: {allowance.diameter_mm:+.2f} mm across ({allowance.why})")
    if made.allowances:
        say(f"  made: {made.inside_diameter_mm:.2f} mm across, {job.circumference_mm:.2f} around")
    near = [
        f"{label.label} {round(label.residual_mm, 2) + 0.0:+.2f}"
        for label in labels(made.inside_diameter_mm)
    ]
    say(f"  nearest sizes: {', '.join(near)}  (mm around by which the ring is larger)")
    say(
        f"  band {form.width_mm:g} mm wide, {form.thickness_mm:g} mm thick {form.measured_at}, "
        f"{job.outside_diameter_mm:.2f} mm over the outside"
    )
    if form.taper is not None:
        say(f"  that is at 12 o'clock; it {tapers_to(form)}")


def tell_parts(job: Job) -> None:
    """Finished parts, as cast, and what their waxes measure; like parts in one row."""
    say()
    rows = [_part_row(group) for group in alike([(part.name, part) for part in job.parts])]
    rows.append(
        [
            "ring",
            str(sum(part.count for part in job.parts)),
            "",
            "",
            f"{job.volume_mm3:.2f}",
            grams(job.finished_g),
            f"± {grams(job.uncertainty_g)}",
            "",
            grams(job.as_cast_g),
            "",
            "",
        ]
    )
    head = (
        "part",
        "pieces",
        "alloy",
        "g/cm3, from",
        "mm3",
        "finished g",
        "±",
        "cast mm3",
        "cast g",
    )
    table((*head, "wax scale", "wax bore / outside / width"), rows, total=True)
    stock = job.shop.stock
    many = any(part.plate is not None for part in job.parts)
    inserts = ", of inserts for all their pieces" if many else ""
    say(
        f"  figures are for one of each{inserts}; cast with {stock.outside_mm:g} mm of stock "
        f"outside, {stock.bore_mm:g} in the bore, {stock.edge_mm:g} at the edges, none where "
        "parts meet"
    )


def _part_row(group: Like) -> list[str]:
    part = group.first
    return [
        group.name,
        str(group.count if part.plate is None else part.count),
        part.alloy.name,
        f"{part.alloy.density_g_cm3:.2f} {part.alloy.density_from}",
        f"{part.volume_mm3:.2f}",
        grams(part.finished_g),
        f"± {grams(part.uncertainty_g)}",
        f"{part.cast_mm3:.2f}",
        grams(part.as_cast_g),
        f"{part.scale.scale:.4f}",
        f"{part.wax.bore_mm:.2f} / {part.wax.outside_mm:.2f} / {part.wax.width_mm:.2f}",
    ]


def tell_colours(job: Job) -> None:
    """How the metals that touch compare, one line each."""
    for meeting in job.meetings:
        met = meeting.contrast
        first, second = meeting.between
        doubt = ", uncertain: make a test button of each" if met.uncertain else ""
        say(
            f"  {first} beside {second}: {met.verdict} (dE00 {met.delta_e_00_d65:.1f} in daylight, "
            f"{met.delta_e_00_a:.1f} under a lamp, +/- {met.band:g}, predicted){doubt}"
        )


def tell_findings(job: Job, lines: dict[Keys, int] | None = None, *, notes: bool = True) -> None:
    """What is wrong, worst first, each with its place and way out."""
    say()
    for finding, told in zip(job.findings, findings_json(job, lines), strict=True):
        if finding.level == "note" and not notes:
            continue
        line = f", line {told['line']}" if told["line"] else ""
        limit = ""
        if finding.limit and finding.code not in BOTH_TOLD:
            limit = f" (limit {finding.limit:.4g} {finding.unit})"
        finding_line(
            finding.level,
            finding.code,
            f"{told['where']}{line}",
            finding.text + limit,
            finding.fix,
        )
    if not job.findings:
        say("nothing is wrong")
