"""A drawn picture: flat colours of the metals, their edges in ink. It needs no GL.

cut edges, outline and what stands before something    the stronger line
other edges                                             the finer line
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ringgeom.output.pictures.film import Dots
from ringgeom.output.pictures.seen import NOTHING, Seen, seen
from ringgeom.scene.shown import Shown
from ringgeom.scene.view import GAP, Shape, View

FINER = 2
"""Dots each way for a dot of the picture: lines of 1.6 and 1 dot are 5 and 3 of them wide."""

STRONG, FINE = 3, 2
"""Widths of lines in finer dots."""

STEP_MM = 0.25
"""What lies behind something by more than this beside it is another thing: an edge is drawn."""

PAPER, INK, SHADE = (0xF5, 0xF2, 0xEA), (0x24, 0x21, 0x1C), (0x24, 0x21, 0x1C)

Mask = NDArray[np.bool_]


def drawn(view: View, shown: Shown) -> Dots:
    """A view in flat colours with its edges, shape (rows, dots, 3)."""
    found = seen(view, FINER)
    fills, patches, cut = _facets(view.shapes, shown)
    colours = np.vstack([fills, PAPER]).astype(np.uint8)
    picture = colours[found.facet]
    strong, fine = _edges(found, np.append(patches, NOTHING), np.append(cut, False))
    picture[_thick(strong, STRONG) | _thick(fine, FINE)] = INK
    rows, dots = picture.shape[0] // FINER, picture.shape[1] // FINER
    wide = picture.reshape(rows, FINER, dots, FINER, 3)
    mean = np.zeros((rows, dots, 3), dtype=np.uint16)
    for i in range(FINER):
        for j in range(FINER):
            mean += wide[:, i, :, j]
    result: Dots = ((mean + FINER * FINER // 2) // (FINER * FINER)).astype(np.uint8)
    return result


def _facets(shapes: tuple[Shape, ...], shown: Shown) -> tuple[Dots, NDArray[np.int32], Mask]:
    """For every facet of a view: its fill, the number of its smooth face, whether it is cut."""
    fills, patches, cuts = [], [], []
    first = 0
    for shape in shapes:
        count = len(shape.skin.faces)
        hexed = None if shape.part == GAP else shown.parts[shape.part].colour.hex
        fill = SHADE if hexed is None else tuple(int(hexed[n : n + 2], 16) for n in (1, 3, 5))
        fills.append(np.tile(np.array(fill, dtype=np.uint8), (count, 1)))
        smooth = shape.skin.patches()
        patches.append(smooth + first)
        first += int(smooth.max()) + 1
        cuts.append(np.full(count, shape.cut))
    return np.concatenate(fills), np.concatenate(patches), np.concatenate(cuts)


def _edges(found: Seen, patches: NDArray[np.int32], cut: Mask) -> tuple[Mask, Mask]:
    """Dots beside which another face begins: at cuts and outlines, and the others."""
    strong = np.zeros(found.facet.shape, dtype=bool)
    fine = np.zeros(found.facet.shape, dtype=bool)
    face, on_cut, depth = patches[found.facet], cut[found.facet], found.depth_mm
    for here, there in (
        ((slice(None), slice(None, -1)), (slice(None), slice(1, None))),
        ((slice(None, -1), slice(None)), (slice(1, None), slice(None))),
    ):
        other = face[here] != face[there]
        step = np.abs(depth[here] - depth[there]) > STEP_MM
        strong[here] |= (other & (on_cut[here] | on_cut[there])) | (step & other)
        fine[here] |= other
    return strong, fine


def _thick(line: Mask, wide: int) -> Mask:
    """A line of single dots made so many dots wide."""
    from scipy.ndimage import binary_dilation

    run = np.arange(wide) - wide // 2
    disc = np.hypot(*np.meshgrid(run, run)) <= wide / 2
    thick: Mask = binary_dilation(line, structure=disc)
    return thick
