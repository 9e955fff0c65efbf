"""The sheet of forms: every form is on it, true to scale, and it is written by one command."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, get_args

import pytest
import shapely
from form.outlines import asked, measured

from ringgeom.drawing.forms import EDGE_MM, SCALE, SHOWN, THICKNESS_MM, WIDTH_MM, forms_sheet
from ringgeom.drawing.shapes import Area, Word
from ringgeom.form.profiles import Inside, Outside
from ringgeom.form.ring_form import RingForm


def test_every_form_is_shown_true_to_scale() -> None:
    sheet = forms_sheet()
    areas = [shape for shape in sheet.shapes if isinstance(shape, Area)]
    assert len(areas) == len(SHOWN)
    for side, one in ((Outside, 0), (Inside, 1)):
        assert {type(pair[one]) for pair in SHOWN} == set(get_args(get_args(side)[0]))
    for area, (outside, inside) in zip(areas, SHOWN, strict=True):
        form = RingForm(
            inside_diameter_mm=18.0,
            width_mm=WIDTH_MM,
            thickness_mm=THICKNESS_MM,
            outside=outside,
            inside=inside,
        )
        drawn = shapely.Polygon(area.loops[0])
        assert drawn.is_valid
        # four corners of a square less a quarter circle are cut off, and arcs are chords
        lost = 4 * (1 - 3.1416 / 4) * EDGE_MM**2 + 0.01
        assert measured(asked(form)).area == pytest.approx(drawn.area / SCALE**2, abs=lost)
        left, _, right, _ = drawn.bounds
        assert right - left == pytest.approx(WIDTH_MM * SCALE, abs=1e-9)


def test_nothing_is_written_over_another_thing() -> None:
    """Words stay within the column of their section."""
    from ringgeom.fonts import width_mm

    sheet = forms_sheet()
    words = [shape for shape in sheet.shapes if isinstance(shape, Word)]
    for word in words[:-1]:
        assert width_mm(word.text, word.size_mm, bold=word.bold) < WIDTH_MM * SCALE + 10
        assert 0 < word.at[1] < sheet.height_mm


def test_the_command(run: Callable[..., Any], tmp_path: Path) -> None:
    done = run("forms", tmp_path / "forms.svg")
    assert done.code == 0
    text = (tmp_path / "forms.svg").read_text(encoding="utf-8")
    assert "twin-dome" in text
    assert f'width="{forms_sheet().width_mm:.3f}mm"' in text
    refused = run("forms", tmp_path / "forms.pdf")
    assert refused.code == 2
    assert "forms.svg" in refused.err
    assert not (tmp_path / "forms.pdf").exists()
