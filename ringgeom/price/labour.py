"""What there is to do on a ring, counted, and the shop's minutes for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ringgeom.shop import Labour
from ringgeom.units import MINUTES_PER_HOUR


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """What is done on one ring.

    Attributes
    ----------
    flasks, castings, sprues : int
        Flasks to pour, castings out of them, sprues to cut off and file.
    turned : int
        Parts that are closed rings, each turned.
    inlay_m : float
        Length let into channels, along its wave [m].
    segments : int
        Pieces set round the ring.
    inserts : int
        Pieces of motifs let into pockets of their own.
    joints : int
        Pairs of parts that are joined, and seams that are closed.
    finished : int
        Parts to file, polish and finish; all segments of one place are one.
    stamps : int
        Marks to strike.
    """

    flasks: int
    castings: int
    sprues: int
    turned: int
    inlay_m: float
    segments: int
    inserts: int
    joints: int
    finished: int
    stamps: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourLine:
    """One kind of work: how many times, how long each, its cost; None without a rate."""

    work: str
    count: float
    each_minutes: float
    rate_per_hour: float | None

    @property
    def minutes(self) -> float:
        """All of them."""
        return self.count * self.each_minutes

    @property
    def cost(self) -> float | None:
        """In the currency of the prices; none without a rate."""
        if self.rate_per_hour is None:
            return None
        return self.minutes / MINUTES_PER_HOUR * self.rate_per_hour


def labour_lines(work: Work, labour: Labour) -> tuple[LabourLine, ...]:
    """Every kind of work in the order of the bench, also what there is none of."""
    return tuple(
        LabourLine(work=name, count=count, each_minutes=each, rate_per_hour=labour.rate_per_hour)
        for name, count, each in _counted(work, labour)
    )


def _counted(work: Work, labour: Labour) -> Iterator[tuple[str, float, float]]:
    yield "setting up, the ring", 1, labour.setting_up_minutes
    yield "casting, a flask", work.flasks, labour.casting_minutes
    yield "cleaning, a casting", work.castings, labour.cleaning_minutes
    yield "cutting off, a sprue", work.sprues, labour.sprue_minutes
    yield "turning, a part", work.turned, labour.turning_minutes
    yield "letting in, a metre of inlay", work.inlay_m, labour.inlay_minutes_per_m
    yield "fitting, a segment", work.segments, labour.segment_minutes
    yield "letting in, an insert", work.inserts, labour.insert_minutes
    yield "joining, a joint", work.joints, labour.joint_minutes
    yield "finishing, a part", work.finished, labour.finishing_minutes
    yield "marking, a stamp", work.stamps, labour.mark_minutes
