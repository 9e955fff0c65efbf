"""Cut lists: segments round a liner; a laminated billet for stripes side by side.

segments, seen along the finger      billet, seen at its end
   ___                               |  A  | B |  A  |   stack = width of the ring
 /  2 /\\                             |     |   |     |   depth = thickness of the ring
| 3  | 1|  outer arc, inner arc
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, hypot, pi, radians, sqrt

from ringgeom.errors import Problem
from ringgeom.making.allowed import allowance_problems, misfit, need
from ringgeom.metal.amount import amount_problems
from ringgeom.units import mass_g

MOST_PIECES = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class SegmentCuts:
    """Like segments round a liner; `count` of them and as many joints.

    Attributes
    ----------
    inner_arc_mm, outer_arc_mm : float
        Of one piece, less the joint gap; a joint is a wedge with its gap on the outside.
    wedge_deg : float
        Between its end faces [degree]; each is bevelled by half of it.
    start_deg : tuple of float
        Where each piece begins, numbered in order [degree].
    piece_mm : float
        To cut for one piece: the outer arc and what is cleaned off both ends.
    strip_mm, kerf_mm : float
        To cut all from, one saw cut for each piece; and the cuts together.
    closing_worst_mm, closing_likely_mm : float
        What all errors make of the ring's joints together: all one way, and as chance adds them.
    joint_low_mm, joint_high_mm : float
        A joint's gap on the outside when the worst is shared among all; below 0 the last piece
        does not go in.
    """

    count: int
    inner_arc_mm: float
    outer_arc_mm: float
    wedge_deg: float
    start_deg: tuple[float, ...]
    piece_mm: float
    strip_mm: float
    kerf_mm: float
    closing_worst_mm: float
    closing_likely_mm: float
    joint_low_mm: float
    joint_high_mm: float


def segment_cuts(
    *,
    count: int,
    inside_mm: float,
    outside_mm: float,
    joint_gap_mm: float,
    kerf_mm: float,
    cleaning_mm: float,
    length_error_mm: float,
    angle_error_deg: float,
) -> SegmentCuts:
    """What to cut for segments round a liner.

    Parameters
    ----------
    inside_mm, outside_mm : float
        Diameters of the ring of segments: on the liner, and outside.
    cleaning_mm : float
        Filed off each end of a piece.
    length_error_mm, angle_error_deg : float
        How far one piece may be out, either way: its arc, and its wedge angle, which opens a
        joint at the outside when it closes at the inside.

    Raises
    ------
    InputError
        A measure that is none, or a count that is not whole.
    ShapeError
        The joint gap or the saw cut takes the whole piece.
    """
    need(
        {"the inside": inside_mm, "the outside": outside_mm},
        {
            "the joint gap": joint_gap_mm,
            "the kerf": kerf_mm,
            "the cleaning": cleaning_mm,
            "the error of a length": length_error_mm,
        },
        *allowance_problems("the error of an angle", angle_error_deg, "degree", most=90.0),
        *_count_problems("segments", count, least=2),
    )
    if inside_mm >= outside_mm:
        raise misfit("the segments are not thick", inside_mm, outside_mm, "a larger outside")
    inner, outer = (pi * across / count for across in (inside_mm, outside_mm))
    inner_gap = joint_gap_mm * inside_mm / outside_mm
    for what, taken, limit in (
        ("the joint gap takes the whole segment", joint_gap_mm, outer),
        ("the kerf takes the whole segment", kerf_mm, inner - inner_gap),
    ):
        if taken >= limit:
            most = ceil(pi * inside_mm / (inner_gap + kerf_mm)) - 1
            fix = f"{most} segments or fewer" if most >= 2 else "a finer saw and closer joints"
            raise misfit(what, taken, limit, fix)
    piece = outer - joint_gap_mm + 2 * cleaning_mm
    opened = radians(angle_error_deg) * (outside_mm - inside_mm) / 2
    worst = count * (length_error_mm + opened)
    return SegmentCuts(
        count=count,
        inner_arc_mm=inner - inner_gap,
        outer_arc_mm=outer - joint_gap_mm,
        wedge_deg=360 / count,
        start_deg=tuple(360 * number / count for number in range(count)),
        piece_mm=piece,
        strip_mm=count * (piece + kerf_mm),
        kerf_mm=count * kerf_mm,
        closing_worst_mm=worst,
        closing_likely_mm=sqrt(count) * hypot(length_error_mm, opened),
        joint_low_mm=joint_gap_mm - worst / count,
        joint_high_mm=joint_gap_mm + worst / count,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One stripe: finished, in the blank with edge stock, in the billet; share by volume."""

    name: str
    finished_mm: float
    blank_mm: float
    sheet_mm: float
    share_percent: float
    grams: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Billet:
    """A laminated billet for one ring or several; `sheets` in the order of the stripes.

    Attributes
    ----------
    stack_mm, depth_mm, length_mm : float
        Of the billet before it is rolled: all sheets, the ring's thickness, along the strip.
    strip_mm : float
        For one ring, ends included, after rolling.
    grams, density_g_cm3 : float
        Of the whole billet.
    strain_percent, strain_limit_percent, warned : float, float, bool
        Of the outer skin when the strip is bent, and the limit given; above it, better separate
        rings with staggered seams.
    """

    sheets: tuple[Sheet, ...]
    stack_mm: float
    depth_mm: float
    length_mm: float
    strip_mm: float
    grams: float
    density_g_cm3: float
    strain_percent: float
    strain_limit_percent: float
    warned: bool


