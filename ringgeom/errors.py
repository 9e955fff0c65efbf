"""The error tree. Everything the program refuses on purpose is one of these.

RinggeomError
├── InputError      the input could not be read; carries every Problem found
│   ├── SizeError       a finger size that means nothing, or two things
│   │   └── BeyondScaleError    a size past the ends of its scale
│   └── RecipeError     an alloy name or recipe that cannot be used
├── StopError       the design is understood, but a finding forbids making it
├── ShapeError      a solid could not be built as designed
└── OutputError     a file or folder could not be written
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing that could not be read: where it stands, what it was, the way out."""

    text: str
    where: str = ""
    line: int | None = None
    value: str = ""
    allowed: str = ""
    nearest: str = ""
    file: str = ""

    def at(self, *, where: str, line: int | None = None) -> Problem:
        """The same problem with its place in the file filled in."""
        return replace(self, where=where, line=line)

    def __str__(self) -> str:
        place = self.where
        if self.line is not None:
            place = f"{place} (line {self.line})" if place else f"line {self.line}"
        place = ", ".join(word for word in (self.file, place) if word)
        said = f"{place}: {self.text}" if place else self.text
        if self.value:
            said += f"; here {self.value}"
        if self.allowed:
            said += f"; allowed: {self.allowed}"
        if self.nearest:
            said += f"; nearest: {self.nearest}"
        return said


class RinggeomError(Exception):
    """Root of every error the program raises on purpose."""


class InputError(RinggeomError):
    """The input could not be read. All problems are listed, not only the first."""

    def __init__(self, problems: Problem | Sequence[Problem]) -> None:
        self.problems = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


class SizeError(InputError):
    """A finger size that names no size, or more than one."""


class BeyondScaleError(SizeError):
    """A finger size past the ends of its scale."""


class RecipeError(InputError):
    """An alloy name or recipe that cannot be used."""


class StopError(RinggeomError):
    """The design was understood, but a finding of level stop forbids making it."""


class ShapeError(RinggeomError):
    """A solid could not be built as designed."""


class OutputError(RinggeomError):
    """A file or folder could not be written; the old file, if any, is untouched."""
