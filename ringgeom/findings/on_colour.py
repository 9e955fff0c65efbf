"""Rules on the colours that meet."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ringgeom.colour import colour
from ringgeom.colour.contrast import (
    BLEND_DE00,
    GREEN_A,
    TWO_COLOURS,
    TWO_COLOURS_DE00,
    verdict,
)
from ringgeom.colour.partners import Partner
from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.making.meeting import Meeting
from ringgeom.metal import Alloy

RULES: Rules[Laid] = Rules()

RED_A = 3.0
"""A red or rose gold has at least this a*: our judgement, 3N has 1.7 and 4N 3.8 here."""

GREEN_HUE = 95.0
"""A gold whose hue angle is above this leans to green; 90 is yellow."""

GOOD_WHITE, REASONABLE_WHITE, POOR_WHITE = 19.0, 24.5, 32.0
"""Grades of white gold by yellowness index, used by the trade since 2005."""


@RULES.add
def contrasts(laid: Laid) -> Iterator[Finding]:
    """Colours that meet and are hardly told apart, or not surely."""
    for meeting in laid.meetings:
        met, (first, second) = meeting.contrast, meeting.between
        if met.delta_e_00_d65 > TWO_COLOURS_DE00 and not met.uncertain:
            continue
        blends = met.delta_e_00_d65 < BLEND_DE00
        yield Finding(
            code="contrast-weak" if blends or not met.uncertain else "contrast-uncertain",
            level="warn" if blends else "note",
            part=first,
            value=met.delta_e_00_d65,
            limit=BLEND_DE00 if blends else TWO_COLOURS_DE00,
            unit="dE00",
            text=f"{first} beside {second}, {met.delta_e_00_d65:.1f} apart (+/- {met.band:g}): "
            f"{meeting.pair.words}",
            fix=_way_out(meeting),
            key=_key(laid, first),
        )


def _way_out(meeting: Meeting) -> str:
    first, second = meeting.better
    offers = [
        f"for {name} {', '.join(map(_offer, better[:3]))}"
        for name, better in zip(meeting.between, (first, second), strict=True)
        if better
    ]
    if not offers:
        return "show the client a test button of each"
    return f"more contrast at the same fineness: {'; '.join(offers)}"


def _offer(partner: Partner) -> str:
    mind = f", {' and '.join(partner.hazards)}" if partner.hazards else ""
    return f"{partner.alloy.name} ({partner.contrast.delta_e_00_d65:.1f}{mind})"


@RULES.add
def lamp(laid: Laid) -> Iterator[Finding]:
    """Two colours by day that a warm lamp brings together."""
    for meeting in laid.meetings:
        met = meeting.contrast
        if met.verdict != TWO_COLOURS or verdict(met.delta_e_00_a) == met.verdict:
            continue
        first, second = meeting.between
        yield Finding(
            code="contrast-under-lamp",
            level="note",
            part=first,
            value=met.delta_e_00_a,
            limit=TWO_COLOURS_DE00,
            unit="dE00",
            text=f"{first} beside {second}: {met.delta_e_00_d65:.1f} apart in daylight, "
            f"{met.delta_e_00_a:.1f} under a warm lamp",
            fix="show the client both lights, on test buttons",
            key=_key(laid, first),
        )


@RULES.add
def green_alone(laid: Laid) -> Iterator[Finding]:
    """A green gold that no neighbour makes read as green."""
    for alloy, part in laid.alloys.items():
        if not _is_green(alloy):
            continue
        beside = [m for m in laid.meetings if alloy in m.alloys]
        if any(
            m.contrast.reads_green is not None and m.alloys[m.contrast.reads_green] == alloy
            for m in beside
        ):
            continue
        if beside:
            names = " and ".join(_other(m, alloy) for m in beside)
            text = f"{alloy.name} does not read green beside {names}"
        else:
            text = f"{alloy.name} touches no metal of another colour"
        yield Finding(
            code="green-alone",
            level="warn",
            part=part.name,
            value=colour(alloy).lab[1],
            limit=GREEN_A,
            unit="a*",
            text=f"{text}: green gold by itself looks yellow to most people",
            fix="put it beside a red, rose or white metal, or a yellow rich in copper",
            key=laid.key_of(part.place),
        )


def _is_green(alloy: Alloy) -> bool:
    """Sold as green, or greener than any yellow gold while still a gold colour."""
    if alloy.recipe.precious != "gold":
        return False
    a, b = colour(alloy).lab[1:]
    named = _named(alloy) == "green"
    return named or (a < GREEN_A and b > 10 and colour(alloy).hue_deg > GREEN_HUE)


def _other(meeting: Meeting, alloy: Alloy) -> str:
    return next(one.name for one in meeting.alloys if one != alloy)


@RULES.add
def against_its_name(laid: Laid) -> Iterator[Finding]:
    """A recipe whose predicted colour is not the one in its name."""
    for alloy, part in laid.alloys.items():
        named, seen = _named(alloy), colour(alloy)
        a = seen.lab[1]
        wrong = {
            "green": (a > GREEN_A + seen.trust.pair_band_de00 / 2, GREEN_A, a, "a*"),
            "red": (a < RED_A - 1, RED_A, a, "a*"),
            "rose": (a < RED_A - 1, RED_A, a, "a*"),
            "white": (seen.yellowness > POOR_WHITE, POOR_WHITE, seen.yellowness, "yellowness"),
            "yellow": (seen.yellowness < GOOD_WHITE, GOOD_WHITE, seen.yellowness, "yellowness"),
        }
        is_wrong, limit, value, unit = wrong.get(named, (False, 0.0, 0.0, ""))
        if is_wrong:
            yield Finding(
                code="colour-against-name",
                level="note",
                part=part.name,
                value=value,
                limit=limit,
                unit=unit,
                text=f"{alloy.name} is called {named}, but its recipe is predicted otherwise "
                f"(L*a*b* {', '.join(f'{v:.1f}' for v in seen.lab)}): colour names in recipe "
                "books contradict each other",
                fix="judge by the predicted colour and a test button, not by the name",
                key=laid.key_of(part.place),
            )


@RULES.add
def off_white(laid: Laid) -> Iterator[Finding]:
    """A white gold that is usually plated, and the plating wears."""
    for alloy, part in laid.alloys.items():
        seen = colour(alloy)
        metals = {symbol for symbol, _ in alloy.recipe.shares}
        whitened = alloy.recipe.precious == "gold" and metals & {"Pd", "Ni", "Pt"}
        if not whitened or not REASONABLE_WHITE < seen.yellowness <= 2 * POOR_WHITE:
            continue
        yield Finding(
            code="off-white",
            level="note",
            part=part.name,
            value=seen.yellowness,
            limit=REASONABLE_WHITE,
            unit="yellowness",
            text=f"{alloy.name}: yellowness {seen.yellowness:.0f}, a poor white that is usually "
            "plated with rhodium; the plating wears, and then the contrast changes",
            fix="a whiter recipe, or tell the client that it will need plating again",
            key=laid.key_of(part.place),
        )


def _named(alloy: Alloy) -> str:
    """The colour word in a recipe's own name, or the catalogue's; empty without one."""
    said = f"{alloy.name} {alloy.colour_name}".lower().replace("pink", "rose")
    found = re.findall(r"(?<![a-z])(green|red|rose|white|yellow)(?![a-z])", said)
    return found[0] if found and len(set(found)) == 1 else ""


def _key(laid: Laid, name: str) -> tuple[str | int, ...]:
    """Where in the design file a part is."""
    part = next(part for part in laid.parts if part.name == name)
    return laid.key_of(part.place)
