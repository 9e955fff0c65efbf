"""Like parts in one row, and grams as a bench writes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ringgeom.making.part import Part

MOST_NAMED = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Like:
    """Parts of one place and alloy that weigh the same; `numbers` are their places in the list."""

    name: str
    first: Part
    numbers: tuple[int, ...]

    @property
    def count(self) -> int:
        """How many are alike."""
        return len(self.numbers)


def alike(parts: Sequence[tuple[str, Part]]) -> list[Like]:
    """Parts with their names, like ones together."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for number, (name, part) in enumerate(parts):
        key = (_stem(name), part.place, part.piece.number, part.alloy, round(part.volume_mm3, 6))
        groups.setdefault(key, []).append(number)
    return [
        Like(
            name=_named([parts[n][0] for n in numbers]),
            first=parts[numbers[0]][1],
            numbers=tuple(numbers),
        )
        for numbers in groups.values()
    ]


def _stem(name: str) -> str:
    """A name without the number of its segment."""
    head, _, number = name.rpartition(" ")
    return head if head and number.isdigit() else name


def _named(names: Sequence[str]) -> str:
    """One name for like parts: "plank 1, 3, 5"; for the same part of two rings "2 x body"."""
    if len(names) == 1:
        return names[0]
    if len(set(names)) == 1:
        return f"{len(names)} x {names[0]}"
    numbers = [name.rsplit(" ", 1)[1] for name in names]
    shown = numbers if len(numbers) <= MOST_NAMED else [*numbers[:4], "...", numbers[-1]]
    return f"{_stem(names[0])} {', '.join(shown)}"
