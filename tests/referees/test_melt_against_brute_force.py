"""An exhaustive search over small stocks as judge of the melt plan.

The search is written from what a melt must be, with its own arithmetic: it tries every weighing
in whole steps of a coarse balance. Expected numbers are *derived*, by that search.

Two facts make it a judge of a plan in exact grams:

- A weighing that pours T' >= T of the right metal, scaled down by T/T', pours T of the same metal
  and draws less of every lot. So a feasible weighing proves that the melt is possible, and what
  it needs of new gold, or of missing metal, is no less than the least in exact grams.
- Any exact weighing, each portion cut down to a whole step, lies on the grid, lost at most a step
  of each lot, and so misses a window by no more than those steps. So an empty grid with windows
  widened by them proves that no weighing exists.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from referees.every_weighing import (
    Case,
    Metal,
    Rules,
    feasible,
    grams_of,
    least_new_gold,
    together,
    worst_share,
)

SOLVER_G = 1e-4
"""Far below any balance, far above the tolerance of a linear programme on grams (1e-7)."""

STEPS_UP = 2
"""A weighed portion may lie two steps over the exact one: one up to a whole step, one more where
only that brings the fineness over its minimum (2 g of 585 from fine gold in steps of 0.1 g)."""


def rounding_g(case: Case) -> float:
    """What rounding may add to the new gold: `STEPS_UP` of each lot of it, in each melt."""
    gold = sum(lot.shares.get("Au", 0.0) / 100 for lot in case.lots if lot.new)
    return float(STEPS_UP * case.rules.step_g * gold * len(case.melts))


def judged(case: Case) -> bool | None:
    """Whether the search says possible, impossible, or (None) cannot tell; the plan must agree."""
    plan = case.plan()
    found = together(case)
    if len(found[0]):
        assert plan.possible, "a weighing exists"
        assert plan.new_gold_g <= least_new_gold(case, found) + rounding_g(case) + SOLVER_G
        return True
    if not len(together(case, loose=True)[0]):
        assert not plan.possible, "no weighing exists"
        assert all(melt.possible or melt.missing for melt in plan.melts)
        return False
    return None


YELLOW = {"Au": 75.0, "Ag": 12.5, "Cu": 12.5}
GREEN = {"Au": 75.0, "Ag": 25.0}
LOW = {"Au": 58.5, "Ag": 20.0, "Cu": 21.5}
ZINC = {"Au": 58.5, "Ag": 10.0, "Cu": 25.0, "Zn": 6.5}
STERLING = {"Ag": 92.5, "Cu": 7.5}

FINE_GOLD = Metal(shares={"Au": 100.0}, grams=9.0, kind="fine")
FINE_SILVER = Metal(shares={"Ag": 100.0}, grams=4.0, kind="fine")
MASTER = Metal(shares={"Ag": 50.0, "Cu": 50.0}, grams=4.0, kind="master")
OLD_LOW = Metal(shares={"Au": 58.5, "Ag": 20.0, "Cu": 21.5}, grams=6.0)
OLD_HIGH = Metal(shares={"Au": 91.6, "Ag": 4.4, "Cu": 4.0}, grams=5.0)

BY_HAND = {
    # 8 g, half of it scrap at 585: 4 g bring 2.34 g gold, so 3.66 g are new
    "scrap up to half": (Case(melts=((YELLOW, 8.0),), lots=(OLD_LOW, FINE_GOLD, MASTER)), True),
    # the 916 scrap alone is rich enough for 6 g: 4.9 g of it bring 4.5 g gold
    "no new gold": (
        Case(
            melts=((YELLOW, 6.0),),
            lots=(OLD_HIGH, FINE_GOLD, MASTER),
            rules=Rules(step_g=0.25, remelt=100.0),
        ),
        True,
    ),
    # 2 g of fine gold and half a charge at 585 give 2 + 2.34 g of 6 g
    "too little gold": (
        Case(melts=((YELLOW, 8.0),), lots=(OLD_LOW, replace(FINE_GOLD, grams=2.0), MASTER)),
        False,
    ),
    # no silver at all: the copper's window ends long before a quarter of the melt
    "no silver": (
        Case(
            melts=((YELLOW, 8.0),),
            lots=(FINE_GOLD, Metal(shares={"Cu": 100.0}, grams=9.0, kind="fine")),
        ),
        False,
    ),
    # gold enough for either, not for both: 4 + 4 g need 6 g
    "one gold for two": (
        Case(
            melts=((YELLOW, 4.0), (GREEN, 4.0)),
            lots=(replace(FINE_GOLD, grams=4.5), FINE_SILVER, MASTER),
        ),
        False,
    ),
    "two melts": (Case(melts=((YELLOW, 4.0), (LOW, 4.0)), lots=(OLD_LOW, FINE_GOLD, MASTER)), True),
    "silver": (
        Case(
            melts=((STERLING, 8.0),),
            lots=(Metal(shares=STERLING, grams=9.0, kind="returns"), FINE_SILVER, MASTER),
            rules=Rules(step_g=0.1, tolerance=20, over=20),
        ),
        True,
    ),
    # all of the zinc in the master is needed, and a twentieth of it goes off
    "zinc": (
        Case(
            melts=((ZINC, 6.0),),
            lots=(
                FINE_GOLD,
                Metal(shares={"Ag": 24.0, "Cu": 60.0, "Zn": 16.0}, grams=4.0, kind="master"),
            ),
            rules=Rules(step_g=0.1, tolerance=20, over=30),
        ),
        True,
    ),
    # Ag over 15 % and Cu under 10 % of it, from lots that hold no more silver than copper
    "no silver without copper": (
        Case(
            melts=((GREEN, 2.54),),
            lots=(
                Metal(shares={"Au": 75.0, "Ag": 11.7, "Cu": 13.3}, grams=4.25),
                replace(FINE_GOLD, grams=3.5),
                replace(MASTER, grams=3.25),
                replace(MASTER, grams=4.25),
            ),
            rules=Rules(step_g=0.05, tolerance=100.0, over=50.0, stray=100.0),
        ),
        False,
    ),
    "margin": (
        Case(
            melts=((GREEN, 6.0),),
            lots=(FINE_GOLD, FINE_SILVER),
            rules=Rules(step_g=0.1, margin=10, over=20),
        ),
        True,
    ),
}


@pytest.mark.parametrize("name", BY_HAND)
def test_a_stock_whose_outcome_is_known_by_hand(name: str) -> None:
    case, possible = BY_HAND[name]
    assert judged(case) is possible


RANDOM_CASES = 150


def random_lot(rng: np.random.Generator, step: float, *kinds: str) -> Metal:
    grams = round(step * int(rng.integers(1, int(6.0 / step))), 6)
    kind = rng.choice(kinds or ["scrap", "scrap", "gold", "silver", "master"])
    if kind == "scrap":
        gold = float(rng.choice([37.5, 58.5, 75.0, 91.6]))
        silver = round(float(rng.uniform(0.2, 0.8)) * (100 - gold), 1)
        shares = {"Au": gold, "Ag": silver, "Cu": round(100 - gold - silver, 1)}
        return Metal(shares=shares, grams=grams)
    if kind == "master":
        silver = float(rng.choice([20.0, 50.0, 80.0]))
        return Metal(shares={"Ag": silver, "Cu": 100 - silver}, grams=grams, kind="master")
    return Metal(shares={"Au" if kind == "gold" else "Ag": 100.0}, grams=grams, kind="fine")


def random_case(seed: int, *, melts: int) -> Case:
    rng = np.random.default_rng(seed)
    step = 0.25 if melts == 1 else 0.5
    if melts == 1:
        lots = tuple(random_lot(rng, step) for _ in range(int(rng.integers(2, 5))))
    else:
        kinds = [("gold",), ("silver", "master"), ()][: int(rng.integers(2, 4))]
        lots = tuple(random_lot(rng, step, *kind) for kind in kinds)
    asked = tuple(
        (
            (YELLOW, GREEN, LOW)[int(rng.integers(3))],
            round(float(rng.uniform(2.0, 6.0 if melts == 1 else 4.0)), 2),
        )
        for _ in range(melts)
    )
    rules = Rules(
        step_g=step,
        tolerance=float(rng.choice([50.0, 100.0])),
        over=float(rng.choice([50.0, 100.0])),
        remelt=float(rng.choice([50.0, 70.0, 100.0])),
        margin=float(rng.choice([0.0, 0.0, 5.0])),
        # wide enough that a little copper is no stranger to an alloy without it
        stray=100.0,
    )
    return Case(melts=asked, lots=lots, rules=rules)


@pytest.mark.parametrize("melts", [1, 2])
def test_random_stocks(melts: int) -> None:
    said: list[bool | None] = []
    wrong: dict[int, str] = {}
    for seed in range(1000 * melts, 1000 * melts + RANDOM_CASES):
        try:
            said.append(judged(random_case(seed, melts=melts)))
        except (AssertionError, ArithmeticError) as error:
            wrong[seed] = str(error).splitlines()[0]
    assert not wrong
    # the judge is no judge if it hardly ever speaks
    assert said.count(True) >= 8
    assert said.count(False) >= 8


def bought(case: Case) -> Case:
    """The same with as much fine gold, silver and copper to add as anybody could want."""
    enough = 6.0
    added = tuple(
        Metal(shares={s: 100.0}, grams=enough, kind="fine")
        for s in sorted({s for shares, _ in case.melts for s in shares})
    )
    return replace(case, lots=case.lots + added)


def test_what_is_missing_is_no_more_than_the_search_must_add() -> None:
    """Every weighing that adds fine metal to the stock adds at least what the plan misses."""
    told = 0
    for seed in range(400, 440):
        case = random_case(seed, melts=1)
        case = replace(case, lots=case.lots[:2], rules=replace(case.rules, step_g=0.5))
        plan = case.plan()
        found = feasible(bought(case), 0, bought(case).lots, step=0.5)
        if plan.possible or not len(found):
            continue
        told += 1
        least = float(found[:, 2:].sum(axis=1).min())
        # of two ways to mend a melt the plan may prefer a permille more of base metal
        assert sum(m.grams for m in plan.melts[0].missing) <= 1.001 * least + SOLVER_G
    assert told >= 8


def test_the_worst_case_holds_where_the_stock_lets_it() -> None:
    """With fine gold to spare the worst case must hold: more of it always raises the worst case.

    That is shown by the search: it finds a weighing that holds and pours enough.
    """
    told = 0
    for seed in range(600, 640):
        case = random_case(seed, melts=1)
        shares, _ = case.melts[0]
        lots = (*case.lots[:2], replace(FINE_GOLD, grams=12.0))
        case = replace(case, lots=lots, rules=replace(case.rules, step_g=0.1, over=100.0))
        if not any(lot.shares.get("Ag", 0) and lot.new for lot in lots):
            continue
        ways = feasible(case, 0, lots, step=0.1)
        if not any(worst_share(way, lots, "Au", 0.1) >= 10 * shares["Au"] for way in ways[::7]):
            continue
        told += 1
        melt = case.plan(worst=True).melts[0]
        weighed = grams_of(melt, len(lots))
        assert worst_share(weighed, lots, "Au", 0.1) >= 10 * shares["Au"] - 1e-6
        assert melt.possible
    assert told >= 5
