"""A finding: one rule that stops, warns or notes, with its number, its limit and the way out."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeVar

Level = Literal["stop", "warn", "note"]
Keys = tuple[str | int, ...]
RANK: dict[Level, int] = {"stop": 0, "warn": 1, "note": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """What is wrong or worth knowing, where, by how much, and the way out.

    `key` is the place in the design file that decides it.
    """

    code: str
    level: Level
    text: str
    fix: str = ""
    part: str | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    key: Keys = ()

    def cells(self) -> dict[str, str]:
        """Its row in a notebook."""
        return {
            "level": self.level,
            "finding": self.code,
            "part": self.part or "",
            "what": self.text,
            "way out": self.fix,
        }


Context = TypeVar("Context")
Rule = Callable[[Context], Iterator[Finding]]


class Rules(list[Rule[Context]]):
    """A table of rules over one context; a rule is added by decorating it."""

    def add(self, rule: Rule[Context]) -> Rule[Context]:
        """Take a rule in; used as a decorator."""
        self.append(rule)
        return rule

    def judge(self, context: Context) -> list[Finding]:
        """All findings, worst first, else in the order of the rules."""
        found = [finding for rule in self for finding in rule(context)]
        return sorted(found, key=lambda finding: RANK[finding.level])


def at_limits(value: float, *, warn: float, stop: float) -> Level | None:
    """Level of a value that ought to be large; all three in one unit."""
    if value < stop - 1e-9:
        return "stop"
    return "warn" if value < warn - 1e-9 else None
