"""In words: why a lot is not in a melt, and what would mend a melt that cannot be made."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from ringgeom.melt.source import Array, KeptOut, Source
from ringgeom.melt.stranger import stranger
from ringgeom.melt.wanted import Wanted, Window
from ringgeom.metal import Recipe, element
from ringgeom.shop import MeltSettings


def not_taken(
    sources: Sequence[Source],
    grams: Array,
    melt: int,
    wanted: Sequence[Wanted],
    windows: Mapping[str, Window],
) -> tuple[KeptOut, ...]:
    """Why each lot that this melt does not take is left, shape of `grams` (sources, melts)."""
    found = []
    for i, source in enumerate(sources):
        if grams[i, melt] > 0 or source.bought:
            continue
        symbol = stranger(source, windows)
        if symbol is not None:
            name = element(symbol).name
            held, allowed = 100 * source.share(symbol), 100 * windows[symbol].most
            why = f"holds {held:.3g} % {name}, this melt may hold {allowed:.3g} %"
        elif grams[i].any() and grams[i].sum() >= source.grams - 1e-9:
            others = [one.alloy.name for k, one in enumerate(wanted) if grams[i, k] > 0]
            why = f"all of it goes into {' and '.join(others)}"
        else:
            why = "not needed"
        found.append(KeptOut(lot=source.name, why=why))
    return tuple(found)


Trial = Callable[[MeltSettings], float]
"""Settings to the grams of fine metal that are missing in all then."""


def mending(trial: Trial, settings: MeltSettings, lacking_g: float) -> tuple[str, ...]:
    """Which of the shop's own rules stand in the way: each is lifted by itself and tried."""
    tries: list[tuple[str, dict[str, object]]] = []
    if settings.remelt_percent < 100:
        tries.append(
            (
                f"more than {settings.remelt_percent:g} % of the charge remelt",
                {"remelt_percent": 100.0},
            )
        )
    tries.append(
        (
            f"{2 * settings.tolerance_permille:g} permille of tolerance instead of "
            f"{settings.tolerance_permille:g}",
            {
                "tolerance_permille": 2 * settings.tolerance_permille,
                "tolerance": {s: 2 * t for s, t in settings.tolerance.items()},
            },
        )
    )
    if settings.margin_permille > 0:
        tries.append(
            (f"no margin of {settings.margin_permille:g} permille", {"margin_permille": 0.0})
        )
    said = []
    for words, changed in tries:
        left = trial(settings.model_copy(update=changed))
        if left <= 1e-6:
            said.append(f"with {words} it could be made from the stock")
        elif left < lacking_g - 0.01:
            said.append(f"with {words} only {left:.2f} g would be missing in all")
    return tuple(said)


STEPS_OFF, MOST_OFF = 2.0, 0.01
"""How far the balance's steps may push a metal past its limit: two steps, at most one percent."""

SURE = 1e-5
"""The solver's own tolerance, as a share of a melt."""


def too_coarse(step_g: float, wanted: Wanted) -> tuple[str, ...]:
    """Why nothing at all can be weighed out."""
    return (
        f"a balance of {step_g:g} g is too coarse for {wanted.grams:g} g: melt more at once, or "
        "weigh finer",
    )


def off_recipe(
    step_g: float, made: Recipe, poured_g: float, limits: Mapping[str, Window]
) -> tuple[str, ...]:
    """Metals that end beyond their limits; empty when all are within.

    The balance's steps do that in small melts; else it is the metal that the worst case asks for,
    where a lot's recipe is in doubt.
    """
    steps = STEPS_OFF * step_g / poured_g
    cause = f"a balance of {step_g:g} g is too coarse for {poured_g:.2f} g"
    if steps < MOST_OFF:
        cause = (
            "this much is added so that the fineness holds where lots are uncertain or zinc stays"
        )
    slack = max(min(steps, MOST_OFF), SURE)
    return tuple(
        f"{100 * share:.1f} % {element(symbol).name} for {100 * window.aimed:.1f}: {cause}"
        for symbol, window in limits.items()
        for share in (made.percent(symbol) / 100,)
        if not window.least - slack <= share <= window.most + slack
    )
