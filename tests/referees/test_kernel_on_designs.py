"""An exact B-rep kernel as the judge of every example design.

The kernel's model is written from the design file's contract alone and shares no code with
the program. It is exact to 1e-9 or better on its own checks; waving walls are splines
there, good to about 1e-7, so 1e-6 is asked everywhere.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from judging.checks import judged
from judging.programs import KERNEL
from referees import kernel

import ringgeom as rg

ELSEWHERE = {"curlew": "form/test_taper.py", "rowan": "test_kernel_inlays.py"}
"""Examples that the kernel's own small language does not know, and where they are judged."""

DESIGNS = sorted(
    path
    for path in (Path(__file__).parents[2] / "designs").glob("*.toml")
    if path.stem not in ELSEWHERE
)


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_every_volume(path: Path) -> None:
    job = rg.job(rg.read_design(path))
    asked = tomllib.loads(path.read_text(encoding="utf-8"))
    exact = kernel.volumes(asked, job.made.inside_diameter_mm)
    assert {part.name for part in job.parts} == set(exact)
    for part in job.parts:
        # what is engraved is judged by itself, in test_kernel_letters.py
        plain = part.volume_mm3 + part.engraved_mm3
        judged(
            KERNEL,
            "volume of every part of the example designs",
            plain,
            exact[part.name],
            rel=1e-6,
            why="waving walls are splines there, good to about 1e-7",
        )
