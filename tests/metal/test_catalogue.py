"""The catalogue and its tables: every row named, sourced, summing, wearable."""

from __future__ import annotations

import ast
import importlib
import re
import sys
from importlib.resources import files

import pytest

from ringgeom.errors import RecipeError
from ringgeom.facts import sources, table, tables
from ringgeom.metal import (
    Alloy,
    alloy_by_name,
    alloy_from_recipe,
    alloy_names,
    catalogue,
    fineness,
    recipe_faults,
)

MARKS = {"read", "computed", "memory", "common practice"}
NAME = re.compile(r"[a-z]+(-[a-z]+)?(-\d+)(-[a-z0-9]+)*")

everyone = pytest.mark.parametrize("alloy", catalogue(), ids=lambda alloy: alloy.name)


def test_names_are_unique_and_enough() -> None:
    names = alloy_names()
    assert len(names) == len(set(names)) == len(table("alloys"))
    assert len(names) >= 60


@everyone
def test_a_name_is_plain_words_and_numbers(alloy: Alloy) -> None:
    assert NAME.fullmatch(alloy.name)


@everyone
def test_a_row_says_where_it_is_from(alloy: Alloy) -> None:
    assert alloy.source
    words = alloy.known.replace("part ", "").split(", ")
    assert set(words) <= MARKS


@everyone
def test_a_catalogue_recipe_sums_and_may_be_worn(alloy: Alloy) -> None:
    # Sum within 0.05 % and no cadmium or lead at their limits; nickel may be warned of.
    assert {fault.code for fault in recipe_faults(alloy.recipe)} <= {"nickel"}
    assert alloy.recipe.percent("Cd") == alloy.recipe.percent("Pb") == 0.0


@everyone
def test_a_name_tells_the_metal_and_its_fineness(alloy: Alloy) -> None:
    metal, *rest = alloy.name.split("-")
    if alloy.recipe.precious == "base":
        assert metal in {"brass", "bronze", "silicon", "nickel"}
        return
    assert metal == alloy.recipe.precious
    found = fineness(alloy.recipe)
    assert found is not None
    # Names round to the usual mark: 91.67 % is called 916, 91.7 % 917.
    assert abs(found - int(rest[0])) <= 3.5
    row = next(row for row in table("alloys") if row["name"] == alloy.name)
    # The column rounds 91.67 % to 916.7.
    assert found == pytest.approx(float(row["fineness_permille"]), abs=0.11)


@everyone
def test_a_name_with_a_colour_agrees_with_the_source(alloy: Alloy) -> None:
    called = alloy.colour_name.replace("pink", "rose")
    for word in {"yellow", "rose", "red", "green", "white"} & set(alloy.name.split("-")):
        assert word in called


@everyone
def test_a_name_never_overstates_a_mark(alloy: Alloy) -> None:
    # A mark may understate, never overstate (UK Hallmarking Act): 583 metal is not called 585.
    found = fineness(alloy.recipe)
    if found is not None:
        # 33.3 % read from binary: rounding only.
        assert int(alloy.name.split("-")[1]) <= found + 1e-9


@everyone
def test_a_melting_range_is_a_range(alloy: Alloy) -> None:
    if alloy.solidus_c is not None and alloy.liquidus_c is not None:
        assert alloy.solidus_c <= alloy.liquidus_c
    for degrees in (alloy.solidus_c, alloy.liquidus_c):
        # The Ag-Cu eutectic melts lowest; nothing here melts above tungsten-bearing platinum.
        assert degrees is None or 700 < degrees < 1900


def test_some_recipes_as_printed() -> None:
    # ISO 8654 shades as in Grimwade (2009), from memory; Henley's dead leaf; 950 Pt-Ru.
    assert alloy_by_name("gold-750-yellow-3n").recipe.shares == (
        ("Au", 75.0),
        ("Ag", 12.5),
        ("Cu", 12.5),
    )
    assert alloy_by_name("gold-750-red-5n").recipe.percent("Cu") == 20.5
    assert alloy_by_name("gold-700-green").recipe.percent("Ag") == 30.0
    assert alloy_by_name("platinum-950-ru").recipe.percent("Ru") == 5.0


def test_the_row_that_does_not_sum_is_left_out_and_told() -> None:
    (left_out,) = sources()["alloys"]["left_out"]
    # 58.3 + 31.2 + 6.4 + 4.0 as printed; decimal sum, binary rounding only.
    assert sum(left_out["shares"].values()) == pytest.approx(99.9, abs=1e-9)
    with_zinc = [alloy.recipe.percent("Zn") for alloy in catalogue()]
    assert 6.4 not in with_zinc
    shares = alloy_from_recipe("left out", left_out["shares"]).recipe
    assert "recipe-sum" in {fault.code for fault in recipe_faults(shares)}


