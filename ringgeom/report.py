"""A job told in the terminal: size, parts, what to melt, findings. It only reads the job."""

from __future__ import annotations

from ringgeom.finger import labels
from ringgeom.jobs import Job
from ringgeom.output.json import finding_json
from ringgeom.terminal import finding_line, say, table
from ringgeom.toml_lines import Path as Keys


def tell_size(job: Job) -> None:
    """What was understood of the size, in mm and on every scale."""
    made, finger = job.made, job.finger
    say(
        f"{job.design.job.name}: {finger.asked} = {made.finger_diameter_mm:.2f} mm across, "
        f"{finger.circumference_mm:.2f} mm around"
    )
    for allowance in made.allowances:
        say(f"  {allowance.name}: {allowance.diameter_mm:+.2f} mm across ({allowance.why})")
    if made.allowances:
        say(f"  made: {made.inside_diameter_mm:.2f} mm across, {job.circumference_mm:.2f} around")
    say("  nearest marks: " + ", ".join(str(label) for label in labels(made.inside_diameter_mm)))
    form = job.form
    say(
        f"  band {form.width_mm:g} mm wide, {form.thickness_mm:g} mm thick at mid-width, "
        f"{job.outside_diameter_mm:.2f} mm over the outside"
    )


def tell_parts(job: Job) -> None:
    """Finished parts, volumes and grams."""
    say()
    rows = [
        [
            part.name,
            part.alloy.name,
            f"{part.alloy.density_g_cm3:.2f}",
            part.alloy.density_from,
            f"{part.volume_mm3:.2f}",
            f"{part.finished_g:.2f}",
            f"± {part.uncertainty_g:.2f}",
            f"{part.as_cast_g:.2f}",
            f"{part.scale.scale:.4f}",
        ]
        for part in job.parts
    ]
    rows.append(
        [
            "ring",
            "",
            "",
            "",
            f"{job.volume_mm3:.2f}",
            f"{job.finished_g:.2f}",
            f"± {job.uncertainty_g:.2f}",
            f"{sum(part.as_cast_g for part in job.parts):.2f}",
            "",
        ]
    )
    head = ("part", "alloy", "g/cm3", "density from", "mm3", "finished g", "band", "as cast g")
    table((*head, "pattern x"), rows, total=True)


def tell_melts(job: Job) -> None:
    """Grams to melt of each alloy, with the arithmetic."""
    say()
    rows = [
        [
            casting.alloy.name,
            ", ".join(_counted(tuple(part.name for part in casting.parts))),
            f"{casting.flask.parts_g:.2f}",
            f"{casting.flask.sprue_g:.2f}",
            f"{casting.flask.button_g:.2f}",
            f"{casting.flask.loss_g:.2f}",
            f"{casting.flask.melt_g:.2f}",
            f"{casting.flask.returns_g:.2f}",
            f"{casting.flask.filings_g:.2f}",
        ]
        for casting in job.castings
    ]
    table(
        (
            "to melt",
            "for",
            "parts g",
            "sprue g",
            "button g",
            "loss g",
            "melt g",
            "returns g",
            "filings g",
        ),
        rows,
    )
    casting = job.shop.casting
    say(
        f"  button {casting.button_percent:g} % of the castings, at least "
        f"{casting.button_min_g:g} g, once per flask; loss {casting.melt_loss_percent:g} % of the "
        "melt; sprue from the modulus and the section, as real metal"
    )


def _counted(names: tuple[str, ...]) -> list[str]:
    return list(names) if len(names) <= 4 else [*names[:2], "...", f"{len(names)} in all"]


def tell_findings(job: Job, lines: dict[Keys, int] | None = None, *, notes: bool = True) -> None:
    """What is wrong, worst first, each with its place and way out."""
    say()
    for finding in job.findings:
        if finding.level == "note" and not notes:
            continue
        told = finding_json(finding, job, lines)
        line = f", line {told['line']}" if told["line"] else ""
        number = ""
        if finding.value is not None and finding.limit is not None:
            number = f" ({finding.value:.4g} against {finding.limit:.4g} {finding.unit})"
        finding_line(
            finding.level,
            finding.code,
            f"{told['where']}{line}",
            finding.text + number,
            finding.fix,
        )
    if not job.findings:
        say("nothing is wrong")
