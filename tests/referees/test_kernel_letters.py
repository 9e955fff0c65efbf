"""What letters take, against the exact kernel that builds and cuts the same letters."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from engraving.texts import engraving, made
from judging.checks import judged
from judging.programs import KERNEL
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from referees import kernel_pieces
from referees.kernel_letters import letter
from referees.kernel_region import volume_mm3

import ringgeom as rg
from ringgeom.engraving.engraved import Engraved

ROOT = Path(__file__).parents[1]

ROUNDING_MM3 = 1e-8
WHY = "its own integral is good to about this"


def loops(one: Engraved) -> list[list[list[np.ndarray]]]:
    return [[[stroke.points for stroke in loop] for loop in shape.loops] for shape in one.copies[0]]


@pytest.mark.parametrize(
    ("text", "font"), [("EVERTHINEX", "sans"), ("BROWNHEDGE", "serif"), ("Éäg&8", "bold")]
)
@pytest.mark.parametrize("on", ["inside", "outside"])
def test_ten_letters_on_a_cylinder(text: str, font: str, on: str) -> None:
    job = made(engraving(text=text, font=font, on=on, at="3:00", height_mm=1.3))
    (one,) = job.engraved
    radius = one.face.radius_mm
    ends = (radius, radius + 0.15) if on == "inside" else (radius - 0.15, radius)
    exact = sum(volume_mm3(solid) for shape in loops(one) for solid in letter(shape, radius, *ends))
    what = "metal of a text on a cylinder [mm3]"
    judged(KERNEL, what, one.removed_mm3, exact, abs=ROUNDING_MM3, why=WHY)


def test_letters_on_a_domed_bore() -> None:
    """Common metal of letters down to a flat floor and the band of the reference piece R2."""
    text = (ROOT / "published" / "r2.toml").read_text("utf-8")
    text += engraving(text="Bo", floor="flat", at="3:00", centre_mm=0.8)
    job = rg.job(rg.design_from_text(text))
    (one,) = job.engraved
    radius = one.face.radius_mm
    dome_mm = (3.0**2 + 0.25**2) / (2 * 0.25)
    floor = radius + dome_mm - (dome_mm**2 - 0.8**2) ** 0.5 + 0.15
    band = kernel_pieces.built("R2")["band"]
    exact = sum(
        volume_mm3(BRepAlgoAPI_Common(solid, band).Shape())
        for shape in loops(one)
        for solid in letter(shape, radius, radius - 0.3, floor)
    )
    what = "metal of two letters in a domed bore, to a flat floor [mm3]"
    judged(KERNEL, what, one.removed_mm3, exact, abs=ROUNDING_MM3, why=WHY)
