"""Commands on metals: one alloy, two side by side, a mixture, a piece weighed in water."""

from __future__ import annotations

from typing import Annotated, Optional

import typer

from ringgeom.cli.app import STOPPED, AsJson, app, say_json
from ringgeom.errors import InputError, Problem

AlloyWords = Annotated[
    Optional[list[str]],  # noqa: UP045  typer reads the annotation at run time
    typer.Argument(metavar="ALLOY", help="A catalogue name, or a recipe: Au 75 Ag 25."),
]
Portions = Annotated[
    list[str],
    typer.Argument(metavar="PORTION", help='Such as "18 g Au" or "1 cm3 gold-750-green".'),
]


@app.command()
def alloy(asked: AlloyWords = None, json: AsJson = False) -> None:
    """One alloy: recipe, density, melting, colour, marks, hazards, sources. Without a name, all.

    Example: ringgeom alloy gold-750-green
    """
    from ringgeom.marks import Marked, part_mark, regions
    from ringgeom.metal import alloy_meant, catalogue, recipe_faults
    from ringgeom.metal.caution import cautions
    from ringgeom.output.json_metal import alloy_json
    from ringgeom.report.metals import tell_alloy, tell_catalogue

    if not asked:
        if json:
            say_json({"alloys": [alloy_json(one, [], []) for one in catalogue()]})
        else:
            tell_catalogue(catalogue())
        return
    found = alloy_meant(" ".join(asked))
    # the mass decides about exemptions only, and a recipe has none
    marked = Marked(name=found.name, alloy=found, grams=1000.0)
    marks = [(region, part_mark(marked, key)) for key, region in regions().items()]
    if any(fault.level == "stop" for fault in recipe_faults(found.recipe)):
        marks = []  # what must not be worn is not marked
    warned = cautions([found.recipe], casting=True)
    if json:
        say_json(alloy_json(found, marks, warned))
    else:
        tell_alloy(found, marks, warned)


@app.command()
def contrast(
    first: Annotated[str, typer.Argument(metavar="A", help='Such as "Au 75 Ag 25".')],
    second: Annotated[str, typer.Argument(metavar="B", help="Another alloy.")],
    json: AsJson = False,
) -> None:
    """Whether two alloys are told apart: daylight and lamp, polished and brushed, and why.

    Example: ringgeom contrast gold-750-yellow-3n "Au 75 Ag 25"
    """
    from ringgeom.colour.pair import pair
    from ringgeom.colour.partners import better_pair
    from ringgeom.metal import alloy_meant
    from ringgeom.output.json_metal import contrast_json
    from ringgeom.report.metals import tell_contrast

    alloys = alloy_meant(first), alloy_meant(second)
    met = pair(*alloys)
    better = better_pair(*alloys)
    if json:
        say_json(contrast_json(met, better))
    else:
        tell_contrast(met, better)


@app.command()
def mix(portions: Portions, json: AsJson = False) -> None:
    """What comes of melting portions together, by mass (g, dwt, ozt) or by volume (cm3, mm3).

    Example: ringgeom mix "1 cm3 Au" "1 cm3 Ag"
    """
    from ringgeom.metal.portion_text import mixed_from_texts
    from ringgeom.output.json_bench import mixture_json
    from ringgeom.report.bench import tell_mixture

    found = mixed_from_texts(portions)
    if json:
        say_json(mixture_json(found))
    else:
        tell_mixture(found)
    if not found.wearable:
        raise typer.Exit(STOPPED)


@app.command()
def fineness(
    portion: Annotated[str, typer.Argument(metavar="PORTION", help='The lot: "20 g Au 41.7 ...".')],
    to: Annotated[float, typer.Option("--to", metavar="PERMILLE", help="Fineness wanted.")],
    with_: Annotated[
        str, typer.Option("--with", metavar="ALLOY", help="What to add; else fine or alloy metal.")
    ] = "",
    balance: Annotated[
        float, typer.Option("--balance", metavar="G", help="Step of the balance.")
    ] = 0.01,
    json: AsJson = False,
) -> None:
    """Raise or lower the fineness of a lot: what to add, and every metal of the result.

    Example: ringgeom fineness "7 g Au 41.667 Ag 58.333" --to 583.333
    """
    from ringgeom.colour.pair import pair
    from ringgeom.metal import alloy_from_recipe, alloy_meant, recipe_faults
    from ringgeom.metal.fineness_change import change_fineness
    from ringgeom.metal.portion_text import portion_from_text
    from ringgeom.metal.weighed_change import weighed_change
    from ringgeom.output.json_bench import change_json
    from ringgeom.report.bench import tell_change

    lot = portion_from_text(portion)
    adding = alloy_meant(with_).recipe if with_ else None
    found = change_fineness(lot.alloy.recipe, lot.grams, to, adding=adding)
    weighed = weighed_change(lot.alloy.recipe, found, balance_g=balance)
    made = alloy_from_recipe("the result", dict(weighed.result.shares))
    moved = pair(lot.alloy, made)
    if json:
        say_json(change_json(found, weighed, moved))
    else:
        tell_change(lot.alloy, found, weighed, made, moved)
    if any(fault.level == "stop" for fault in recipe_faults(made.recipe)):
        raise typer.Exit(STOPPED)


