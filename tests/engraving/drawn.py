"""Design files with motifs and patterns, for the tests."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from engraving.texts import TEXT

import ringgeom as rg

LEAF = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="3mm" height="2mm" viewBox="0 0 3 2">'
    '<path d="M0 1 C0.5 0 2 0 3 1 C2 2 0.5 2 0 1 Z"/></svg>'
)
SQUARE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="2mm" height="1mm" viewBox="0 0 2 1">'
    '<path d="M0 0 H2 V1 H0 Z"/></svg>'
)
CROSSED = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="2mm" height="2mm" viewBox="0 0 2 2">\n'
    '<path d="M0 0 L2 2 L2 0 L0 2 Z"/></svg>'
)
BLADE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="3mm" height="1mm" viewBox="0 0 3 1">'
    '<path d="M0 0.5 C1 0.3 2 0.3 3 0.5 C2 0.7 1 0.7 0 0.5 Z"/></svg>'
)
DRAWINGS = {"blade.svg": BLADE, "leaf.svg": LEAF, "square.svg": SQUARE, "crossed.svg": CROSSED}


def keys(**asked: Any) -> str:
    lines = [
        f"{key} = " + (str(v).lower() if isinstance(v, bool) else repr(v).replace("'", '"'))
        for key, v in asked.items()
    ]
    return "\n[[engraving]]\n" + "\n".join(lines) + "\n"


def pattern(name: str, **asked: Any) -> str:
    return keys(kind="pattern", pattern=name, **asked)


def motif(**asked: Any) -> str:
    return keys(kind="motif", **({"file": "leaf.svg"} | asked))


def design_in(folder: Path, rest: str, ring: str = "") -> rg.Design:
    """A design as it is read from a folder with the drawings beside it."""
    for name, text in DRAWINGS.items():
        (folder / name).write_text(text, "utf-8")
    path = folder / "ring.toml"
    path.write_text(TEXT.format(ring=ring, rest=rest), "utf-8")
    return rg.read_design(path)


def job_in(folder: Path, rest: str, ring: str = "") -> rg.Job:
    return rg.job(design_in(folder, rest, ring))


def inlay(**asked: Any) -> str:
    """A motif inlay as a place of the design."""
    words = {
        "name": "leaves",
        "place": "motif",
        "file": "leaf.svg",
        "alloy": "gold-750-green",
        "depth_mm": 0.7,
        "height_mm": 2.0,
    } | asked
    gap = words.pop("gap_mm", "gap_mm = { side = 0.04, floor = 0.03 }")
    return keys(**words).replace("[[engraving]]", "[[part]]") + f"{gap}\n"
