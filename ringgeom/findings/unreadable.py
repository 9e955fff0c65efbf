"""A ring among many that is no design at all: a size past its scale, a band without width."""

from __future__ import annotations

from ringgeom.errors import Problem
from ringgeom.findings.finding import Finding


def unreadable(problem: Problem) -> Finding:
    """What could not be read, as the finding that stops one ring of many."""
    place = f"{problem.where}: " if problem.where else ""
    here = f"; here {problem.value}" if problem.value else ""
    allowed = f"allowed: {problem.allowed}" if problem.allowed else ""
    return Finding(
        code="unreadable",
        level="stop",
        text=f"{place}{problem.text}{here}",
        fix=problem.nearest or allowed,
        key=("ring",),
    )
