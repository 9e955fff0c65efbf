"""Cautions: what a job's metals and its casting call for."""

from __future__ import annotations

import pytest

from ringgeom.facts import table
from ringgeom.metal import Recipe, alloy_by_name, elements
from ringgeom.metal.caution import METAL, cautions

OCCASIONS = ("always", "general", "casting", "acid", "platinum-melt")
"""Words of the table's ``when`` beside the metals; several in one cell mean any of them."""

ALWAYS = ["acid", "avulsion", "local-codes"]
"""What any ring is told: it is pickled, it is worn, and the local codes come first."""


def ids(*shares: dict[str, float], casting: bool = False) -> list[str]:
    recipes = [Recipe.of(str(n), share) for n, share in enumerate(shares)]
    return [caution.id for caution in cautions(recipes, casting=casting)]


def test_every_row_has_source_known_and_a_known_occasion() -> None:
    rows = table("cautions")
    assert len({row["id"] for row in rows}) == len(rows)
    for row in rows:
        assert row["text"], row
        assert row["source"], row
        words = row["known"].replace("part ", "").split(", ")
        assert set(words) <= {"read", "computed", "memory", "common practice"}, row
        for when in row["when"].split():
            assert when in OCCASIONS or when.removeprefix(METAL) in elements(), row


@pytest.mark.parametrize("casting", [False, True])
def test_the_general_one_is_last_and_there_only_once(casting: bool) -> None:
    found = cautions([alloy_by_name("gold-750-white-ni-hard").recipe] * 2, casting=casting)
    assert found[-1].id == "local-codes"
    assert "Local codes and licensed practice come first" in found[-1].text
    assert len({caution.id for caution in found}) == len(found)


def test_no_metal_at_all_still_says_the_general_ones() -> None:
    assert ids() == ALWAYS


@pytest.mark.parametrize(
    ("shares", "added"),
    [
        ({"Au": 75, "Ag": 25}, set()),
        ({"Ag": 92.5, "Cu": 7.5}, {"copper-fume"}),
        ({"Cu": 70, "Zn": 30}, {"copper-fume", "zinc-fume"}),
        ({"Cu": 98, "Be": 2}, {"copper-fume", "beryllium"}),
        ({"Au": 75, "Cu": 11, "Ni": 14}, {"copper-fume", "nickel"}),
        ({"Ag": 80, "Cd": 20}, {"cadmium"}),
        ({"Ag": 80, "Pb": 20}, {"lead"}),
        ({"Pt": 95, "Ru": 5}, {"eye-shade", "hard-to-cut"}),
        ({"W": 100}, {"hard-to-cut"}),
    ],
    ids=lambda one: " ".join(one if isinstance(one, dict) else sorted(one)),
)
def test_what_each_metal_calls_for(shares: dict[str, float], added: set[str]) -> None:
    assert set(ids(shares)) == {*ALWAYS, *added}


def test_casting_adds_the_mould_and_the_furnace() -> None:
    gold = {"Au": 75.0, "Ag": 25.0}
    assert set(ids(gold, casting=True)) - set(ids(gold)) == {
        "silica",
        "molten-moisture",
        "resin-fumes",
    }


def test_a_ring_is_told_the_cautions_of_all_its_metals() -> None:
    both = ids({"Pt": 95, "Ru": 5}, {"Ag": 92.5, "Cu": 7.5})
    assert {"eye-shade", "copper-fume"} <= set(both)


@pytest.mark.parametrize(
    ("name", "needles"),
    # Published: OSHA (silica 50, action 25 microgram per m3; beryllium 0.2 microgram per m3),
    # HSE (0.1 mg/m3), biomechanics of ring avulsion (80 N and 154 N).
    # Common practice, no source: shade 5 or 6 for platinum.
    [
        ("silica", ["limit 50", "25 microgram", "break moulds wet"]),
        ("beryllium", ["0.2 microgram"]),
        ("avulsion", ["80 N", "154 N"]),
        ("eye-shade", ["shade 5 or 6"]),
        ("molten-moisture", ["explodes"]),
        ("acid", ["acid into water", "never quench hot metal in acid"]),
        ("cadmium", ["refuses"]),
        ("zinc-fume", ["907 C"]),
    ],
)
def test_the_numbers_are_told(name: str, needles: list[str]) -> None:
    text = next(row["text"] for row in table("cautions") if row["id"] == name)
    assert all(needle in text for needle in needles)
