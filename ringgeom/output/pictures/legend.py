"""The metals of a picture in words: alloy, where it is, its finish; each with its swatch."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.scene.shown import Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Words for a metal, and the colour of its swatch, #RRGGBB; none for what is left out."""

    words: str
    hex: str


def rows(shown: Shown, most: int) -> list[Row]:
    """One row for every alloy in every finish it has, in the order of the job."""
    names: dict[tuple[str, str], list[str]] = {}
    swatches: dict[tuple[str, str], str] = {}
    for part in shown.parts:
        key = part.alloy.name, part.finish
        names.setdefault(key, [])
        swatches[key] = part.colour.hex
        if part.name not in names[key]:
            names[key].append(part.name)
    measured = {p.alloy.name for p in shown.parts if p.colour.trust.kind == "measured"}
    found = [
        Row(
            words=", ".join([alloy, finish, *(["measured"] if alloy in measured else [])])
            + f": {', '.join(places)}",
            hex=swatches[alloy, finish],
        )
        for (alloy, finish), places in names.items()
    ]
    if len(found) > most:
        left = len(found) - most + 1
        return [*found[: most - 1], Row(words=f"and {left} more", hex="")]
    return found
