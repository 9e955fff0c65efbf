"""Metals told in the terminal: one alloy, the catalogue, two alloys side by side."""

from __future__ import annotations

from collections.abc import Sequence

from ringgeom.colour import colour
from ringgeom.colour.pair import FINISH_WORDS, Pair
from ringgeom.colour.partners import Partner
from ringgeom.marks import PartMark, Region
from ringgeom.metal import Alloy, Recipe, fineness, recipe_faults
from ringgeom.metal.caution import Caution
from ringgeom.metal.melting import hints, pour_c
from ringgeom.terminal import finding_line, say, swatch, table

NEARLY_PERMILLE = 10.0
"""So near to the next mark, what is short of it is worth telling."""


def written(recipe: Recipe) -> str:
    """A recipe in one line: Au 75 Ag 12.5 Cu 12.5."""
    return " ".join(f"{symbol} {share:.4g}" for symbol, share in recipe.shares)


def melting(alloy: Alloy) -> str:
    """Melting range, as far as a source gives it."""
    if alloy.solidus_c is None and alloy.liquidus_c is None:
        return ""
    low = "?" if alloy.solidus_c is None else f"{alloy.solidus_c:.0f}"
    high = "?" if alloy.liquidus_c is None else f"{alloy.liquidus_c:.0f}"
    return f"{low} to {high}"


def tell_alloy(
    alloy: Alloy, marks: Sequence[tuple[Region, PartMark]], cautions: Sequence[Caution]
) -> None:
    """Everything that is known of one alloy, each with how it is known."""
    made, seen = fineness(alloy.recipe), colour(alloy)
    say(f"{alloy.name}: {written(alloy.recipe)} (percent by mass)")
    if made is not None:
        karat = f", {made * 24 / 1000:.4g} kt" if alloy.recipe.precious == "gold" else ""
        say(f"  fineness   {made:.4g} permille {alloy.recipe.precious}{karat}")
    say(
        f"  density    {alloy.density_g_cm3:.2f} +/- {alloy.density_uncertainty_g_cm3:.2f} g/cm3, "
        f"{alloy.density_basis}"
    )
    if alloy.density_published_g_cm3 is not None:
        say(f"             its source prints {alloy.density_published_g_cm3:g}")
    said = melting(alloy)
    say(f"  melting    {said + ' C' if said else 'no source gives a range for this recipe'}")
    if (pour := pour_c(alloy)) is not None:
        say(f"  pouring    {pour.text}; {pour.flask} ({pour.source})")
    sure = f"{seen.trust.words}, +/- {seen.trust.band_de00:g} dE00"
    how = "measured" if seen.trust.kind == "measured" else f"predicted: {sure}"
    say(
        f"  colour     {swatch(seen.hex)}L*a*b* {lab_words(seen.lab)} under D65, 2 degree "
        f"observer, polished, {how}"
    )
    whitened = {symbol for symbol, _ in alloy.recipe.shares} & {"Pd", "Ni", "Pt", "Rh"}
    if whitened or alloy.recipe.precious == "silver":
        say(f"             yellowness index {seen.yellowness:.1f} ({grade(seen.yellowness)})")
    for region, mark in marks:
        say(f"  mark       {region.name}: {_mark(mark)}")
    for fault in recipe_faults(alloy.recipe):
        finding_line(fault.level, fault.code, "", fault.text, fault.fix)
    for hint in hints(alloy.recipe):
        finding_line("note", hint.code, "", hint.text, "")
    say(f"  source     {alloy.source} ({alloy.known})" + (f"; {alloy.note}" * bool(alloy.note)))
    for caution in cautions:
        say(f"  caution    {caution.text} ({caution.source})")


def grade(yellowness: float) -> str:
    """A white metal by its yellowness index: white-gold grading used by the trade since 2005."""
    for limit, word in ((19.0, "good white"), (24.5, "reasonable white"), (32.0, "poor white")):
        if yellowness <= limit:
            return word
    return "off the scale of whites"


def _mark(mark: PartMark) -> str:
    said = "none" if mark.legal is None else mark.legal.label
    short = mark.next_short_permille
    if mark.next_mark_up is not None and short is not None and short <= NEARLY_PERMILLE:
        said += f"; {mark.next_mark_up} needs {short:.4g} permille more"
    return said


def lab_words(lab: tuple[float, float, float]) -> str:
    """L*, a* and b* to one decimal."""
    return " / ".join(f"{value:.1f}" for value in lab)


def tell_catalogue(alloys: Sequence[Alloy]) -> None:
    """The catalogue, one alloy a line."""
    rows = []
    for alloy in alloys:
        seen = colour(alloy)
        rows.append(
            [
                alloy.name,
                written(alloy.recipe),
                f"{alloy.density_g_cm3:.2f}",
                melting(alloy),
                lab_words(seen.lab),
                ", ".join(fault.code for fault in recipe_faults(alloy.recipe)),
            ]
        )
    table(("alloy", "recipe", "g/cm3", "melts, C", "L* / a* / b*, predicted", "mind"), rows)


def tell_contrast(met: Pair, better: tuple[Sequence[Partner], Sequence[Partner]]) -> None:
    """Two metals side by side, in numbers and in words for the client."""
    found = met.contrast
    say(f"{met.names[0]} beside {met.names[1]}")
    rows = [
        [
            " beside ".join(one.finishes),
            f"{one.contrast.delta_e_00_d65:.1f}",
            f"{one.contrast.delta_e_00_a:.1f}",
            one.contrast.verdict,
        ]
        for one in met.finishes
    ]
    table(("finish", "dE00 daylight", "dE00 lamp", "in daylight"), rows)
    say(f"  +/- {found.band:g} dE00; daylight is D65, lamp is illuminant A; {FINISH_WORDS}")
    say(f"  {met.words}")
    for name, alloys in zip(met.names, better, strict=True):
        if alloys:
            say(f"  instead of {name}, of the same fineness:")
            for one in alloys:
                mind = f"  (mind: {', '.join(one.hazards)})" if one.hazards else ""
                say(
                    f"    {one.alloy.name}: {one.contrast.delta_e_00_d65:.1f} in daylight, "
                    f"{one.contrast.delta_e_00_a:.1f} under a lamp{mind}"
                )
