"""A swap table told in the terminal: a ring in other alloys, most contrast first."""

from __future__ import annotations

from ringgeom.swap import Break, Row, Swaps
from ringgeom.terminal import say, table
from ringgeom.units import grams


def tell_swaps(found: tuple[Swaps, ...]) -> None:
    """One table for every part, or one for all at once."""
    for number, one in enumerate(found):
        if number:
            say()
        _tell(one)
    say()
    say("colours are predictions; [now] is the ring as designed; the stock is not asked; any of")
    say("these rings in full: ringgeom check, ringgeom price, on the design with its alloy changed")
    quote = next((row.quote for one in found for row in one.rows if row.quote), None)
    if quote is not None and quote.date is not None:
        say(f"metal prices of {quote.date}")


def _tell(one: Swaps) -> None:
    names = ", ".join(f"{seat.name} (now {seat.alloy.name})" for seat in one.seats)
    if not one.rows:
        say(f"instead of {names}: the catalogue has no alloy of this metal and fineness")
        return
    of = f", the best of {one.tried:,} rings" if one.tried > len(one.rows) else ""
    say(f"instead of {names}{of}")
    money = next((words for row in one.rows if (words := _money_head(row))), "")
    head = ["alloy", "part g" if len(one.seats) == 1 else "parts g", "ring g", "to melt g"]
    head += [money] if money else []
    rows = [_cells(row, bool(money)) for row in one.rows]
    table((*head, "dE00", "worst neighbours, in daylight", "breaks"), rows)
    said: dict[str, Break] = {}
    for row in one.rows:
        for rule in row.breaks:
            said.setdefault(rule.code, rule)
    for code, rule in said.items():
        say(f"  {code}, such as: {rule.text}; {rule.fix}")
    quotes = [row.quote for row in one.rows if money and row.quote is not None]
    lacking = dict.fromkeys(symbol for quote in quotes for symbol in quote.missing)
    if lacking:
        say(f"  no price under [prices] of {', '.join(lacking)}")
    if one.everywhere:
        codes = dict.fromkeys(rule.code for rule in one.everywhere)
        say(f"  with any alloy: {', '.join(codes)}")


def _money_head(row: Row) -> str:
    if row.quote is None or row.quote.metal_cost is None:
        return ""
    return f"{'metal' if row.quote.total is None else 'price'}, {row.quote.currency}"


def _cells(row: Row, money: bool) -> list[str]:
    worst = row.worst
    alloys = " + ".join(alloy.name for _, alloy in row.chosen)
    return [
        alloys + (" [now]" if row.as_designed else ""),
        _grams(row.chosen_g),
        _grams(row.finished_g),
        _grams(row.melt_g),
        *([_price(row)] if money else []),
        "" if worst is None else f"{worst.contrast.delta_e_00_d65:.1f}",
        "touches nothing" if worst is None else f"{' / '.join(worst.between)}: {worst.verdict}",
        ", ".join(dict.fromkeys([*row.hazards, *(rule.code for rule in row.breaks)])),
    ]


def _grams(mass_g: float | None) -> str:
    return "" if mass_g is None else grams(mass_g)


def _price(row: Row) -> str:
    return "" if row.price is None else f"{row.price:.2f}"
