"""Intervals of radius in one column of the section, by the curves that bound them.

An interval is (low, high), indices into the section's curves; -1 is endless. Which curve
is the higher is looked up in their heights in the middle of the column, where none cross.
"""

from __future__ import annotations

SAME_MM = 1e-9
"""Two cuts or radii closer than this are one; a thousandth of an atom."""

Heights = list[float]
"""Radius of every curve in the middle of a column [mm]."""

Span = tuple[int, int]
Spans = list[Span]


def _higher(a: int, b: int, at: Heights) -> int:
    """The higher of two lower bounds; -1 is endless."""
    if a < 0 or b < 0:
        return max(a, b)
    return a if at[a] >= at[b] else b


def _lower(a: int, b: int, at: Heights) -> int:
    """The lower of two upper bounds; -1 is endless."""
    if a < 0 or b < 0:
        return max(a, b)
    return a if at[a] <= at[b] else b


def common(spans: Spans, others: Spans, at: Heights) -> Spans:
    """What lies in both."""
    found = []
    for low, high in spans:
        for other_low, other_high in others:
            a, b = _higher(low, other_low, at), _lower(high, other_high, at)
            if at[b] - at[a] > SAME_MM:
                found.append((a, b))
    return found


def without(spans: Spans, others: Spans, at: Heights) -> Spans:
    """What is left of the first when the others are taken away."""
    for other_low, other_high in others:
        kept = []
        for low, high in spans:
            below = (low, high if other_low < 0 else _lower(high, other_low, at))
            above = (low if other_high < 0 else _higher(low, other_high, at), high)
            if other_low >= 0 and at[below[1]] - at[below[0]] > SAME_MM:
                kept.append(below)
            if other_high >= 0 and at[above[1]] - at[above[0]] > SAME_MM:
                kept.append(above)
        spans = kept
    return spans
