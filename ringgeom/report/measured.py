"""Castings as they were measured, told in the terminal."""

from __future__ import annotations

from ringgeom.afterwards import JobMeasured
from ringgeom.terminal import say, table


def tell_measured(found: JobMeasured) -> None:
    """Every reading beside what it should be, then what it points to."""
    say(f"{found.job.design.job.name}, read on {found.readings.date.isoformat()}")
    rows = []
    numbered = [
        (f"{number} {one.expected.part}", one) for number, one in enumerate(found.shrinkages, 1)
    ]
    for part, one in numbered:
        for measure in one.measures:
            rows.append(
                [
                    part,
                    f"{measure.which}, mm",
                    f"{measure.mm:.2f}",
                    f"{measure.expected_mm:.2f}",
                    f"{measure.mm - measure.expected_mm:+.3f}",
                    f"{measure.percent:.2f} ± {measure.band_percent:.2f}",
                ]
            )
        if (weight := one.weight) is not None:
            off = f"{weight.residual_g:+.3f}"
            rows.append(
                [part, "weight, g", f"{weight.weight_g:.2f}", f"{weight.expected_g:.2f}", off, ""]
            )
    if rows:
        say()
        table(("casting", "reading", "read", "expected", "off by", "shrink, %"), rows)
    for (part, one), pattern in zip(numbered, found.pattern_percent, strict=True):
        for words in one.words:
            say(f"  {part}: {words}")
        if pattern is not None:
            counted = found.job.shop.shrink.pattern_percent
            say(
                f"  {part}: the pattern itself is {pattern:.2f} % smaller than its "
                f"file; [shrink] pattern_percent counts on {counted:g}"
            )
    if found.not_read:
        say(f"  not read: {', '.join(found.not_read)}")
    _tell_ledgers(found)
    for words in found.words:
        say(f"  {words}")


def _tell_ledgers(found: JobMeasured) -> None:
    if not found.ledgers:
        return
    say()
    table(
        ("ledger, g", "issued", "in the ring", "clean returns", "filings", "unexplained", ""),
        [
            [
                one.alloy,
                f"{one.issued_g:.2f}",
                f"{one.in_ring_g:.2f}",
                f"{one.clean_returns_g:.2f}",
                f"{one.filings_g:.2f}",
                f"{one.unexplained_g:.3f}",
                one.verdict,
            ]
            for one in found.ledgers
        ],
    )
    for one in found.ledgers:
        for words in one.words:
            say(f"  {words}")


def tell_proposals(found: JobMeasured) -> None:
    """The shop numbers that follow."""
    if not found.teaches:
        return
    say()
    say("for the shop file:")
    for one in found.proposals:
        for words in (*one.words, *(f"left out: {left}" for left in one.left_out)):
            say(f"  {words}")
    if (loss := found.loss) is not None:
        for words in (*loss.words, *(f"left out: {left}" for left in loss.left_out)):
            say(f"  {words}")
