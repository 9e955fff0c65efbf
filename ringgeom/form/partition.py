"""Sharing the section out: the parts take their place in the columns, in the order written."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from ringgeom.form.claim import Claim
from ringgeom.form.curve import Array, Whole
from ringgeom.form.drawing import Drawing, Within
from ringgeom.form.frame import Frame
from ringgeom.form.section import BODY, RECESS, Cell, Owner, Section
from ringgeom.form.spans import SAME_MM, Heights, Span, Spans, common, without

Known = dict[tuple[Within, tuple[int, ...]], tuple[Cell, ...]]
"""Cells of a column by the walls that it lies within and the order of its curves."""


def sections(
    *,
    frame: Frame,
    finished: Frame,
    claims: Sequence[Claim],
    angles: Array,
    twist: float = 0.0,
    known: Known | None = None,
) -> list[tuple[Whole, Section]]:
    """Partition a frame among the claims, at every angle.

    Returns (indices of angles, section) groups; one group when the order of the cuts
    holds all round, which is the ordinary case.

    Parameters
    ----------
    frame : Frame
        What is parted: the finished ring, or the ring with stock.
    finished : Frame
        The finished ring; undercut walls are measured at its outside.
    angles : Array
        Angles of the slanted cut, shape (n,) [rad].
    twist : float
        Change of angle over the width along a cut [rad/mm].
    known : dict, optional
        Columns shared out before, of the same claims; it is added to.
    """
    drawn = Drawing(frame, finished, claims, angles, twist)
    cuts = np.clip(drawn.cut_matrix(), -frame.half_mm, frame.half_mm)
    return parted(drawn, cuts, angles, {} if known is None else known)


def parted(drawn: Drawing, cuts: Array, angles: Array, known: Known) -> list[tuple[Whole, Section]]:
    """A drawing shared out, its angles in groups of one order.

    Parameters
    ----------
    cuts : Array
        Shape (cuts, angles), or (cuts, 1) where nothing moves; within the frame [mm].
    """
    if cuts.shape[1] == 1:
        return [(np.arange(angles.size), _partition(drawn, cuts, angles, known))]
    orders = np.argsort(cuts, axis=0, kind="stable")
    groups = _groups(cuts, orders)
    return [
        (which, _partition(drawn.at(which), cuts[:, which], angles[which], known))
        for which in groups
    ]


def _groups(cuts: Array, orders: Whole) -> list[Whole]:
    """Indices of angles, grouped by the order of their cuts; ties do not make a group."""
    widest = int(np.argmax(_least_step(np.sort(cuts, axis=0))))
    in_order = np.diff(cuts[orders[:, widest]], axis=0).min(axis=0) > -SAME_MM
    groups = [np.flatnonzero(in_order)]
    rest = np.flatnonzero(~in_order)
    while rest.size:
        sub = cuts[:, rest]
        widest = int(np.argmax(_least_step(np.sort(sub, axis=0))))
        same = np.diff(sub[orders[:, rest[widest]]], axis=0).min(axis=0) > -SAME_MM
        groups.append(rest[same])
        rest = rest[~same]
    return groups


def _least_step(ordered: Array) -> Array:
    """Least distance between neighbouring cuts that are not one and the same, per angle."""
    steps = np.diff(ordered, axis=0)
    least: Array = np.where(steps.max(axis=1, keepdims=True) > SAME_MM, steps, np.inf).min(axis=0)
    return least


def _partition(drawn: Drawing, cuts: Array, angles: Array, known: Known) -> Section:
    seen = int(np.argmax(_least_step(np.sort(cuts, axis=0)))) if cuts.shape[1] > 1 else 0
    cuts = cuts[np.argsort(cuts[:, seen], kind="stable")]
    apart = np.abs(np.diff(cuts, axis=0)).max(axis=1) > SAME_MM
    cuts = cuts[np.concatenate(([True], apart))]
    cells: list[Cell] = []
    middles = 0.5 * (cuts[:-1, seen] + cuts[1:, seen])
    heights = np.array([chain.only(seen).r(middles) for chain in drawn.curves])
    sides = drawn.within(middles, seen)
    for column, (within, at) in enumerate(zip(sides, heights.T.tolist(), strict=True)):
        key = _order(at)
        if key is None:
            cells += _shared_out(drawn, within, at, column)
            continue
        if (within, key) not in known:
            known[within, key] = tuple(_shared_out(drawn, within, at, 0))
        cells += [Cell(column, one.low, one.high, one.owners) for one in known[within, key]]
    curves = tuple(chain.seen(seen) for chain in drawn.curves)
    return Section(angles=angles, cuts=cuts, seen=seen, curves=curves, cells=tuple(cells))


def _order(at: Heights) -> tuple[int, ...] | None:
    """The order of the curves in a column, and which are one; None where that is in doubt."""
    ranks = sorted(range(len(at)), key=at.__getitem__)
    found = []
    for below, above in pairwise(ranks):
        apart = at[above] - at[below]
        if 0 < apart <= 2 * SAME_MM:
            return None
        found += [above, apart > 0]
    return (ranks[0], *found)


def _shared_out(drawn: Drawing, within: Within, at: Heights, column: int) -> list[Cell]:
    """One column, shared out in the order in which the parts were written."""
    proud = drawn.proud and at[2] > at[1]
    under = [(-1, 1)] if proud else [(-1, -1)]
    left: Spans = [(0, 2 if proud else 1)]
    cells: list[Cell] = []
    pressed: list[tuple[Owner, Span]] = []
    for index, claim in enumerate(drawn.claims):
        if claim.drawn:
            continue
        part, gap = Owner("part", index), Owner("gap", index)
        taken = common(left, drawn.spans(claim.takes, within, at), at)
        metal = common(left, drawn.spans(claim.fills, within, at), at)
        left = without(left, taken, at)
        taken, metal = common(taken, under, at), common(metal, under, at)
        cells += [Cell(column, *span, (part,)) for span in common(taken, metal, at)]
        cells += [Cell(column, *span, (gap,)) for span in without(taken, metal, at)]
        pressed += [(part, span) for span in without(metal, taken, at)]
    below = [(-1, 2)] if drawn.proud else [(-1, -1)]
    cells += [Cell(column, *span, (BODY,)) for span in common(left, below, at)]
    if drawn.proud:
        cells += [Cell(column, *span, (RECESS,)) for span in without(left, below, at)]
    for owner, span in pressed:
        cells = [piece for cell in cells for piece in _pressed(cell, owner, span, at)]
    return cells


def _pressed(cell: Cell, owner: Owner, span: Span, at: Heights) -> list[Cell]:
    """A cell with the part that presses into it: metal is doubled, a gap is filled."""
    over = common([(cell.low, cell.high)], [span], at)
    if not over or owner in cell.owners:
        return [cell]
    filled = cell.owners[0].kind in ("gap", "recess")
    owners = (owner,) if filled else (*cell.owners, owner)
    rest = without([(cell.low, cell.high)], [span], at)
    return [
        *(Cell(cell.column, *inner, owners) for inner in over),
        *(Cell(cell.column, *inner, cell.owners) for inner in rest),
    ]
