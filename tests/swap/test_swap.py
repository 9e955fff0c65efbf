"""The swap table: every row is the single run of the changed design, and nothing is drawn anew."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import product
from math import inf
from pathlib import Path
from typing import Any

import pytest

import ringgeom as rg
from ringgeom.colour import colour
from ringgeom.colour.contrast import contrast
from ringgeom.errors import InputError, ShapeError
from ringgeom.jobs import refilled
from ringgeom.metal import alloy_by_name, fineness
from ringgeom.quoting import quote
from ringgeom.swap import Row, Swaps, in_other_alloys, seats, swaps
from ringgeom.swap.seat import touching

Run = Callable[..., Any]
JobOf = Callable[[Path], rg.Job]

SHOP = Path(__file__).parents[2] / "designs" / "shop" / "priced.toml"

SAME_G = 1e-9
"""Relative: the same sums in the same order; a pattern's scale may round otherwise."""


def table(job: rg.Job, part: str, **more: Any) -> Swaps:
    (found,) = swaps(job, part=part, **more)
    return found


def row_of(found: Swaps, alloy: str) -> Row:
    return next(row for row in found.rows if row.chosen[0][1].name == alloy)


def codes(row: Row) -> set[str]:
    return {rule.code for rule in row.breaks}


def same_as_single(row: Row, single: rg.Job) -> None:
    """A row against a job that was laid out by itself."""
    assert not single.stopped
    assert row.finished_g == pytest.approx(single.finished_g, rel=SAME_G)
    melted = sum(casting.flask.melt_g for casting in single.castings)
    assert row.melt_g == pytest.approx(melted, rel=SAME_G)
    by_pair = {frozenset(m.alloys): m.contrast for m in single.meetings}
    for met in row.met:
        if met.alloys[0] != met.alloys[1]:
            alone = by_pair[frozenset(met.alloys)]
            for name in ("delta_e_00_d65", "delta_e_00_a", "band"):
                # symmetric but for binary rounding
                assert getattr(met.contrast, name) == pytest.approx(getattr(alone, name), abs=1e-9)
            assert met.contrast.verdict == alone.verdict
    assert row.job.findings == single.findings
    alone = quote(single)
    if row.quote is None or alone is None:
        assert row.quote is alone
    else:
        assert row.quote.total == pytest.approx(alone.total, rel=SAME_G)


def test_rows_equal_single_runs_of_the_changed_file(designs: Path) -> None:
    """The alloy's name exchanged in the text of the design file, and laid out from there."""
    text = (designs / "heron.toml").read_text("utf-8")
    shop = rg.read_shop(SHOP)
    job = rg.job(rg.design_from_text(text), shop)
    for part, now in (("reed", "gold-750-green"), ("body", "gold-750-yellow-3n")):
        found = table(job, part)
        assert len(found.rows) > 12
        for row in found.rows:
            name = row.chosen[0][1].name
            asked = rg.design_from_text(text.replace(f'alloy = "{now}"', f'alloy = "{name}"'))
            same_as_single(row, rg.job(asked, shop))


@cache
def swaps_of(path: Path) -> tuple[rg.Job, tuple[Swaps, ...]]:
    """The swap table of a design, reckoned once."""
    job = rg.job(rg.read_design(path))
    return job, swaps(job)


def test_rows_of_every_design_equal_single_runs(design_file: Path) -> None:
    """Some rows of every part: a single run takes up to a tenth of a second."""
    job, found = swaps_of(design_file)
    for one in found:
        for row in one.rows[::9]:
            same_as_single(row, rg.job(in_other_alloys(job.design, dict(row.chosen))))


