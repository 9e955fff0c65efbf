"""The shop's own shrink and melt loss learnt from its castings; proposed, never applied here.

shrink = (now x castings before + sum of the new ones) / all castings
loss   = (now x grams before + grams unexplained) / all grams issued
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum

from ringgeom.errors import InputError, Problem
from ringgeom.finger import scale_named
from ringgeom.making.ledger import Ledger
from ringgeom.making.shrinkage import Shrinkage

FEWEST = 3
"""Castings below which one slip decides the mean: common practice, no source."""

USUAL_PERCENT = (1.0, 2.0)
"""Linear shrink from pattern to casting: common practice, no source."""

LIKELY_LOSS_PERCENT = 5.0
"""More than this is metal mislaid, not a melt's loss, usually 0.1 to 2: common practice."""

MOST_PERCENT = 10.0
"""The shop file takes a shrink from 0 to below this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A new shrink for one alloy, and what it would change.

    Attributes
    ----------
    now_percent, percent : float
        Shrink in the shop file, and the one proposed, rounded as it is written [percent].
    count, new_count : int
        Castings behind the proposed figure, and how many of them are new.
    lowest_percent, highest_percent : float
        Of the new castings [percent].
    trusted : bool
        False below 3 castings.
    scale_now, scale : float
        Pattern scale with each figure, the pattern's own shrink in both.
    bore_mm, bore_now_mm : float
        Bore that the last casting should have, and what it comes out at when the metal shrinks
        as proposed and the file is scaled as now [mm].
    bore_off_mm, bore_off_us : float
        By how much that is small (below 0) or large [mm], [US sizes].
    left_out : tuple of str
        Castings that were not counted, and why.
    """

    alloy_name: str
    now_percent: float
    percent: float
    count: int
    new_count: int
    on: date
    lowest_percent: float
    highest_percent: float
    trusted: bool
    scale_now: float
    scale: float
    bore_mm: float
    bore_now_mm: float
    bore_off_mm: float
    bore_off_us: float
    left_out: tuple[str, ...]
    words: tuple[str, ...]


