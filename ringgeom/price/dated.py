"""A quote on a day: how old its prices are, whether it still stands."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from ringgeom.errors import InputError, Problem
from ringgeom.price.quote import Quote


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteOn:
    """A quote as it stands on a day; `flags` say what is wrong with its dates, in words."""

    quote: Quote
    on: datetime.date
    age_days: int | None
    flags: tuple[str, ...]


def quote_on(quote: Quote, on: datetime.date) -> QuoteOn:
    """A quote looked at on a day.

    Raises
    ------
    InputError
        Prices without a date, or of a day that is still to come; a rate without a currency.
    """
    problems = []
    priced = quote.prices is not None and bool(quote.prices.metals)
    if priced and quote.date is None:
        problems.append(
            Problem(
                text="a quote needs the day of its prices",
                where="prices.date",
                allowed=f"date = {on.isoformat()} under [prices], if they are of that day",
            )
        )
    if quote.date is not None and quote.date > on:
        problems.append(
            Problem(
                text="these prices are dated in the future",
                where="prices.date",
                value=quote.date.isoformat(),
                allowed=f"up to {on.isoformat()}, or --on a later day",
            )
        )
    if quote.prices is None and quote.labour.rate_per_hour is not None:
        problems.append(
            Problem(
                text="a rate without its currency means nothing",
                where="labour.rate_per_hour",
                value=f"{quote.labour.rate_per_hour:g}",
                allowed='currency = "EUR", or yours, under [prices]',
            )
        )
    if problems:
        raise InputError(problems)
    if quote.date is None or not priced:
        return QuoteOn(quote=quote, on=on, age_days=None, flags=())
    age = (on - quote.date).days
    flags = []
    if age > quote.labour.price_age_days:
        flags.append(
            f"these prices are {age} days old, older than price_age_days = "
            f"{quote.labour.price_age_days}: look up today's and write them under [prices]"
        )
    if quote.valid_until is not None and on > quote.valid_until:
        flags.append(
            f"a quote at these prices was valid until {quote.valid_until.isoformat()}: "
            f"quote_days = {quote.labour.quote_days}"
        )
    return QuoteOn(quote=quote, on=on, age_days=age, flags=tuple(flags))


def day_from_text(text: str) -> datetime.date:
    """A day from 2026-11-20.

    Raises
    ------
    InputError
        No such day.
    """
    try:
        return datetime.date.fromisoformat(text.strip())
    except ValueError:
        raise InputError(
            Problem(text="this is not a date", value=text, allowed="such as 2026-11-20")
        ) from None
