"""Solders by generic grade: hard, medium, easy; what they melt at and what they weigh."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from ringgeom.errors import InputError, Problem, RecipeError
from ringgeom.facts import table
from ringgeom.metal.alloy import Alloy
from ringgeom.metal.catalogue import SAME_FINENESS_PERMILLE
from ringgeom.metal.density import recipe_density
from ringgeom.metal.hazard import hazard_faults
from ringgeom.metal.recipe import Recipe
from ringgeom.metal.written import shares_from_text

METALS = ("gold", "silver", "platinum", "palladium", "base")
"""What a grade may be made for: the words of `Recipe.precious`."""

REST = ("Ag", "Cu", "Zn")
"""A gold solder without a recipe is weighed as its gold with these in equal parts; our judgement.

At worst, a rest all silver or all zinc, the density of a 375 solder moves by 16 %."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grade:
    """A solder: a row of ``solder_grades.csv``, or the shop's own.

    Attributes
    ----------
    name : str
        What to ask for: metal, fineness, colour and grade; no maker's name.
    metal : str
        The metal it is made for: ``gold``, ``silver``, ``platinum``, ``palladium`` or ``base``.
    colour : str
        ``yellow``, ``white`` or ``rose``.
    grade : str
        ``hard``, ``medium``, ``easy`` or ``extra easy``.
    fineness_permille : float
        Of `metal` in the solder [permille]: gold-palladium on platinum counts as 0.
    solidus_c : float or None
        Where it begins to melt again [C]; None when no source was seen.
    liquidus_c : float
        Where it flows [C].
    recipe : Recipe or None
        Shares in percent by mass, when known.
    given_density_g_cm3 : float or None
        The maker's own density [g/cm3], when known.
    source, known, note : str
        Where it is from, the mark it carries, and remarks.

    Raises
    ------
    InputError
        The numbers make no solder, or it holds cadmium or lead.
    """

    name: str
    metal: str
    colour: str
    grade: str
    fineness_permille: float
    solidus_c: float | None
    liquidus_c: float
    recipe: Recipe | None = None
    given_density_g_cm3: float | None = None
    source: str
    known: str
    note: str = ""

    def __post_init__(self) -> None:
        problems = _grade_problems(self)
        if problems:
            raise InputError(problems)

    @property
    def density_g_cm3(self) -> float:
        """Density: given, else of the recipe, else of the fineness with a usual rest [g/cm3]."""
        if self.given_density_g_cm3 is not None:
            return self.given_density_g_cm3
        return recipe_density(self.recipe or _usual(self))

    @property
    def density_basis(self) -> str:
        """In words, how the density was found."""
        if self.given_density_g_cm3 is not None:
            return "given by the shop"
        if self.recipe is not None:
            return "from the recipe"
        return f"from the fineness, the rest {', '.join(REST)} in equal parts (our judgement)"


@cache
def solder_grades() -> tuple[Grade, ...]:
    """All generic grades in the table's order: by metal and fineness, hard before easy."""
    return tuple(
        Grade(
            name=row["name"],
            metal=row["metal"],
            colour=row["colour"],
            grade=row["grade"],
            fineness_permille=float(row["fineness_permille"]),
            solidus_c=float(row["solidus_c"]) if row["solidus_c"] else None,
            liquidus_c=float(row["liquidus_c"]),
            recipe=_recipe(row["name"], row["recipe"]),
            source=row["source"],
            known=row["known"],
            note=row["note"],
        )
        for row in table("solder_grades")
    )