@app.command()
def assay(
    air: Annotated[float, typer.Option("--air", metavar="G", help="Weight in air.")],
    water: Annotated[
        Optional[float],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--water", metavar="G", help="Weight hanging in water."),
    ] = None,
    volume: Annotated[
        Optional[float],  # noqa: UP045  typer reads the annotation at run time
        typer.Option("--volume", metavar="CM3", help="Or the water it displaces."),
    ] = None,
    volume_step: Annotated[
        float, typer.Option("--volume-step", metavar="CM3", help="Finest step of that reading.")
    ] = 0.01,
    temperature: Annotated[
        float, typer.Option("--temperature", metavar="C", help="Of the water.")
    ] = 20.0,
    balance: Annotated[
        float, typer.Option("--balance", metavar="G", help="Step of the balance.")
    ] = 0.01,
    metals: Annotated[
        str, typer.Option("--metals", metavar="TWO", help="Heavy and light metal.")
    ] = "Au Ag",
    expect: Annotated[
        str, typer.Option("--expect", metavar="ALLOY", help="Alloy expected: tells porosity.")
    ] = "",
    json: AsJson = False,
) -> None:
    """Density of a piece weighed in air and in water, gold by mass, porosity. Not an assay.

    Example: ringgeom assay --air 9.85 --water 9.176 --expect gold-585-green
    """
    from ringgeom.metal import alloy_meant
    from ringgeom.metal.assayed import assayed
    from ringgeom.output.json_bench import assay_json
    from ringgeom.report.bench import tell_assay

    if (water is None) == (volume is None):
        raise InputError(
            Problem(
                text="give the weight in water or the volume, one of the two",
                allowed="--water 9.18 or --volume 0.675",
            )
        )
    found = assayed(
        air_g=air,
        water_g=water,
        volume_cm3=volume,
        volume_step_cm3=volume_step,
        temperature_c=temperature,
        balance_g=balance,
        metals=metals,
        expected=alloy_meant(expect) if expect else None,
    )
    if json:
        say_json(assay_json(found))
    else:
        tell_assay(found)


@app.command()
def recipe(
    fineness: Annotated[float, typer.Option("--fineness", metavar="PERMILLE")],
    towards: Annotated[
        str,
        typer.Option("--towards", help='greener, redder, paler, whiter, or a colour "91 -3 24".'),
    ] = "greener",
    than: Annotated[
        str, typer.Option("--than", metavar="ALLOY", help="Compared with this alloy.")
    ] = "",
    metal: Annotated[str, typer.Option("--metal", help="Whose fineness: Au, Ag, Pt or Pd.")] = "Au",
    allowed: Annotated[str, typer.Option("--allowed", help="Metals to use.")] = "Ag Cu Zn",
    most: Annotated[str, typer.Option("--most", help='Limits in percent: "Zn 2 Cu 10".')] = "",
    with_nickel: Annotated[bool, typer.Option("--with-nickel", help="Nickel is allowed.")] = False,
    count: Annotated[int, typer.Option("--count", min=1, max=20, help="How many.")] = 5,
    json: AsJson = False,
) -> None:
    """Search recipes of a fineness for a colour, with what to mind of each.

    Example: ringgeom recipe --fineness 750 --towards greener --than gold-750-yellow-3n
    """
    from ringgeom.colour.search import search_recipes
    from ringgeom.colour.wish_words import wish_from_words
    from ringgeom.output.json_bench import searched_json
    from ringgeom.report.bench import tell_searched

    wish = wish_from_words(
        fineness_permille=fineness,
        towards=towards,
        than=than,
        metal=metal,
        allowed=allowed,
        most=most,
        nickel_free=not with_nickel,
    )
    found = search_recipes(wish, count)
    if json:
        say_json(searched_json(found))
    else:
        tell_searched(found)
