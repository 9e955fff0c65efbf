"""Every row of a grid is the ring that would be made by itself: volumes, grams, melts, findings."""

from __future__ import annotations

import random
from typing import Any

import pytest
from grid.many_designs import BY_ITSELF, DRAWN, EXAMPLES, TEXTS, design_named
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_public_face import document, rings

import ringgeom as rg
from ringgeom.errors import InputError
from ringgeom.findings import scope
from ringgeom.findings.scope import NOT_OF_MANY, SCOPES
from ringgeom.grid import Grid, Row, grid_asked

SAME = 1e-9
"""Rounding only: a volume between two sizes is good to 1e-13 of itself."""

NICKEL = "gold-750-white-ni-hard"

NOT_COMPARED = {*NOT_OF_MANY, "mark-margin"}
"""What the stock and the balance add to one ring; a mark's margin also by its worst case."""


def grid(design: rg.Design, shop: rg.Shop | None = None, **axes: Any) -> Grid:
    return Grid(design=design, shop=shop or rg.Shop(), asked=grid_asked(design, **axes))


def told(job: rg.Job) -> list[tuple[str, str, str | None, str]]:
    return [
        (f.code, f.level, f.part, "" if f.level == "note" else f.text)
        for f in job.findings
        if f.code not in NOT_COMPARED
    ]


def compared(many: Grid, row: Row, *, words: bool = True) -> None:
    """Hold one row against the ring made by itself."""
    try:
        job = rg.job(many.design_of(row.number), many.shop)
    except InputError:
        assert [mark.code for mark in row.marks] == ["unreadable"]
        assert row.castings == ()
        return
    marks = [(m.code, m.level, m.part, m.text) for m in row.marks if m.code not in NOT_COMPARED]
    if words:
        assert marks == told(job)
    else:
        assert [mark[:3] for mark in marks] == [one[:3] for one in told(job)]
    assert row.bore_mm == pytest.approx(job.made.inside_diameter_mm, rel=1e-15)
    assert row.stopped == job.stopped
    if job.stopped:
        assert (row.castings, row.volumes_mm3) == ((), ())
        return
    assert row.volume_mm3 == pytest.approx(job.volume_mm3, rel=SAME)
    held: dict[str, float] = {}
    for name, mm3 in zip(many.roles, row.volumes_mm3, strict=True):
        held[name.split(" ")[0]] = held.get(name.split(" ")[0], 0.0) + mm3
    for name, mm3 in held.items():
        mine = [part.volume_mm3 for part in job.parts if part.name.split(" ")[0] == name]
        assert mm3 == pytest.approx(sum(mine), rel=SAME, abs=1e-9)
    assert [one.alloy for one in row.castings] == [one.alloy.name for one in job.castings]
    for one, casting in zip(row.castings, job.castings, strict=True):
        flask = casting.flask
        for name in ("parts_g", "finished_g", "sprue_g", "button_g", "loss_g", "melt_g"):
            assert getattr(one, name) == pytest.approx(getattr(flask, name), rel=SAME), name


def some(rows: list[Row], count: int, seed: str) -> list[Row]:
    """Random rows, the first and the last among them."""
    return [rows[0], rows[-1], *random.Random(seed).sample(rows, min(count, len(rows)))]


# what is laid out anew for every ring is tried at few sizes, below
@pytest.mark.parametrize("name", [name for name in (*EXAMPLES, *TEXTS) if name not in DRAWN])
@pytest.mark.parametrize("places", ["fixed", "share"])
def test_random_rows(name: str, places: str) -> None:
    design = design_named(name)
    width, thick = design.ring.width_mm, design.ring.thickness_mm
    many = grid(
        design,
        sizes="US 3..13 by 1/2; 15 mm across; ISO 60; US 20",
        widths=f"{width - 1}; {width}; {width + 1.5}",
        thicknesses=f"{thick}; {thick + 0.3:.1f}",
        places=places,
    )
    rows = list(many.rows())
    assert [row.number for row in rows] == list(range(1, many.asked.rows + 1))
    for row in some(rows, 8, name + places):
        compared(many, row)


@pytest.mark.parametrize("name", [*BY_ITSELF, *DRAWN])
def test_rings_whose_section_is_another_at_each_size(name: str) -> None:
    many = grid(design_named(name), sizes="US 5, 7, 11")
    for row in many.rows():
        compared(many, row)


@pytest.mark.parametrize("places", ["fixed", "share"])
def test_a_wider_band_tapers_to_the_same_share(places: str) -> None:
    many = grid(
        design_named("curlew"), sizes="US 7", widths="6, 7.5", thicknesses="2.4", places=places
    )
    for row in many.rows():
        compared(many, row)