def grades(
    metal: str, fineness_permille: float | None = None, *, known: Sequence[Grade] | None = None
) -> tuple[Grade, ...]:
    """Solders for a metal, highest liquidus first.

    Parameters
    ----------
    metal : str
        ``gold``, ``silver``, ``platinum``, ``palladium`` or ``base``; a base metal is soldered
        with silver.
    fineness_permille : float, optional
        Of the part [permille]. For gold only the finest solders that are not finer than the part
        are given; the solders of other metals are never as fine as the part.
    known : sequence of Grade, optional
        The shop's own list in place of the table.

    Returns
    -------
    tuple of Grade
        Empty when there is none.

    Examples
    --------
    >>> [grade.name for grade in grades("gold", 583.3) if grade.colour == "yellow"]
    ['gold-585-yellow-hard', 'gold-585-yellow-medium', 'gold-585-yellow-easy']
    """
    everything = solder_grades() if known is None else tuple(known)
    wanted = {"base": ("silver", "base")}.get(metal, (metal,))
    found = [grade for grade in everything if grade.metal in wanted]
    if metal == "gold" and fineness_permille is not None:
        limit = fineness_permille + SAME_FINENESS_PERMILLE
        below = [grade.fineness_permille for grade in found if grade.fineness_permille <= limit]
        # a part below the lowest solder takes the nearest one, which is finer
        finest = max(below, default=min((grade.fineness_permille for grade in found), default=0.0))
        found = [grade for grade in found if grade.fineness_permille == finest]
    return tuple(sorted(found, key=lambda grade: -grade.liquidus_c))


def colour_family(alloy: Alloy) -> str:
    """Colour of solder that hides best in an alloy: ``yellow``, ``white`` or ``rose``.

    Parameters
    ----------
    alloy : Alloy
        By its colour name; without one by its metals.

    Returns
    -------
    str
        Green golds count as yellow; our judgement.
    """
    recipe = alloy.recipe
    if recipe.precious == "base":
        return "white" if recipe.percent("Ni") > 0 else "yellow"
    if recipe.precious != "gold":
        return "white"
    words = alloy.colour_name
    whitened = recipe.percent("Ni") + recipe.percent("Pd") + recipe.percent("Pt")
    # 5 % of a whitener bleaches gold; less than that is a trace
    if "white" in words or whitened >= 5:
        return "white"
    if any(word in words for word in ("pink", "rose", "red")):
        return "rose"
    # without a name: three times as much copper as silver is past every yellow of ISO 8654
    redder = recipe.percent("Cu") > 3 * recipe.percent("Ag")
    return "rose" if not words and redder else "yellow"


def _recipe(name: str, text: str) -> Recipe | None:
    if not text:
        return None
    shares = shares_from_text(text)
    if shares is None:
        raise RecipeError(Problem(text=f"{name}: no recipe", value=text))
    return Recipe.of(name, shares)


def _usual(grade: Grade) -> Recipe:
    """The recipe that a solder of a fineness is weighed as."""
    symbol = {"gold": "Au", "silver": "Ag", "platinum": "Pt", "palladium": "Pd"}.get(grade.metal)
    shares = {symbol: grade.fineness_permille / 10} if symbol else {}
    rest = [other for other in REST if other != symbol]
    each = (100 - math.fsum(shares.values())) / len(rest)
    return Recipe.of(grade.name, {**shares, **dict.fromkeys(rest, each)})


def _grade_problems(grade: Grade) -> list[Problem]:
    name, solidus, liquidus = grade.name, grade.solidus_c, grade.liquidus_c
    problems = []
    if grade.metal not in METALS:
        problems.append(
            Problem(text=f"{name}: no such metal", value=grade.metal, allowed=", ".join(METALS))
        )
    if not 0 <= grade.fineness_permille <= 1000:
        value = f"{grade.fineness_permille:g} permille"
        problems.append(
            Problem(text=f"{name}: no such fineness", value=value, allowed="0 to 1000 permille")
        )
    if not 0 < liquidus < math.inf or (solidus is not None and not 0 < solidus <= liquidus):
        problems.append(
            Problem(
                text=f"{name}: no melting range",
                value=f"solidus {solidus} C, liquidus {liquidus:g} C",
                allowed="above 0 C, the solidus not above the liquidus",
            )
        )
    density = grade.given_density_g_cm3
    if density is not None and not 0 < density < math.inf:
        value = f"{density:g} g/cm3"
        problems.append(Problem(text=f"{name}: no density", value=value, allowed="above 0"))
    if grade.recipe is not None:
        faults = [fault for fault in hazard_faults(grade.recipe) if fault.level == "stop"]
        problems += [Problem(text=f"{fault.text}; {fault.fix}") for fault in faults]
    return problems