def proposed(
    shrinkages: Sequence[Shrinkage],
    now_percent: float,
    count_before: int,
    *,
    on: date,
) -> Proposal:
    """A new shrink of one alloy from its measured castings, as a running mean.

    Castings whose measures disagree, that were only weighed, or that are likely of another alloy
    are left out and named.

    Parameters
    ----------
    shrinkages : sequence of Shrinkage
        New castings, all of one alloy.
    now_percent : float
        Shrink in use [percent]; with `count_before` 0 it is a default and counts nothing.
    count_before : int
        Castings behind it.
    on : date
        Day to write beside the figure.

    Raises
    ------
    InputError
        No casting to learn from, several alloys, or a figure that the shop file cannot hold.
    """
    problems = list(_problems(shrinkages, now_percent, count_before))
    if problems:
        raise InputError(problems)
    learnt: list[float] = []
    left_out: list[str] = []
    for one in shrinkages:
        if one.percent is not None and not _left_out(one):
            learnt.append(one.percent)
        else:
            left_out.append(f"{one.expected.part}: {_left_out(one)}")
    if not learnt:
        raise InputError(Problem(text="no casting to learn from", value="; ".join(left_out)))
    count = count_before + len(learnt)
    mean = round(fsum((now_percent * count_before, *learnt)) / count, 2)
    if not 0 <= mean < MOST_PERCENT:
        raise InputError(
            Problem(
                text="these castings give a shrink that no metal has: measure again",
                value=f"{mean:g} %",
                allowed=f"0 to below {MOST_PERCENT:g} %",
            )
        )
    last = shrinkages[-1].expected
    left_now, left = 1 - now_percent / 100, 1 - mean / 100
    pattern = 1 - last.pattern_percent / 100
    bore_now = last.cast_bore_mm * left / left_now
    off = bore_now - last.cast_bore_mm
    off_us = off / float(scale_named("North America").per_size_mm)
    return Proposal(
        alloy_name=last.alloy_name,
        now_percent=now_percent,
        percent=mean,
        count=count,
        new_count=len(learnt),
        on=on,
        lowest_percent=min(learnt),
        highest_percent=max(learnt),
        trusted=count >= FEWEST,
        scale_now=1 / (left_now * pattern),
        scale=1 / (left * pattern),
        bore_mm=last.cast_bore_mm,
        bore_now_mm=bore_now,
        bore_off_mm=off,
        bore_off_us=off_us,
        left_out=tuple(left_out),
        words=tuple(_words(last.alloy_name, now_percent, mean, count, learnt, off, off_us)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedLoss:
    """A new melt loss for the whole shop, from its ledgers.

    `percent` is the one proposed, rounded as it is written [percent], of `issued_g` in all
    [g], from `melts` melts of which `new_melts` are new; `band_percent` how far the balance
    lets the new ones be off; `left_out` ledgers that were not counted, and why.
    """

    now_percent: float
    percent: float
    band_percent: float
    melts: int
    new_melts: int
    issued_g: float
    on: date
    trusted: bool
    left_out: tuple[str, ...]
    words: tuple[str, ...]


def proposed_loss(
    ledgers: Sequence[Ledger],
    now_percent: float,
    melts_before: int,
    issued_before_g: float,
    *,
    on: date,
) -> ProposedLoss | None:
    """A new melt loss, every gram issued counting alike; None where no ledger can teach one.

    A ledger into which more came back than went out is a weighing slip and left out.

    Parameters
    ----------
    now_percent : float
        Loss in use [percent]; with `melts_before` 0 it is a default and counts nothing.
    melts_before, issued_before_g : int, float
        Melts and grams behind it.
    on : date
        Day to write beside the figure.
    """
    learnt: list[Ledger] = []
    left_out: list[str] = []
    for one in ledgers:
        if one.verdict == "weighing slip" or one.unexplained_percent > LIKELY_LOSS_PERCENT:
            why = one.verdict if one.unexplained_g < 0 else "more lost than any melt loses"
            left_out.append(f"{one.alloy}: {why}")
        else:
            learnt.append(one)
    if not learnt:
        return None
    before = issued_before_g if melts_before else 0.0
    fresh = fsum(one.issued_g for one in learnt)
    lost = fsum((now_percent / 100 * before, *(one.unexplained_g for one in learnt)))
    percent = max(0.0, round(100 * lost / (before + fresh), 2))
    band = 100 * fsum(one.band_g for one in learnt) / fresh
    melts = melts_before + len(learnt)
    words = [
        f"melt loss: {percent:.2f} % instead of {now_percent:.2f} %, from {melts} "
        f"{'melt' if melts == 1 else 'melts'} and {before + fresh:.2f} g; the balance lets the new "
        f"ones be off by {band:.2f} %"
    ]
    if melts < FEWEST:
        words.append(f"too few to trust: {melts} of {FEWEST} melts")
    return ProposedLoss(
        now_percent=now_percent,
        percent=percent,
        band_percent=band,
        melts=melts,
        new_melts=len(learnt),
        issued_g=round(before + fresh, 3),
        on=on,
        trusted=melts >= FEWEST,
        left_out=tuple(left_out),
        words=tuple(words),
    )


def _problems(
    shrinkages: Sequence[Shrinkage], now_percent: float, count_before: int
) -> list[Problem]:
    problems = []
    names = sorted({one.expected.alloy_name for one in shrinkages})
    if len(names) > 1:
        problems.append(
            Problem(
                text="one figure is learnt for one alloy",
                value=", ".join(names),
                allowed="castings of one alloy",
            )
        )
    if not shrinkages:
        problems.append(Problem(text="no casting to learn from"))
    if not 0 <= now_percent < MOST_PERCENT:
        problems.append(
            Problem(
                text="the shrink in use is out of range",
                value=f"{now_percent:g} %",
                allowed=f"0 to below {MOST_PERCENT:g} %",
            )
        )
    if count_before < 0:
        problems.append(
            Problem(text="a count of castings", value=str(count_before), allowed="0 or more")
        )
    return problems


def _left_out(one: Shrinkage) -> str:
    """Why a casting teaches nothing of its alloy's shrink; empty when it does."""
    if one.percent is None:
        return "only weighed"
    if one.agree is False:
        return "its measures disagree"
    if one.weight is not None and one.weight.points_to == ("other alloy",):
        return "its weight in water points to another alloy"
    return ""


def _words(
    name: str,
    now_percent: float,
    percent: float,
    count: int,
    learnt: Sequence[float],
    off_mm: float,
    off_us: float,
) -> list[str]:
    words = [
        f"{name}: {percent:.2f} % instead of {now_percent:.2f} %, from {count} "
        f"{_castings(count)}; the new ones gave {min(learnt):.2f} to {max(learnt):.2f} %",
        f"scaled as now, a bore comes out {abs(off_mm):.3f} mm ({abs(off_us):.2f} US sizes) "
        f"{'too small' if off_mm < 0 else 'too large'}"
        if now_percent != percent
        else "the pattern scale stays",
    ]
    if count < FEWEST:
        words.append(f"too few to trust: {count} of {FEWEST} castings")
    if not USUAL_PERCENT[0] <= percent <= USUAL_PERCENT[1]:
        low, high = USUAL_PERCENT
        words.append(f"outside the usual {low:g} to {high:g} % (common practice, no source)")
    return words


def _castings(count: int) -> str:
    return "casting" if count == 1 else "castings"