@pytest.mark.parametrize("name", ["heron", "harbour", "quarry", "split body", "stretched"])
def test_random_rows_in_random_alloys(name: str) -> None:
    """Alloys that blend, harm, need a name for their shrink, or are none; every combination."""
    design = design_named(name)
    many = grid(design, sizes="US 4, 8, 12", widths=f"{design.ring.width_mm}, 7")
    tried = [
        "silver-925",
        "Au 75 Ag 25",
        "platinum-950-ru",
        "gold-750-white-ni-hard",
        "Au 75 Ag 20",
    ]
    roles = [role for role in many.roles if role != "body 2"]
    alloys = [f"{role}={alloy}" for role in roles[-2:] for alloy in tried]
    many = grid(design, sizes="US 4, 8, 12", widths=f"{design.ring.width_mm}, 7", alloys=alloys)
    rows = list(many.rows())
    assert len({row.alloys for row in rows}) == 25
    for row in some(rows, 12, name):
        compared(many, row)


def test_the_shops_own_settings_are_kept() -> None:
    shop = rg.shop_from_text(
        "[fit]\nwide_band = true\ncomfort = true\n[casting]\nbase_waxes = 2\nbutton_min_g = 2\n"
        "sprue_count = 2\nmelt_loss_percent = 4\n[shrink]\npattern_percent = 1\n"
        '[marks]\nregion = "uk"\n'
        '[measured."silver-925"]\ndensity_g_cm3 = 10.2\n[limits]\nfloor_warn_mm = 1.2\n'
    )
    many = grid(design_named("many bricks"), shop, sizes="US 4..12 by 4", widths="5, 6, 8")
    for row in many.rows():
        compared(many, row)
    many = grid(design_named("heron"), shop, sizes="US 4..12 by 4", widths="5, 6, 8")
    for row in many.rows():
        compared(many, row)


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    rings(),
    st.sampled_from(["US 4, 7, 13", "13 mm across; 19 mm across; 26 mm across", "US 3..15 by 4"]),
    st.sampled_from(["fixed", "share"]),
    st.floats(0.7, 1.4),
)
def test_any_ring(design: dict[str, Any], sizes: str, places: str, wider: float) -> None:
    """Any measures, any places in any order; of words only the codes, a digit may be rounded up."""
    asked = rg.design_from_text(document(design))
    width = asked.ring.width_mm
    many = grid(asked, sizes=sizes, widths=f"{width:.6f}; {width * wider:.4f}", places=places)
    rows = list(many.rows())
    for row in (rows[1], rows[-2]):
        compared(many, row, words=False)


def test_what_only_the_size_decides_is_right_at_every_size() -> None:
    """Derived: 60 bricks are 0.7 mm long on the outside at a crest of 60 x 0.7 / 2 pi = 6.68 mm."""
    many = grid(design_named("small bricks"), sizes="8..12 mm across by 0.25")
    short = {row.bore_mm for row in many.rows() if "too-small" in {mark.code for mark in row.marks}}
    crest = 60 * 0.7 / (2 * 3.141592653589793)
    expected = {8 + 0.25 * n for n in range(17) if (8 + 0.25 * n) / 2 + 2.2 < crest}
    assert {round(bore, 9) for bore in short if bore} == expected
    assert 0 < len(short) < 17


def test_sizes_in_any_order_are_the_same_rings() -> None:
    up = {r.size: r for r in grid(design_named("steep wave"), sizes="US 3..13").rows()}
    mixed = "US 9, 3, 13, 5, 7, 4, 12, 6, 11, 8, 10"
    down = {r.size: r for r in grid(design_named("steep wave"), sizes=mixed).rows()}
    assert set(up) == set(down)
    codes = {size: {mark.code for mark in row.marks} for size, row in up.items()}
    assert codes == {size: {mark.code for mark in row.marks} for size, row in down.items()}
    assert len({"gap-narrows" in found for found in codes.values()}) == 2


def test_every_rule_says_what_it_looks_at() -> None:
    """A rule without a line in the table is right and slow: say there what it looks at."""
    assert [one.rule.__name__ for one in scope.scoped_rules() if one.scope == "everything"] == []


@pytest.mark.parametrize("taken_out", ["finger", "band", "size", "alloys", "route"])
def test_a_rule_that_says_nothing_is_judged_all_the_same(
    monkeypatch: pytest.MonkeyPatch, taken_out: str
) -> None:
    axes = {"sizes": "US 4, 8, 15", "widths": "4, 6", "alloys": ["reed=silver-925"]}
    design = design_named("stretched")
    expected = [row.marks for row in grid(design, **axes).rows()]
    monkeypatch.setattr(
        scope, "SCOPES", {name: rules for name, rules in SCOPES.items() if name != taken_out}
    )
    for kept in (scope.scoped_rules, scope.rules_on):
        kept.cache_clear()
    try:
        found = [row.marks for row in grid(design, **axes).rows()]
    finally:
        monkeypatch.undo()
        for kept in (scope.scoped_rules, scope.rules_on):
            kept.cache_clear()
    assert found == expected
