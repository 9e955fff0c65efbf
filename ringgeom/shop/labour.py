"""`[labour]`: the shop's own time and rate, and how long its quotes stand. No rate is built in."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ringgeom.asked import Asked

Minutes = Annotated[float, Field(ge=0, le=100_000)]
Days = Annotated[int, Field(ge=0, le=3650)]
AddedPercent = Annotated[float, Field(ge=0, le=1000)]


class Labour(Asked):
    """Minutes for each piece of work (common practice, no source: time your own bench).

    `casting_minutes` are for one flask, `cleaning_minutes` for one casting out of it,
    `joint_minutes` for all faces between the same two parts or one seam, `turning_minutes` for
    one part on the lathe, `inlay_minutes_per_m` for a metre let in, `segment_minutes` for one
    piece sawn, fitted and joined, `insert_minutes` for one pocket of a motif cut and its insert
    fitted, `finishing_minutes` for one part, all segments of a place
    together. `rate_per_hour` is in the currency of [prices]; without it only minutes are told.
    `overhead_percent` comes on labour, `markup_percent` on metal, labour and overhead,
    `tax_percent` on all of it. A quote stands for `quote_days` from the day of its prices;
    prices older than `price_age_days` are flagged.
    """

    rate_per_hour: Annotated[float, Field(gt=0, le=1e6)] | None = None
    setting_up_minutes: Minutes = 30.0
    casting_minutes: Minutes = 45.0
    cleaning_minutes: Minutes = 10.0
    sprue_minutes: Minutes = 5.0
    turning_minutes: Minutes = 15.0
    inlay_minutes_per_m: Minutes = 120.0
    segment_minutes: Minutes = 8.0
    insert_minutes: Minutes = 12.0
    joint_minutes: Minutes = 20.0
    finishing_minutes: Minutes = 20.0
    mark_minutes: Minutes = 10.0
    overhead_percent: AddedPercent = 0.0
    markup_percent: AddedPercent = 0.0
    tax_percent: Annotated[float, Field(ge=0, le=100)] | None = None
    quote_days: Days = 7
    price_age_days: Days = 3