def billet(
    stripes: Sequence[tuple[str, float, float]],
    *,
    bore_mm: float,
    thickness_mm: float,
    strain_limit_percent: float,
    edge_mm: float = 0.0,
    rings: int = 1,
    end_mm: float = 0.0,
    kerf_mm: float = 0.0,
    crop_percent: float = 0.0,
    stack_reduction_percent: float = 0.0,
) -> Billet:
    """The billet for stripes side by side across the width; volume kept in rolling.

    Parameters
    ----------
    stripes : sequence of (str, float, float)
        Name, finished width along the axis [mm], density [g/cm3].
    edge_mm : float
        Filed off each edge of the ring, so added to the first and last sheet.
    rings : int
        Strips cut from the billet, each with its ends and one saw cut.
    stack_reduction_percent : float
        By how much the stack is rolled together; the depth stays.

    Raises
    ------
    InputError
        A measure that is none, or no stripes.
    """
    need(
        {"the bore": bore_mm, "the thickness": thickness_mm}
        | {f"the width of {name}": width for name, width, _ in stripes},
        {"the edge stock": edge_mm, "the ends to square": end_mm, "the kerf": kerf_mm},
        *allowance_problems("the limit of the strain", strain_limit_percent, "%"),
        *allowance_problems("the crop", crop_percent, "%", most=100.0),
        *allowance_problems("the reduction", stack_reduction_percent, "%", most=95.0),
        *_count_problems("stripes", len(stripes), least=2),
        *_count_problems("rings", rings, least=1),
        *(p for n, _, d in stripes for p in amount_problems(f"the density of {n}", d, "g/cm3")),
    )
    kept = 1 - stack_reduction_percent / 100
    widths = [width for _, width, _ in stripes]
    widths[0] += edge_mm
    widths[-1] += edge_mm
    strip = pi * (bore_mm + thickness_mm) + end_mm
    rolled = rings * (strip + kerf_mm) * (1 + crop_percent / 100)
    sheets = tuple(
        Sheet(
            name=name,
            finished_mm=finished,
            blank_mm=width,
            sheet_mm=width / kept,
            share_percent=100 * width / sum(widths),
            grams=mass_g(width * thickness_mm * rolled, density),
        )
        for (name, finished, density), width in zip(stripes, widths, strict=True)
    )
    grams = sum(sheet.grams for sheet in sheets)
    strain = 100 * thickness_mm / (bore_mm + thickness_mm)
    return Billet(
        sheets=sheets,
        stack_mm=sum(widths) / kept,
        depth_mm=thickness_mm,
        length_mm=rolled * kept,
        strip_mm=strip,
        grams=grams,
        density_g_cm3=1000 * grams / (sum(widths) * thickness_mm * rolled),
        strain_percent=strain,
        strain_limit_percent=strain_limit_percent,
        warned=strain > strain_limit_percent * (1 + 1e-12),
    )


def _count_problems(what: str, count: object, *, least: int) -> tuple[Problem, ...]:
    if type(count) is int and least <= count <= MOST_PIECES:
        return ()
    allowed = f"a whole number from {least} to {MOST_PIECES}"
    return (Problem(text=f"no such count of {what}", value=repr(count), allowed=allowed),)
