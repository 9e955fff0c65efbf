"""A change of size told in the terminal."""

from __future__ import annotations

from ringgeom.resizing import Resize
from ringgeom.terminal import say, table


def tell_resize(found: Resize) -> None:
    """The verdict first, then every way, every part, and the ring made anew."""
    before, after = found.before, found.after
    say(
        f"{before.design.job.name}: {before.finger.asked} to {after.finger.asked}, bore "
        f"{before.made.inside_diameter_mm:.2f} to {after.made.inside_diameter_mm:.2f} mm "
        f"({found.change_mm:+.3f} mm across)"
    )
    say(f"verdict: {found.verdict.kind}")
    say()
    rows = [[way.kind, "works" if way.works else "no", way.words] for way in found.ways]
    table(("way", "", "because"), rows)
    if found.parts:
        say()
        verb = "to let in" if found.change_mm > 0 else "to cut out"
        table(
            ("part", f"{verb}, mm", "g", "alloy"),
            [
                [
                    one.part.name,
                    f"{abs(one.length_mm):.3f}",
                    f"{abs(one.grams):.3f}",
                    one.part.alloy.name,
                ]
                for one in found.parts
            ],
        )
        if found.change_mm > 0:
            say("  keep a piece of each metal from the same melt: another melt would show")
    say()
    names = {part.name: part for part in before.parts}
    table(
        ("made anew", "g now", "g then", "difference"),
        [
            [
                part.name,
                f"{names[part.name].finished_g:.3f}",
                f"{part.finished_g:.3f}",
                f"{part.finished_g - names[part.name].finished_g:+.3f}",
            ]
            for part in after.parts
            if part.name in names
        ],
    )
    new = {f.code for f in after.findings} - {f.code for f in before.findings}
    for finding in after.findings:
        if finding.code in new:
            say(f"  at {after.finger.asked} {finding.level}: {finding.text}")
