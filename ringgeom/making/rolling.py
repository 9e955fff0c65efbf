"""From an ingot to a strip: stages and anneals at the rolling mill, volume kept."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ringgeom.errors import InputError, Problem
from ringgeom.metal.amount import amount_problems


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolling:
    """How a thickness is rolled down.

    Attributes
    ----------
    stages, anneals : int
        Times that the metal is worked, and annealed in between.
    thickness_mm : tuple of float
        Before the first stage and after each [mm].
    """

    stages: int
    anneals: int
    thickness_mm: tuple[float, ...]


def rolling(from_mm: float, to_mm: float, *, reduction_percent: float = 50.0) -> Rolling:
    """Stages from one thickness to another, equal in proportion.

    Parameters
    ----------
    reduction_percent : float
        Largest reduction of thickness between two anneals [percent].

    Raises
    ------
    InputError
        A thickness that is none, grows, or a reduction outside 1 to 95 percent.

    Source
    ------
    ceil(ln(t0 / t1) / ln(1 / (1 - r))); anneal about every 50 % (common practice, no source).

    Examples
    --------
    >>> rolling(5, 2).stages, rolling(5, 2).anneals
    (2, 1)
    """
    problems = [
        *amount_problems("the ingot's thickness", from_mm, "mm"),
        *amount_problems("the strip's thickness", to_mm, "mm"),
    ]
    if not 1 <= reduction_percent <= 95:
        problems.append(
            Problem(
                text="no such reduction between two anneals",
                value=f"{reduction_percent:g} %",
                allowed="1 to 95 %, usually 50",
            )
        )
    if not problems and to_mm > from_mm:
        problems.append(
            Problem(
                text="rolling makes metal thinner",
                value=f"{from_mm:g} to {to_mm:g} mm",
                allowed=f"{from_mm:g} mm or less",
            )
        )
    if problems:
        raise InputError(problems)
    ratio = math.log(from_mm / to_mm)
    if ratio < 1e-12:
        return Rolling(stages=0, anneals=0, thickness_mm=(from_mm,))
    stages = max(1, math.ceil(ratio / -math.log(1 - reduction_percent / 100) - 1e-9))
    steps = tuple(from_mm * math.exp(-ratio * n / stages) for n in range(stages + 1))
    return Rolling(stages=stages, anneals=stages - 1, thickness_mm=steps)
