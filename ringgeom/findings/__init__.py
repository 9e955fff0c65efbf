"""Every rule that can stop, warn or note; one table per stage, one file per subject.

To add a rule, write it in the file of its subject and decorate it with `@RULES.add`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ringgeom.findings.context import Asking, Formed, Laid, turn_angles
from ringgeom.findings.finding import RANK, Finding, Level
from ringgeom.findings.subjects import ASKED, FIRST, FORMED, LAID, WRONG_UNIT
from ringgeom.notebook import Rows


def judge_asking(asking: Asking) -> tuple[Finding, ...]:
    """Findings that need nothing but what was asked, worst first.

    Where the band itself is in the wrong unit, what would only follow from that is not said.
    """
    found = [f for subject in FIRST for f in subject.RULES.judge(asking)]
    if not any(f.code in WRONG_UNIT for f in found):
        found += [f for subject in ASKED for f in subject.RULES.judge(asking)]
        found += judge_stations(asking, found)
    return ordered(found)


def judge_stations(asking: Asking, known: Sequence[Finding]) -> list[Finding]:
    """What the same rules find at the stations of a taper, and did not at its widest."""
    said = {(f.code, f.part) for f in known}
    found: list[Finding] = []
    for clock, station in asking.stations():
        for one in judge_asking(station):
            if (one.code, one.part) not in said:
                said.add((one.code, one.part))
                measure = one.key in (("ring", "width_mm"), ("ring", "thickness_mm"))
                key = ("ring", "taper") if measure else one.key
                found.append(replace(one, text=f"at {clock}: {one.text}", key=key))
    return found


def judge_formed(formed: Formed) -> tuple[Finding, ...]:
    """Findings on the form of a ring, worst first."""
    return ordered([f for subject in FORMED for f in subject.RULES.judge(formed)])


def judge_laid(laid: Laid) -> tuple[Finding, ...]:
    """Findings on what is made for a ring, its form left out, worst first."""
    return ordered([f for subject in LAID for f in subject.RULES.judge(laid)])


def ordered(findings: list[Finding]) -> tuple[Finding, ...]:
    """Worst first, each only once."""
    unique = {(f.code, f.part, f.text): f for f in reversed(findings)}
    first = list(unique.values())[::-1]
    return Rows(sorted(first, key=lambda f: RANK[f.level]))


__all__ = [
    "Asking",
    "Finding",
    "Formed",
    "Laid",
    "Level",
    "judge_asking",
    "judge_formed",
    "judge_laid",
    "judge_stations",
    "ordered",
    "turn_angles",
]
