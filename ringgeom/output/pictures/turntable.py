"""A ring that turns: one animated PNG, the same paper under every frame."""

from __future__ import annotations

import io
from collections.abc import Sequence

import numpy as np

from ringgeom.output.pictures.film import PAPER, Dots

FRAME_MS = 90


def turning_png(paper: Dots, frames: Sequence[Dots]) -> bytes:
    """An animated PNG.

    Parameters
    ----------
    paper : Array
        The sheet with its words and nothing shown.
    frames : sequence of Array
        What is shown on plain paper, all of the sheet's size.
    """
    from PIL import Image

    images = []
    for frame in frames:
        blank = (frame == PAPER).all(axis=2, keepdims=True)
        images.append(Image.fromarray(np.where(blank, paper, frame)))
    stream = io.BytesIO()
    images[0].save(
        stream,
        format="PNG",
        save_all=True,
        append_images=images[1:],
        duration=FRAME_MS,
        loop=0,
        compress_level=6,
    )
    return stream.getvalue()
