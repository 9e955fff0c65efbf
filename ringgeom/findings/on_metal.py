"""Rules on the recipes asked for."""

from __future__ import annotations

import re
from collections.abc import Iterator

from ringgeom.facts import table
from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.metal import Alloy, fineness, ideal_density, karat_to_permille, recipe_faults

RULES: Rules[Asking] = Rules()

ODD_DENSITY = 0.05
"""A given density this far from the recipe's is questioned: ideal mixing is within 3.4 %."""


def _each(a: Asking) -> Iterator[tuple[tuple[str | int, ...], Alloy]]:
    """Every different alloy, where it is first asked for."""
    seen: set[tuple[str, tuple[tuple[str, float], ...]]] = set()
    for key, alloy in a.alloys:
        mark = (alloy.name, alloy.recipe.shares)
        if mark not in seen:
            seen.add(mark)
            yield key, alloy


@RULES.add
def recipes(a: Asking) -> Iterator[Finding]:
    """What is wrong with the recipes by themselves."""
    for key, alloy in _each(a):
        for fault in recipe_faults(alloy.recipe):
            yield Finding(
                code=fault.code,
                level=fault.level,
                part=alloy.name,
                value=fault.value,
                limit=fault.limit,
                unit=fault.unit,
                text=fault.text if alloy.name in fault.text else f"{alloy.name}: {fault.text}",
                fix=fault.fix,
                key=key,
            )


@RULES.add
def one_name_two_recipes(a: Asking) -> Iterator[Finding]:
    """Two recipes under one name."""
    known: dict[str, Alloy] = {}
    for key, alloy in _each(a):
        other = known.setdefault(alloy.name, alloy)
        if other is not alloy:
            yield Finding(
                code="alloy-named-twice",
                level="stop",
                part=alloy.name,
                text=f"two different recipes are called {alloy.name}",
                fix="give each recipe its own name: melts are told apart by name",
                key=key,
            )


@RULES.add
def odd_density(a: Asking) -> Iterator[Finding]:
    """A density, given or measured, that is far from what the recipe has."""
    for key, alloy in _each(a):
        if alloy.density_from == "recipe":
            continue
        usual = ideal_density(alloy.recipe)
        if abs(alloy.density_g_cm3 / usual - 1) > ODD_DENSITY:
            yield Finding(
                code="density-unlikely",
                level="warn",
                part=alloy.name,
                value=alloy.density_g_cm3,
                limit=usual,
                unit="g/cm3",
                text=f"{alloy.name}: {alloy.density_g_cm3:g} g/cm3 is far from the "
                f"{usual:.2f} of its recipe",
                fix="weigh it again, or check the recipe",
                key=key,
            )


@RULES.add
def under_its_mark(a: Asking) -> Iterator[Finding]:
    """A name that carries a fineness mark which the recipe does not reach."""
    for key, alloy in _each(a):
        made = fineness(alloy.recipe)
        if made is None:
            continue
        marks = {
            int(row["mark_permille"])
            for row in table("fineness")
            if row["metal"] == alloy.recipe.precious
        }
        for said, mark in _marks_named(alloy.name, marks):
            if made < mark - 0.05:
                yield Finding(
                    code="under-its-mark",
                    level="warn",
                    part=alloy.name,
                    value=made,
                    limit=mark,
                    unit="permille",
                    text=f"{alloy.name} is {made:.1f} permille {alloy.recipe.precious}, "
                    f"under the {said} in its name: fineness is a minimum",
                    fix=f"raise it to {mark:g} or more; check with your assay office or counsel",
                    key=key,
                )


def _marks_named(name: str, marks: set[int]) -> Iterator[tuple[str, float]]:
    """Fineness marks and karats in a name, with the permille each stands for."""
    for word in re.findall(r"(?<!\d)\d{3}(?!\d)", name):
        if int(word) in marks:
            yield word, float(word)
    for word in re.findall(r"(?<!\d)(\d{1,2})\s*(?:k|kt|ct|karat|carat)\b", name.lower()):
        if 8 <= int(word) <= 24:
            yield f"{word} kt", karat_to_permille(float(word))