def test_one_name_computes_one_alloy(monkeypatch: pytest.MonkeyPatch) -> None:
    # The package's catalogue is the function, so the module is asked for by its full name.
    module = importlib.import_module("ringgeom.metal.catalogue")
    computed: list[str] = []
    honest = module.computed_density

    def counted(recipe):  # type: ignore[no-untyped-def]
        computed.append(recipe.name)
        return honest(recipe)

    monkeypatch.setattr(module, "computed_density", counted)
    module._alloy.cache_clear()
    assert alloy_by_name("silver-925") is alloy_by_name("silver-925")
    assert computed == ["silver-925"]


@pytest.mark.parametrize(
    ("name", "permille", "nearest"),
    [
        ("gold-18k-yellow", "750", "gold-750-yellow-3n"),
        ("18ct yellow", "750", "gold-750-yellow-2n"),
        ("14 kt rose", "583.3", "gold-583-rose"),
        ("22 carat", "916.7", "gold-916-yellow"),
        ("9K Pink", "375", "gold-375-rose"),
        ("18-karat green", "750", "gold-750-green"),
    ],
)
def test_a_karat_is_turned_to_a_fineness(name: str, permille: str, nearest: str) -> None:
    with pytest.raises(RecipeError) as caught:
        alloy_by_name(name)
    (problem,) = caught.value.problems
    assert f"is {permille} permille" in problem.text
    near = problem.nearest.split(", ")
    assert nearest in near
    for found in near:
        wanted = float(permille)
        # The same allowance as between a name and its row.
        assert abs(int(found.split("-")[1]) - wanted) <= 3.5


def test_a_karat_hint_keeps_to_the_colour_asked_for() -> None:
    with pytest.raises(RecipeError) as caught:
        alloy_by_name("18ct green")
    near = caught.value.problems[0].nearest.split(", ")
    assert near
    assert all("green" in name for name in near)


@pytest.mark.parametrize(
    ("name", "nearest"),
    [
        ("gold-750-yelow-3n", "gold-750-yellow-3n"),
        ("Gold-750-Green", "gold-750-green"),
        ("platinum 950 ru", "platinum-950-ru"),
        ("sterling", "silver-925"),
        ("gold-585-rose", "gold-583-rose"),
    ],
)
def test_a_wrong_name_is_told_the_nearest(name: str, nearest: str) -> None:
    with pytest.raises(RecipeError) as caught:
        alloy_by_name(name)
    assert caught.value.problems[0].nearest.split(", ")[0] == nearest


def test_a_name_like_nothing_gets_no_guess_but_the_form() -> None:
    with pytest.raises(RecipeError) as caught:
        alloy_by_name("heron")
    assert caught.value.problems[0].nearest == ""
    assert "Au 75 Ag 25" in caught.value.problems[0].allowed
    with pytest.raises(RecipeError, match="no 36 kt"):
        alloy_by_name("36 kt yellow")


def test_a_table_is_read_once_and_a_wrong_name_is_told() -> None:
    assert table("alloys") is table("alloys")
    with pytest.raises(LookupError, match="elements"):
        table("element")


@pytest.mark.parametrize("name", ["elements", "alloys", "density_evidence"])
def test_a_table_has_its_source(name: str) -> None:
    assert name in tables()
    entry = sources()[name]
    assert entry["file"] == f"{name}.csv"
    assert all(entry[key] for key in ("what", "from", "known"))
    assert all(row["source"] and row["known"] for row in table(name))


@pytest.mark.parametrize(
    "module",
    ["alloy", "catalogue", "density", "element", "fault", "hazard", "recipe", "written"],
)
def test_weighing_imports_nothing_heavy(module: str) -> None:
    tree = ast.parse(files("ringgeom.metal").joinpath(f"{module}.py").read_text("utf-8"))
    roots = {
        name.split(".")[0]
        for node in tree.body
        if isinstance(node, (ast.Import, ast.ImportFrom))
        for name in ([node.module or ""] if isinstance(node, ast.ImportFrom) else [])
        + [alias.name for alias in node.names if isinstance(node, ast.Import)]
    }
    assert roots <= {*sys.stdlib_module_names, "ringgeom"}
