"""Fineness of a soldered whole, and how much solder a mark can carry."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ringgeom.errors import InputError, Problem
from ringgeom.marks.proposal import Marked
from ringgeom.marks.region import LegalMark, region_of


def whole_permille(weighed: Sequence[tuple[float, float]]) -> float:
    """Fineness of several masses as one [permille].

    An average of parts is a number for the assay only: it may not be stamped.

    Parameters
    ----------
    weighed : sequence of (float, float)
        Mass [g] and fineness [permille] of each part and each solder.

    Returns
    -------
    float
        Sum of mass times fineness over the sum of the masses [permille].

    Raises
    ------
    InputError
        There is nothing to weigh, or a mass or a fineness is none.

    Examples
    --------
    >>> whole_permille([(5, 750), (3, 585)])
    688.125
    """
    wrong = [
        Problem(
            text="no metal has this mass and fineness",
            value=f"{grams:g} g of {permille:g} permille",
            allowed="0 g or more, 0 to 1000 permille",
        )
        for grams, permille in weighed
        if not (0 <= grams < math.inf and 0 <= permille <= 1000)
    ]
    total_g = math.fsum(grams for grams, _ in weighed)
    if wrong or not total_g > 0:
        raise InputError(wrong or Problem(text="nothing to weigh", allowed="above 0 g"))
    return math.fsum(grams * permille for grams, permille in weighed) / total_g


def average_permille(parts: Sequence[Marked], metal: str) -> float:
    """Fineness of all parts of a metal taken together [permille]: it may not be stamped.

    A part counts at its worst case where that is known.

    Raises
    ------
    InputError
        No part is of this metal.
    """
    return whole_permille(_weighed(parts, metal))


def solder_room_g(
    parts: Sequence[Marked], mark: str, solder_permille: float, *, region: str = "us"
) -> float:
    """Most solder that an article can carry before its mark fails [g].

    Parameters
    ----------
    parts : sequence of Marked
        The article; only parts of the mark's metal count, at their worst case.
    mark : str
        As it is stamped: ``18K``, ``585``, ``Sterling``.
    solder_permille : float
        Fineness of the solder in the mark's metal [permille].
    region : str
        Whose demand on the whole with its solder.

    Returns
    -------
    float
        Grams; 0 when the parts alone are below the demand, infinite when solder does not count
        or is itself fine enough.

    Raises
    ------
    InputError
        No such mark for a metal of the parts, or for more than one of them.

    Source
    ------
    Solved from sum(m f) / sum(m) = demand; 15 U.S.C. 295 and 296; Hallmarking Act 1973.

    Examples
    --------
    >>> from ringgeom.metal import alloy_from_text
    >>> ring = Marked(name="band", alloy=alloy_from_text("Au 58.5 Ag 41.5"), grams=6)
    >>> round(solder_room_g([ring], "585", 417), 3)
    0.261
    """
    legal = _mark_of(parts, mark, region)
    demanded = legal.demanded_whole_permille
    weighed = _weighed(parts, legal.metal)
    # checks the numbers, and that the solder has a fineness
    whole_permille([*weighed, (0.0, solder_permille)])
    if region_of(region).value("solder") == "excluded" or solder_permille >= demanded:
        return math.inf
    spare = math.fsum(grams * (permille - demanded) for grams, permille in weighed)
    return max(spare, 0.0) / (demanded - solder_permille)


def _weighed(parts: Sequence[Marked], metal: str) -> list[tuple[float, float]]:
    return [(p.grams, p.sure_permille or 0.0) for p in parts if p.metal == metal]


def _mark_of(parts: Sequence[Marked], mark: str, region: str) -> LegalMark:
    pack = region_of(region)
    metals = {part.metal for part in parts}
    known = [m for m in (*pack.marks, *pack.also_marks) if m.metal in metals]
    found = [m for m in known if m.label == mark]
    if len(found) != 1:
        raise InputError(
            Problem(
                text=f"{mark} is no single mark of these parts ({pack.name})",
                value=", ".join(sorted(metals)),
                allowed=", ".join(f"{m.label} {m.metal}" for m in known) or "none",
            )
        )
    return found[0]
