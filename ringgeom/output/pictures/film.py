"""From views to the file that a render process reads, and from its frames to pictures on paper."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ringgeom.colour.cie import coded_rgb
from ringgeom.scene.paint import grain, paint
from ringgeom.scene.shown import Shown
from ringgeom.scene.studio import studio
from ringgeom.scene.view import GAP, View

Dots = NDArray[np.uint8]
"""Red, green and blue, shape (rows, dots, 3), top row first."""

FINER = 2
"""Dots of a frame for a dot of the picture, each way."""

NEAREST_EYE_MM = 100.0
"""The eye that reflections are reckoned from: near enough that a flat face is not all one light."""

PAPER = (0xF5, 0xF2, 0xEA)


def write_scene(file: Path, shown: Shown, views: Sequence[View]) -> None:
    """Everything that is rendered, as plain arrays; the views are all of one size."""
    shapes = list({id(shape): shape for view in views for shape in view.shapes}.values())
    number = {id(shape): n for n, shape in enumerate(shapes)}
    held: dict[str, object] = {
        "paper": _PAPER_CODED,
        "light": studio(),
        "grain": grain().astype("f4"),
        "surfaces": len(shapes),
        "frames": len(views),
        "eye_mm": max(NEAREST_EYE_MM, 2 * max(map(_reach_mm, views))),
        "dots": np.array(views[0].size) * FINER,
        "dots_per_mm": np.array([view.px_per_mm * FINER for view in views]),
    }
    for n, shape in enumerate(shapes):
        part = None if shape.part == GAP else shown.parts[shape.part]
        painted = paint(part, shape.skin, shape.finish)
        lit = part is not None and not shape.cut
        # colours of points are coded by a plain power where they are lit, else shown as they are
        rgb = painted.rgb ** (1 / 2.2) if lit else coded_rgb(painted.rgb)
        held |= {
            f"points{n}": shape.skin.points.astype("f4"),
            f"normals{n}": shape.skin.normals.astype("f4"),
            f"faces{n}": shape.skin.faces,
            f"rgb{n}": np.round(255 * rgb).astype(np.uint8),
            f"edge{n}": np.array(painted.edge),
            f"rough{n}": painted.rough,
            f"strokes{n}": np.zeros((0, 4))
            if painted.strokes is None
            else painted.strokes.astype("f4"),
            f"lit{n}": lit,
        }
    for n, view in enumerate(views):
        held[f"which{n}"] = np.array([number[id(shape)] for shape in view.shapes])
        held[f"turns{n}"] = view.turns
    np.savez(file, **held)  # type: ignore[arg-type]


def _reach_mm(view: View) -> float:
    """No point of a view is farther from the middle of its picture."""
    return max(
        float(np.linalg.norm(shape.skin.points, axis=1).max() + np.linalg.norm(turn[:3, 3]))
        for shape, turn in zip(view.shapes, view.turns, strict=True)
    )


def developed(frame: Dots) -> Dots:
    """A frame of finer dots as a picture on paper; averaged in linear light.

    The renderer writes its light with a plain power of 1 / 2.2, a screen expects sRGB.
    """
    rows, dots = (n // FINER for n in frame.shape[:2])
    printed = np.empty((rows, dots, 3), dtype=np.uint8)
    printed[:] = PAPER
    inked = (frame != _PAPER_CODED).any(axis=2)
    covered = inked.any(axis=1).nonzero()[0], inked.any(axis=0).nonzero()[0]
    if not covered[0].size:
        return printed
    top, bottom, left, right = (int(at) // FINER for way in covered for at in (way[0], way[-1]))
    window = slice(top * FINER, (bottom + 1) * FINER), slice(left * FINER, (right + 1) * FINER)
    coded = np.round(255 * coded_rgb(_mean(_LINEAR[frame[window]])))
    paper = _mean(inked[window]) == 0
    printed[top : bottom + 1, left : right + 1] = np.where(paper[..., None], PAPER, coded)
    return printed


def _mean(fine: NDArray[Any]) -> NDArray[np.float64]:
    """The mean of every square of finer dots."""
    corners = [fine[i::FINER, j::FINER] for i in range(FINER) for j in range(FINER)]
    mean: NDArray[np.float64] = np.asarray(np.mean(corners, axis=0, dtype=np.float32)).astype("f8")
    return mean


def _coded_to_linear(coded: NDArray[np.float64]) -> NDArray[np.float64]:
    """Source: IEC 61966-2-1; the inverse of `coded_rgb`."""
    linear: NDArray[np.float64] = np.where(
        coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4
    )
    return linear


_LINEAR = (np.arange(256) / 255).astype(np.float32) ** np.float32(2.2)
_PAPER_CODED = np.round(255 * _coded_to_linear(np.array(PAPER) / 255) ** (1 / 2.2)).astype(np.uint8)
