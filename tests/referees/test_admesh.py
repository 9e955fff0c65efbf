"""Debian's admesh as judge: every STL needs no mending, and has the volume we wrote."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from judging import programs
from judging.checks import judged

ADMESH = shutil.which("admesh")

pytestmark = pytest.mark.skipif(
    ADMESH is None, reason="admesh is not installed here (Debian: apt-get install admesh)"
)

MENDED = (
    "Degenerate facets",
    "Edges fixed",
    "Facets removed",
    "Facets added",
    "Facets reversed",
    "Backwards edges",
    "Normals fixed",
)

FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])


def looked_at(path: Path) -> str:
    """All checks that admesh has but the one that joins corners which are not the same.

    It prints the header of the file and goes on into whatever lies behind it: any bytes.
    """
    checks = ["--exact", "--remove-unconnected", "--fill-holes", "--normal-directions"]
    done = subprocess.run(
        [str(ADMESH), *checks, "--normal-values", str(path)],
        capture_output=True,
        encoding="utf-8",
        # it prints a header of 80 bytes and goes on behind it
        errors="replace",
        check=True,
        timeout=60,
    )
    return done.stdout


def number(said: str, what: str) -> float:
    (found,) = re.findall(rf"{re.escape(what)}\s*:\s*(-?[\d.]+)", said)
    return float(found)


def test_nothing_needs_mending(design_file: Path, made_of: Callable[[Path], Path]) -> None:
    paths = sorted(made_of(design_file).rglob("*.stl"))
    assert len(paths) >= 2
    for path in paths:
        said = looked_at(path)
        assert "binary STL in mm" in said
        assert re.search(r"Total disconnected facets +: +0 +0\n", said)
        assert number(said, "Number of parts") == 1
        judged(
            programs.ADMESH,
            "facets and edges mended in every STL that `make` writes",
            [number(said, what) for what in MENDED],
            [0.0] * len(MENDED),
            abs=0,
            why="a printer mends nothing",
        )
        corners = np.frombuffer(path.read_bytes(), FACET, offset=84)["corners"].astype(float)
        a, b, c = np.moveaxis(corners, 1, 0)
        ours = float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6)
        assert ours > 0
        judged(
            programs.ADMESH,
            "volume of every STL that `make` writes",
            ours,
            number(said, "Volume"),
            rel=1e-4,
            why="it takes areas, heights and their sum over ten thousand facets in 32 bits",
        )


def test_the_judge_can_say_no(
    designs: Path, made_of: Callable[[Path], Path], tmp_path: Path
) -> None:
    """One facet taken out, and one turned round: both are seen."""
    path = min(made_of(designs / "heron.toml").rglob("*.stl"), key=lambda p: p.stat().st_size)
    content = path.read_bytes()
    count = int.from_bytes(content[80:84], "little")
    holed = tmp_path / "holed.stl"
    holed.write_bytes(content[:80] + (count - 1).to_bytes(4, "little") + content[84:-50])
    assert number(looked_at(holed), "Facets added") == 1
    turned = tmp_path / "turned.stl"
    last = content[-50:]
    turned.write_bytes(content[:-50] + last[:12] + last[24:36] + last[12:24] + last[36:])
    assert number(looked_at(turned), "Facets reversed") == 1