def test_nothing_is_drawn_anew(design_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    job = rg.job(rg.read_design(design_file))
    first = seats(job)[0].name

    def drawn(*args: Any, **given: Any) -> None:
        raise AssertionError("a section was drawn for an alloy")

    monkeypatch.setattr("ringgeom.form.ring.sections", drawn)
    monkeypatch.setattr("ringgeom.sketch.ring", drawn)
    assert len(table(job, first).rows) > 3


def test_the_ring_as_designed_is_among_the_rows(design_file: Path) -> None:
    job, found = swaps_of(design_file)
    for one in found:
        (now,) = [row for row in one.rows if row.as_designed]
        assert now.finished_g == job.finished_g
        assert now.job.parts == job.parts
        assert now.job.bench() == job.bench()


def test_tables_for_the_bench_are_of_their_own_alloys(designs: Path) -> None:
    """What is drawn is kept between rings in other alloys; what hangs on the alloy is not."""
    job, found = swaps_of(designs / "heron.toml")
    row = row_of(found[0], "gold-750-red")
    single = rg.job(in_other_alloys(job.design, dict(row.chosen)))
    assert job.bench() is not None
    assert row.job.bench() == single.bench() != job.bench()


def test_rows_are_of_one_metal_and_fineness(job_of: JobOf, designs: Path) -> None:
    job = job_of(designs / "heron.toml")
    for row in table(job, "reed").rows:
        recipe = row.chosen[0][1].recipe
        assert recipe.precious == "gold"
        assert fineness(recipe) == pytest.approx(750, abs=3.5)
    lower = table(job, "reed", fineness_permille=585)
    for row in lower.rows:
        if not row.as_designed:
            # 14 kt and 585 count as the same fineness
            assert fineness(row.chosen[0][1].recipe) == pytest.approx(585, abs=3.5)
    everything = table(job, "reed", any_metal=True)
    assert {row.chosen[0][1].recipe.precious for row in everything.rows} == {
        "gold",
        "silver",
        "platinum",
        "palladium",
    }


def test_order(job_of: JobOf, designs: Path) -> None:
    """Most contrast first, as it is told; then the lower price."""
    shop = rg.read_shop(SHOP)
    for name in ("heron", "harbour"):
        for found in swaps(rg.job(rg.read_design(designs / f"{name}.toml"), shop)):
            told = [
                (-round(row.worst.contrast.delta_e_00_d65, 1), row.price or inf)
                for row in found.rows
                if row.worst is not None
            ]
            assert told == sorted(told)
            assert len(told) == len(found.rows)


def test_rules_that_a_row_breaks_are_marked(job_of: JobOf, designs: Path) -> None:
    job = job_of(designs / "heron.toml")
    reed, body = table(job, "reed"), table(job, "body")
    # 17.3 % nickel: the body lies on the finger, the reed does not
    assert codes(row_of(reed, "gold-750-white-ni-hard")) == {"nickel"}
    assert codes(row_of(body, "gold-750-white-ni-hard")) == {"nickel", "nickel-on-skin"}
    assert row_of(body, "gold-750-white-ni-hard").hazards == ("nickel",)
    assert "contrast-weak" in codes(row_of(reed, "gold-750-yellow-15-10"))
    assert codes(row_of(reed, "gold-750-yellow-3n")) == {"one-metal"}
    assert row_of(reed, "gold-750-yellow-3n").worst.verdict == "the same metal"  # type: ignore[union-attr]
    # two finenesses of one metal, and 583 is under a mark of 585
    lower = table(job, "reed", fineness_permille=585)
    assert "several-finenesses" in codes(row_of(lower, "gold-585-red"))
    assert "mark-margin" in codes(row_of(lower, "gold-583-rose"))
    assert not codes(row_of(reed, "gold-750-red-5n"))
    # what no alloy mends is told once
    assert {rule.code for rule in reed.everywhere} == {"closed-inlay-cannot-enter"}


def test_a_row_that_cannot_be_made(designs: Path) -> None:
    """The body's own recipe is called like an alloy of the catalogue: the reed cannot have it."""
    own = 'alloy = { name = "gold-750-red-5n", Au = 75, Ag = 10, Cu = 15 }'
    text = (designs / "heron.toml").read_text("utf-8")
    asked = rg.design_from_text(text.replace('alloy = "gold-750-yellow-3n"', own))
    found = table(rg.job(asked, rg.read_shop(SHOP)), "reed")
    last = found.rows[-1]
    assert last.chosen[0][1].name == "gold-750-red-5n"
    assert codes(last) == {"alloy-named-twice"}
    assert (last.finished_g, last.melt_g, last.chosen_g, last.price) == (None,) * 4
    assert {rule.code for rule in found.everywhere} == {"closed-inlay-cannot-enter"}


def test_two_of_one_alloy_share_a_flask(job_of: JobOf, designs: Path) -> None:
    """One button of 6 g less: the least that a button is."""
    found = table(job_of(designs / "heron.toml"), "reed")
    one = row_of(found, "gold-750-yellow-3n")
    assert len(one.job.castings) == 1
    assert one.melt_g < row_of(found, "gold-750-yellow-15-10").melt_g - 5  # type: ignore[operator]


def test_segments_are_exchanged_by_their_alloy(job_of: JobOf, designs: Path) -> None:
    job = job_of(designs / "quarry.toml")
    found = seats(job)
    assert [seat.name for seat in found] == ["brick 1", "brick 2", "brick 3", "body"]
    assert found[1].parts == ("brick 2", "brick 5", "brick 8")
    assert [seat.name for one in swaps(job, part="brick") for seat in one.seats] == [
        "brick 1",
        "brick 2",
        "brick 3",
    ]
    assert table(job, "brick 5").seats == (found[1],)
    row = row_of(table(job, "brick 2"), "gold-750-red-5n")
    by_name = {part.name: part.alloy.name for part in row.job.parts}
    assert {by_name[f"brick {n}"] for n in (2, 5, 8)} == {"gold-750-red-5n"}
    assert by_name["brick 1"] == "gold-750-green-20-5"
    # bricks beside each other and all on the body
    assert {frozenset(met.between) for met in row.met} == {
        frozenset(("brick 1", "brick 2")),
        frozenset(("brick 2", "brick 3")),
        frozenset(("brick 2", "body")),
    }


def test_segments_that_come_twice_in_turn_are_one(designs: Path) -> None:
    text = (designs / "quarry.toml").read_text("utf-8")
    turn = '["gold-750-green-20-5", "gold-750-yellow-2n", "gold-750-rose-4n"]'
    four = '["gold-750-green-20-5", "silver-925", "gold-750-green-20-5", "gold-750-rose-4n"]'
    asked = rg.design_from_text(text.replace(turn, four).replace("count = 9", "count = 8"))
    job = rg.job(asked)
    names = [seat.parts for seat in seats(job)][:3]
    assert names[0] == ("brick 1", "brick 3", "brick 5", "brick 7")
    # silver and rose never touch: green lies between them
    pairs = {frozenset((one.name, two.name)) for one, two in touching(job, seats(job))}
    assert frozenset(("brick 2", "brick 4")) not in pairs
    changed = row_of(table(job, "brick 1"), "gold-750-red").job.design.parts[0]
    assert [str(one) for one in changed.alloys] == [  # type: ignore[union-attr]
        "gold-750-red",
        "silver-925",
        "gold-750-red",
        "gold-750-rose-4n",
    ]


def test_a_split_body_stays_one_alloy(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8")
    split = text.replace('place = "channel"', 'place = "channel"\nroute = "split body"')
    job = rg.job(rg.design_from_text(split))
    reed, body = seats(job)
    assert body.parts == ("body 2", "body")
    row = row_of(table(job, "body"), "gold-750-red")
    alloys = {part.name: part.alloy.name for part in row.job.parts}
    assert alloys == {"reed": "gold-750-green", "body 2": "gold-750-red", "body": "gold-750-red"}
    assert [met.between for met in row.met] == [(reed.name, body.name)]


def test_what_the_shop_measured_wins(designs: Path) -> None:
    measured = '[measured."gold-750-red-5n"]\ndensity_g_cm3 = 15.3\n'
    job = rg.job(rg.read_design(designs / "heron.toml"), rg.shop_from_text(measured))
    (alloy,) = [a for _, a in row_of(table(job, "reed"), "gold-750-red-5n").chosen]
    assert alloy.density_g_cm3 == 15.3


def test_the_stock_is_not_asked(designs: Path) -> None:
    """Lots change what is weighed out, never the grams of a row."""
    asked = rg.read_design(designs / "heron.toml")
    plain = table(rg.job(asked), "reed")
    drawer = rg.read_shop(SHOP.with_name("short.toml"))
    stocked = table(rg.job(asked, drawer), "reed")
    assert [row.melt_g for row in stocked.rows] == [row.melt_g for row in plain.rows]
    assert not any("melt-impossible" in codes(row) for row in stocked.rows)


def test_without_prices_there_is_no_price(job_of: JobOf, designs: Path) -> None:
    assert all(row.price is None for row in table(job_of(designs / "heron.toml"), "reed").rows)


def test_all_at_once_finds_the_best(job_of: JobOf, designs: Path) -> None:
    """Against every pair of alloys, compared one by one."""
    job = job_of(designs / "heron.toml")
    names = [row.chosen[0][1].name for row in table(job, "reed").rows]
    apart = sorted(
        (
            contrast(colour(alloy_by_name(a)), colour(alloy_by_name(b))).delta_e_00_d65
            for a, b in product(names, names)
        ),
        reverse=True,
    )
    (found,) = swaps(job, together=True, most=10)
    assert found.tried == len(names) ** 2
    best = [row for row in found.rows if not row.as_designed]
    worst = [row.worst.contrast.delta_e_00_d65 for row in best if row.worst]
    # symmetric but for binary rounding, and told to a tenth
    assert sorted(worst, reverse=True) == pytest.approx(apart[:10], abs=1e-9)
    assert sum(row.as_designed for row in found.rows) == 1
    for row in best[:3]:
        same_as_single(row, rg.job(in_other_alloys(job.design, dict(row.chosen))))


def test_all_at_once_at_another_fineness(job_of: JobOf, designs: Path) -> None:
    """A part whose metal has no such fineness stays as it is."""
    job = job_of(designs / "saltmarsh.toml")
    (found,) = swaps(job, fineness_permille=375, together=True, most=5)
    for row in found.rows:
        chosen = {seat.name: alloy for seat, alloy in row.chosen}
        assert chosen["water"].name == "silver-925"
        if not row.as_designed:
            assert {fineness(chosen[n].recipe) for n in ("sand", "grass")} == {375.0}
    water = next(one for one in swaps(job, fineness_permille=375) if one.seats[0].name == "water")
    assert water.rows == ()


def test_a_ring_of_one_part_touches_nothing(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8").split("[[part]]")[0]
    (found,) = swaps(rg.job(rg.design_from_text(text)))
    assert all(row.worst is None for row in found.rows)
    assert [row.finished_g is not None for row in found.rows] == [True] * len(found.rows)


def test_another_form_is_not_refilled(job_of: JobOf, designs: Path) -> None:
    job = job_of(designs / "heron.toml")
    other = rg.read_design(designs / "alder.toml")
    assert job.ring is not None
    with pytest.raises(ShapeError):
        job.ring.refilled(other.parts)
    # asked for through a job, it is a stop like any other misfit
    assert refilled(replace(job), other).stopped


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"part": "red"}, "nearest: reed"),
        ({"fineness_permille": 18.0}, "750 permille"),
        ({"fineness_permille": 820.0}, "nearest: 843"),
        ({"fineness_permille": float("nan")}, "not a fineness"),
    ],
)
def test_what_is_refused(job_of: JobOf, designs: Path, more: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        swaps(job_of(designs / "heron.toml"), **more)


def test_too_many_rings_at_once(job_of: JobOf, designs: Path) -> None:
    with pytest.raises(InputError, match="--part"):
        swaps(job_of(designs / "quarry.toml"), any_metal=True, together=True)


def test_it_is_told(run: Run, designs: Path) -> None:
    heron = designs / "heron.toml"
    for more in ((), ("--part", "reed"), ("--together", "--most", "3"), ("--fineness", "585")):
        ran = run("swap", heron, "--shop", SHOP, *more)
        assert ran.code == 0
        data = json.loads(run("swap", heron, "--shop", SHOP, *more, "--json").out)
        for group in data["swaps"]:
            for row in group["rows"]:
                for figure in (row["finished_g"], row["melt_g"], row["total"]):
                    assert f"{figure:.2f}" in ran.out
                assert " + ".join(row["alloys"].values()) in ran.out
                for rule in row["breaks"]:
                    assert rule["code"] in ran.out


@pytest.mark.parametrize(
    "more",
    [
        ("--part", "red"),
        ("--fineness", "14"),
        ("--fineness", "x"),
        ("--most", "0"),
        ("--together", "--any", "--fineness", "123"),
    ],
)
def test_bad_words(run: Run, designs: Path, more: tuple[str, ...]) -> None:
    ran = run("swap", designs / "heron.toml", *more)
    assert ran.code == 2
    assert "Traceback" not in ran.err
