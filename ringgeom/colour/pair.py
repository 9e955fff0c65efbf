"""Two metals side by side: under both lights, polished or brushed, in words for a client."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.colour.contrast import BLEND_DE00, Contrast, contrast, verdict
from ringgeom.colour.face import Colour, colour
from ringgeom.colour.predict import Finish
from ringgeom.metal import Alloy

LIGHTER_L, GREENER_A, STRONGER_C = 1.5, 1.5, 3.0
"""From these differences of L*, a* and chroma on, a difference is named: our judgement."""

FINISHES: tuple[tuple[Finish, Finish], ...] = (
    ("polished", "polished"),
    ("brushed", "brushed"),
    ("brushed", "polished"),
    ("polished", "brushed"),
)

FINISH_WORDS = "brushed is our own estimate, no measurement was found"


@dataclass(frozen=True, slots=True, kw_only=True)
class FinishPair:
    """One way to finish the two faces, and how they compare then."""

    finishes: tuple[Finish, Finish]
    contrast: Contrast


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Two metals that meet.

    Attributes
    ----------
    names : tuple of str
        The two, as they are called in `words`.
    contrast : Contrast
        Both polished.
    finishes : tuple of FinishPair
        All four ways to finish them; the brushed ones are estimates.
    words : str
        Why, in words a client understands.
    """

    names: tuple[str, str]
    contrast: Contrast
    finishes: tuple[FinishPair, ...]
    words: str

    @property
    def told_apart(self) -> bool | None:
        """Whether an ordinary person tells them apart by colour; None when it is uncertain."""
        day, band = self.contrast.delta_e_00_d65, self.contrast.band
        if day - band >= BLEND_DE00:
            return True
        return None if day + band >= BLEND_DE00 else False


def pair(first: Alloy, second: Alloy, *, names: tuple[str, str] | None = None) -> Pair:
    """How two alloys compare side by side.

    Parameters
    ----------
    names : tuple of str, optional
        What the two are called, such as the parts made of them; the alloys' names without.
    """
    finishes = tuple(
        FinishPair(finishes=(one, two), contrast=contrast(colour(first, one), colour(second, two)))
        for one, two in FINISHES
    )
    called = names or (first.name, second.name)
    return Pair(
        names=called,
        contrast=finishes[0].contrast,
        finishes=finishes,
        words=_words(called, (colour(first), colour(second)), finishes),
    )


def _words(
    names: tuple[str, str], colours: tuple[Colour, Colour], finishes: tuple[FinishPair, ...]
) -> str:
    day = finishes[0].contrast
    said = [f"in daylight: {day.verdict}{_how(names, colours)}"]
    lamp = verdict(day.delta_e_00_a)
    if lamp != day.verdict:
        said.append(f"under a warm lamp: {lamp}")
    elif day.delta_e_00_a < day.delta_e_00_d65 - 0.5:
        said.append("less under a warm lamp")
    if day.reads_green is not None:
        said.append(f"{names[day.reads_green]} reads green beside {names[1 - day.reads_green]}")
    if day.uncertain:
        said.append("uncertain, near a limit: make a test button of each")
    moved = max(finishes[1:], key=lambda f: abs(f.contrast.delta_e_00_d65 - day.delta_e_00_d65))
    if moved.contrast.verdict != day.verdict:
        how = " beside ".join(moved.finishes)
        said.append(f"{how}: {moved.contrast.verdict} (estimate)")
    return "; ".join(said)


def _how(names: tuple[str, str], colours: tuple[Colour, Colour]) -> str:
    """In what the first differs from the second."""
    (l1, a1, b1), (l2, a2, b2) = (one.lab for one in colours)
    chroma = (a1**2 + b1**2) ** 0.5 - (a2**2 + b2**2) ** 0.5
    differs = [
        word
        for value, limit, more, less in (
            (l1 - l2, LIGHTER_L, "lighter", "darker"),
            (a1 - a2, GREENER_A, "redder", "greener"),
            (chroma, STRONGER_C, "stronger in colour", "paler"),
        )
        if (word := more if value >= limit else less if value <= -limit else "")
    ]
    if not differs:
        return ", nearly the same colour"
    return f", {names[0]} is {' and '.join(differs)}"
