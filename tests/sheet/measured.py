"""A PDF looked at by other programs: poppler renders it and reads its words."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest

DPI = 600
MM_PER_PIXEL = 25.4 / DPI

poppler = pytest.mark.skipif(
    shutil.which("pdftoppm") is None, reason="poppler-utils (a Debian package) is not installed"
)


def dark(pdf: bytes, folder: Path, page: int = 1) -> Any:
    """Where a page is inked: rows from the top, columns from the left."""
    path = folder / "page.pdf"
    path.write_bytes(pdf)
    subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), path, path],
        check=True,
    )
    (image,) = folder.glob("page.pdf-*.pgm")
    raw = image.read_bytes()
    image.unlink()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", raw)
    assert head is not None
    wide, high = int(head[1]), int(head[2])
    return np.frombuffer(raw[head.end() :], dtype=np.uint8).reshape(high, wide) < 128


def longest_run_mm(row: Any) -> float:
    """The longest unbroken line of ink in a row [mm]."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(int), [0]])))
    lengths = edges[1::2] - edges[::2]
    return float(lengths.max(initial=0)) * MM_PER_PIXEL


def word_boxes(pdf: bytes, folder: Path) -> list[tuple[float, float, float, float, str]]:
    """Every word with its box in points, page by page."""
    path = folder / "words.pdf"
    path.write_bytes(pdf)
    told = subprocess.run(
        ["pdftotext", "-bbox", path, "-"], check=True, capture_output=True, text=True
    ).stdout
    found = re.findall(
        r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>',
        told,
    )
    return [(float(a), float(b), float(c), float(d), text) for a, b, c, d, text in found]
