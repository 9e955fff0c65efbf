"""The generic solders: the table's order, what is offered for a part, what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ringgeom.errors import InputError
from ringgeom.metal import Recipe, alloy_by_name, alloy_from_text
from ringgeom.metal.solder import Grade, colour_family, grades, solder_grades

ORDER = ("hard", "medium", "easy", "extra easy")

OWN = Grade(
    name="our own",
    metal="gold",
    colour="rose",
    grade="hard",
    fineness_permille=750,
    solidus_c=800,
    liquidus_c=820,
    source="shop",
    known="given",
)


def named(name: str) -> Grade:
    return next(grade for grade in solder_grades() if grade.name == name)


@pytest.mark.parametrize("grade", solder_grades(), ids=lambda grade: grade.name)
def test_a_row_agrees_with_itself(grade: Grade) -> None:
    assert grade.grade in ORDER
    assert grade.colour in ("yellow", "white", "rose")
    assert grade.name.endswith(grade.grade.replace(" ", "-"))
    assert grade.source
    assert grade.known
    if grade.recipe is not None:
        # A solder's recipe is complete, and its fineness is that of its recipe.
        assert grade.recipe.sum_percent == pytest.approx(100, abs=1e-9)
        symbol = {"gold": "Au", "silver": "Ag", "platinum": "Pt"}[grade.metal]
        assert grade.recipe.fineness_permille(symbol) == pytest.approx(grade.fineness_permille)
        # No cadmium, although old solders had it (REACH Annex XVII entry 23).
        assert "Cd" not in grade.recipe.symbols


def test_harder_flows_hotter_within_each_family() -> None:
    families: dict[tuple[str, float, str], list[Grade]] = {}
    for grade in solder_grades():
        # the softest for platinum is fine gold, which is yellow
        colour = "" if grade.metal == "platinum" else grade.colour
        families.setdefault((grade.metal, grade.fineness_permille, colour), []).append(grade)
    for family in families.values():
        if family[0].metal != "silver":
            ranks = [ORDER.index(grade.grade) for grade in family]
            assert ranks == sorted(set(ranks))
            flows = [grade.liquidus_c for grade in family]
            assert flows == sorted(set(flows), reverse=True)
    silver = [grade.liquidus_c for grade in grades("silver")]
    assert silver == sorted(silver, reverse=True)
    assert [grade.grade for grade in grades("silver")] == list(ORDER)


@pytest.mark.parametrize(
    ("name", "solidus_f", "liquidus_f"),
    [
        # AWS A5.8 classes BAg-10 and BAg-9, from memory; BAg-7 read in Machinery's Handbook.
        ("silver-medium", 1275, 1360),
        ("silver-easy", 1240, 1325),
        ("silver-extra-easy", 1145, 1205),
    ],
)
def test_silver_solders_melt_as_their_standard_class(
    name: str, solidus_f: float, liquidus_f: float
) -> None:
    grade = named(name)
    # The table is in whole C, so half a degree.
    assert grade.solidus_c == pytest.approx((solidus_f - 32) / 1.8, abs=0.56)
    assert grade.liquidus_c == pytest.approx((liquidus_f - 32) / 1.8, abs=0.56)


def test_gold_solder_is_never_finer_than_the_part() -> None:
    assert {grade.fineness_permille for grade in grades("gold", 916)} == {750}
    # 14 kt made to 583.3 takes the 585 solder, 10 kt the 417
    assert {grade.fineness_permille for grade in grades("gold", 583.33)} == {585}
    assert {grade.fineness_permille for grade in grades("gold", 416.67)} == {417}
    assert {grade.fineness_permille for grade in grades("gold", 500)} == {417}
    # below the lowest solder there is none: the nearest one is finer
    assert {grade.fineness_permille for grade in grades("gold", 333)} == {375}


def test_a_base_metal_takes_silver_and_palladium_has_none() -> None:
    assert grades("base") == grades("silver")
    assert grades("palladium") == ()


def test_the_shops_own_list_stands_in_for_the_table() -> None:
    assert grades("gold", 750, known=[OWN]) == (OWN,)
    assert grades("silver", known=[OWN]) == ()


def test_what_a_solder_weighs() -> None:
    assert replace(OWN, given_density_g_cm3=14.5).density_g_cm3 == 14.5
    # Fine gold, 19.30 g/cm3 (ASM, CRC).
    assert named("platinum-easy").density_g_cm3 == pytest.approx(19.30)
    # Without a recipe: lighter than gold with a rest of silver (16.0 by Rose's table, 750 fine),
    # heavier than gold with a rest of zinc.
    density = named("gold-750-yellow-hard").density_g_cm3
    zinc = 100 / (75 / 19.3 + 25 / 7.133)
    assert zinc < density < 16.03
    assert "our judgement" in named("gold-750-yellow-hard").density_basis
    assert named("silver-hard").density_basis == "from the recipe"
    # Ideal mixing of Ag 75 Cu 22 Zn 3; the copper-zinc excess moves it by under 1 %.
    ideal = 100 / (75 / 10.49 + 22 / 8.96 + 3 / 7.133)
    assert named("silver-hard").density_g_cm3 == pytest.approx(ideal, rel=0.01)


@pytest.mark.parametrize(
    ("alloy", "colour"),
    [
        ("gold-750-yellow-3n", "yellow"),
        ("gold-750-green", "yellow"),
        ("gold-750-rose-4n", "rose"),
        ("gold-585-red", "rose"),
        ("gold-585-white-pd", "white"),
        ("silver-925", "white"),
        ("platinum-950-ru", "white"),
        ("brass-70-30", "yellow"),
        ("nickel-silver-65-18", "white"),
    ],
)
def test_colour_of_the_solder(alloy: str, colour: str) -> None:
    assert colour_family(alloy_by_name(alloy)) == colour


def test_colour_of_a_recipe_without_a_name() -> None:
    # 3N and 5N of ISO 8654 (from memory), and gold with palladium
    assert colour_family(alloy_from_text("Au 75 Ag 12.5 Cu 12.5")) == "yellow"
    assert colour_family(alloy_from_text("Au 75 Ag 4.5 Cu 20.5")) == "rose"
    assert colour_family(alloy_from_text("Au 75 Ag 10 Pd 15")) == "white"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"metal": "gould"}, "no such metal"),
        ({"fineness_permille": 1001.0}, "no such fineness"),
        ({"solidus_c": 830.0}, "no melting range"),
        ({"liquidus_c": float("nan")}, "no melting range"),
        ({"given_density_g_cm3": 0.0}, "no density"),
        ({"recipe": Recipe.of("old", {"Au": 75, "Ag": 15, "Cd": 10})}, "cadmium"),
    ],
)
def test_what_is_no_solder_is_refused(change: dict[str, object], said: str) -> None:
    with pytest.raises(InputError, match=said):
        replace(OWN, **change)  # type: ignore[arg-type]
    # and the unchanged one is a solder, also where its solidus is not known
    assert replace(OWN, solidus_c=None).liquidus_c == 820
