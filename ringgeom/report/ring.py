"""A job told in the terminal: size, parts, what to melt, findings. It only reads the job."""

from __future__ import annotations

from ringgeom.finger import labels
from ringgeom.jobs import Job
from ringgeom.making.part import Part
from ringgeom.making.sprue import Sprue
from ringgeom.output.json import finding_json
from ringgeom.terminal import finding_line, say, table
from ringgeom.toml_lines import Path as Keys

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
    say(f"  nearest marks: {', '.join(near)}  (mm around by which the ring is larger)")
    say(
        f"  band {form.width_mm:g} mm wide, {form.thickness_mm:g} mm thick at mid-width, "
        f"{job.outside_diameter_mm:.2f} mm over the outside"
    )


def tell_parts(job: Job) -> None:
    """Finished parts, as cast, and what their waxes measure; like parts in one row."""
    say()
    rows = [_part_row(group) for group in _alike(job.parts)]
    rows.append(
        [
            "ring",
            str(len(job.parts)),
            "",
            "",
            f"{job.volume_mm3:.2f}",
            _grams(job.finished_g),
            f"± {_grams(job.uncertainty_g)}",
            "",
            _grams(job.as_cast_g),
            "",
            "",
        ]
    )
    head = ("part", "of", "alloy", "g/cm3 from", "mm3", "finished g", "±", "cast mm3", "cast g")
    table((*head, "wax scale", "wax bore / outside / width"), rows, total=True)
    stock = job.shop.stock
    say(
        f"  figures are for one of each; cast with {stock.outside_mm:g} mm of stock outside, "
        f"{stock.bore_mm:g} in the bore, {stock.edge_mm:g} at the edges, none where parts meet"
    )


def _part_row(group: list[Part]) -> list[str]:
    part = group[0]
    return [
        _named(group),
        str(len(group)),
        part.alloy.name,
        f"{part.alloy.density_g_cm3:.2f} {part.alloy.density_from}",
        f"{part.volume_mm3:.2f}",
        _grams(part.finished_g),
        f"± {_grams(part.uncertainty_g)}",
        f"{part.cast_mm3:.2f}",
        _grams(part.as_cast_g),
        f"{part.scale.scale:.4f}",
        f"{part.wax.bore_mm:.2f} / {part.wax.outside_mm:.2f} / {part.wax.width_mm:.2f}",
    ]


def _alike(parts: tuple[Part, ...]) -> list[list[Part]]:
    """Parts of one place and alloy that weigh the same."""
    groups: dict[tuple[object, ...], list[Part]] = {}
    for part in parts:
        key = (part.place, part.piece.number, part.alloy.name, round(part.volume_mm3, 6))
        groups.setdefault(key, []).append(part)
    return list(groups.values())


def _named(group: list[Part]) -> str:
    """One name for like parts: "plank 1, 3, 5"."""
    names = [part.name for part in group]
    if len(names) == 1:
        return names[0]
    first = names[0].rsplit(" ", 1)[0]
    numbers = [name.rsplit(" ", 1)[1] for name in names]
    shown = numbers if len(numbers) <= 6 else [*numbers[:4], "...", numbers[-1]]
    return f"{first} {', '.join(shown)}"


def _grams(mass_g: float) -> str:
    return f"{mass_g:.2f}" if mass_g >= 1 else f"{mass_g:.3f}"


def tell_melts(job: Job) -> None:
    """Grams to melt of each alloy, with the arithmetic and the sprues."""
    say()
    rows = [
        [
            casting.alloy.name,
            ", ".join(_named(group) for group in _alike(casting.parts)),
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
    head = ("to melt", "for", "parts g", "sprue g", "button g", "loss g", "melt g")
    table((*head, "returns g", "filings g"), rows)
    casting = job.shop.casting
    say(
        f"  melt = (parts + sprue + button) / (1 - {casting.melt_loss_percent:g} % loss); button "
        f"{casting.button_percent:g} % of the castings, at least {casting.button_min_g:g} g, "
        "once per flask"
    )
    for one in job.castings:
        sprues = dict(zip((part.name for part in one.parts), one.sprues, strict=True))
        for group in _alike(one.parts):
            say(f"  sprue of {_named(group)}: {_sprue_words(sprues[group[0].name])}")


def _sprue_words(sprue: Sprue) -> str:
    foot = f"{sprue.diameter_mm:.2f} mm round"
    if sprue.is_oval:
        foot = f"{sprue.across_mm:.2f} x {sprue.along_mm:.2f} mm oval"
    return (
        f"{sprue.count} x {foot}, {sprue.length_mm:g} mm long, {sprue.volume_mm3:.1f} mm3 "
        f"(modulus asks for {sprue.by_modulus_mm:.2f} mm, section for {sprue.by_section_mm:.2f})"
    )


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
    for finding in job.findings:
        if finding.level == "note" and not notes:
            continue
        told = finding_json(finding, job, lines)
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
