"""Drawn pictures: the nearest facet at every dot, flat colours, edges in ink; no GL anywhere."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays
from PIL import Image

import ringgeom as rg
from ringgeom.errors import InputError, StopError
from ringgeom.output.pictures import drawn_pictures, views_meant
from ringgeom.output.pictures.drawn import INK, drawn
from ringgeom.output.pictures.film import PAPER
from ringgeom.output.pictures.legend import rows
from ringgeom.output.pictures.paper import bar_mm
from ringgeom.output.pictures.seen import NOTHING, seen
from ringgeom.scene.shown import Shown, shown
from ringgeom.scene.skin import Skin
from ringgeom.scene.view import GAP, NO_INK, VIEWS, Shape, View

JobOf = Callable[[Path], rg.Job]

SMALL = (40, 30)


def view_of(corners: np.ndarray) -> View:
    """A small picture of loose facets, shape (m, 3, 3) [mm], one dot a millimetre."""
    points = corners.reshape(-1, 3)
    skin = Skin(points, np.zeros_like(points), np.arange(len(points), dtype="i4").reshape(-1, 3))
    shapes = (Shape(part=0, skin=skin),)
    return View(
        name="", shapes=shapes, turns=np.eye(4)[None], px_per_mm=1, ink_mm=NO_INK, size=SMALL
    )


def nearest_by_hand(corners: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Brute force: for the middle of every dot, every facet that holds it, and the nearest."""
    wide, high = SMALL
    facet, depth = np.full((high, wide), NOTHING), np.full((high, wide), -np.inf)
    for row in range(high):
        for column in range(wide):
            spot = np.array([column + 0.5 - wide / 2, high / 2 - row - 0.5])
            for number, (a, b, c) in enumerate(corners):
                sides = np.column_stack([b[:2] - a[:2], c[:2] - a[:2]])
                if np.linalg.det(sides) <= 0:
                    continue
                u, v = np.linalg.solve(sides, spot - a[:2])
                z = a[2] + u * (b[2] - a[2]) + v * (c[2] - a[2])
                if u >= 0 and v >= 0 and u + v <= 1 and z > depth[row, column]:
                    facet[row, column], depth[row, column] = number, z
    return facet, depth


@settings(max_examples=15, deadline=None)
@given(
    arrays.arrays(
        np.float64, (5, 3, 3), elements=st.integers(-250, 250).map(lambda n: n / 10 + 0.0137)
    )
)
def test_what_is_seen_is_the_nearest(corners: np.ndarray) -> None:
    """Against brute force; corners off the middles of dots, so that no edge is in doubt."""
    facet, depth = nearest_by_hand(corners)
    found = seen(view_of(corners), 1)
    same = found.facet == facet
    # where two facets cross within a rounding of depth either may win, and on an edge either
    assert (
        np.abs(found.depth_mm - depth)[~same & (facet >= 0) & (found.facet >= 0)].max(initial=0.0)
        < 1e-3
    )
    assert (~same).sum() <= 0.01 * same.size
    on = same & (facet >= 0)
    # depth is kept to a fraction of a micrometre, then as 32 bits
    assert found.depth_mm[on] == pytest.approx(depth[on], abs=1e-4)


def test_a_front_view_covers_what_it_should(designs: Path, job_of: JobOf) -> None:
    """Harbour is flat outside: its front is a rectangle, 8 wide, with rounded corners."""
    job = job_of(designs / "harbour.toml")
    view = VIEWS["front"](shown(job))
    covered = (seen(view, 1).facet != NOTHING).sum() / view.px_per_mm**2
    rounded = (4 - np.pi) * 0.25**2
    exact = job.outside_diameter_mm * 8.0 - rounded
    # half a dot along the outline, 55 mm of it at 61 dots
    assert covered == pytest.approx(exact, abs=0.5 * 55 / view.px_per_mm)


@pytest.fixture(scope="module")
def heron(designs: Path, job_of: JobOf) -> rg.Job:
    return job_of(designs / "heron.toml")


@pytest.fixture(scope="module")
def parts(heron: rg.Job) -> Shown:
    return shown(heron)


def rgb(hexed: str) -> tuple[int, ...]:
    return tuple(int(hexed[n : n + 2], 16) for n in (1, 3, 5))


@pytest.mark.parametrize("name", VIEWS)
def test_colours_are_flat_and_the_predicted_ones(parts: Shown, name: str) -> None:
    """Nearly every dot is paper, ink or a metal's own colour; the rest lies along lines."""
    dots = drawn(VIEWS[name](parts), parts).reshape(-1, 3)
    plain = np.zeros(len(dots), dtype=bool)
    for colour in (PAPER, *(rgb(part.colour.hex) for part in parts.parts)):
        of_it = (dots == colour).all(axis=1)
        assert of_it.sum() > 10_000
        plain |= of_it
    assert plain.mean() > 0.97
    assert (dots == INK).all(axis=1).sum() > 500


def test_ink_lies_where_faces_meet(parts: Shown) -> None:
    """In the front view: round the outline and along both gaps, and nowhere else."""
    view = VIEWS["front"](parts)
    dark = drawn(view, parts).astype(int).sum(axis=2) < 200
    column = dark[:, dark.shape[1] // 2]
    runs = np.flatnonzero(np.diff(column.astype(int)) == 1)
    assert len(runs) == 4
    # from the upper wall of the channel of 2.4 to the inlay's lower edge, a gap of 0.05 above it
    assert (runs[2] - runs[1]) / view.px_per_mm == pytest.approx(2.35, abs=2 / view.px_per_mm)


def test_the_whole_picture(heron: rg.Job) -> None:
    told: list[str] = []
    found = drawn_pictures(heron, told=told.append)
    assert [one.view for one in found.pictures] == list(VIEWS)
    assert told == [f"picture: {name}" for name in VIEWS]
    assert not found.rendered
    assert found.words == ()
    again = drawn_pictures(heron, ["front"]).pictures[0]
    assert again.png == found.pictures[1].png
    for one in found.pictures:
        image = Image.open(BytesIO(one.png))
        assert image.size == (1600, 1200)
        assert image.mode == "RGB"


def test_letters_that_the_font_has_not_are_no_noise(designs: Path) -> None:
    """A warning would be an error here; the file's own name keeps its letters."""
    text = (designs / "heron.toml").read_text("utf-8").replace('"Heron"', '"Žofie ½ 指輪"')
    found = drawn_pictures(rg.job(rg.design_from_text(text)), ["front"])
    assert len(found.pictures) == 1


def test_nothing_loads_gl_or_the_renderer(designs: Path) -> None:
    code = (
        "import sys, ringgeom as rg\n"
        "from ringgeom.output.pictures import drawn_pictures\n"
        f"drawn_pictures(rg.job(rg.read_design({str(designs / 'heron.toml')!r})), ['front'])\n"
        "assert not {'pyvista', 'vtkmodules', 'vtk'} & set(sys.modules)\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


def test_names_of_views() -> None:
    assert views_meant([]) == tuple(VIEWS)
    assert views_meant(["section", "front", "section"]) == ("front", "section")
    with pytest.raises(InputError) as refused:
        views_meant(["three quarters", "side", "front"])
    first, second = refused.value.problems
    assert first.nearest == "three-quarter"
    assert second.value == '"side"'
    assert "exploded" in second.allowed


def test_no_picture_of_a_ring_that_is_stopped(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 3")
    with pytest.raises(StopError):
        drawn_pictures(rg.job(rg.design_from_text(text)))


@pytest.mark.parametrize("px_per_mm", [1, 7, 29, 41, 67, 150])
def test_the_scale_bar_is_a_round_length_that_fits(px_per_mm: int) -> None:
    length = bar_mm(px_per_mm)
    assert str(length).rstrip("0") in ("1", "2", "5")
    assert 100 <= length * px_per_mm <= 520


def test_every_metal_has_a_row(designs: Path, job_of: JobOf) -> None:
    """In the order of the job, each alloy once in each finish; what does not fit is counted."""
    plover = shown(job_of(designs / "plover.toml"))
    assert [row.words for row in rows(plover, 8)] == [
        "gold-917-yellow, polished: wing",
        "Rushlight, polished: breast",
        "palladium-950-ru, brushed: body",
    ]
    assert rows(plover, 2)[-1].words == "and 2 more"
    harbour = shown(job_of(designs / "harbour.toml"))
    assert rows(harbour, 8)[0].words == "platinum-950-ru, polished: sleeve, rail"


def test_a_measured_colour_is_said_to_be_one(designs: Path) -> None:
    shop = rg.shop_from_text('[measured."gold-750-green"]\nlab = [91.0, -5.0, 26.0]\n')
    job = rg.job(rg.read_design(designs / "heron.toml"), shop)
    words = [row.words for row in rows(shown(job), 8)]
    assert words[0] == "gold-750-green, polished, measured: reed"
    assert "measured" not in words[1]


def test_gaps_are_dark_and_end_with_the_body(designs: Path, job_of: JobOf) -> None:
    """Plover's body is recessed by 0.2: beside its inlays a gap ends where the body does."""
    job = job_of(designs / "plover.toml")
    found = shown(job)
    assert len(found.gaps) == 2
    top = job.form.inside_diameter_mm / 2 + job.form.thickness_mm - 0.2
    for gap in found.gaps:
        r = np.hypot(gap.vertices[:, 0], gap.vertices[:, 1])
        assert r.max() == pytest.approx(top, abs=0.005)
    view = VIEWS["three-quarter"](found)
    assert {shape.part for shape in view.shapes} == {GAP, 0, 1, 2}


def test_a_finish_changes_pictures_alone(designs: Path, tmp_path: Path) -> None:
    """Brushed: the same grams, waxes and findings; another colour, a bore that stays polished."""
    text = (designs / "heron.toml").read_text("utf-8")
    brushed = text.replace("depth_mm = 0.8", 'depth_mm = 0.8\nfinish = "brushed"')
    jobs = [rg.job(rg.design_from_text(words)) for words in (text, brushed)]
    assert jobs[0].parts == jobs[1].parts
    assert jobs[0].findings == jobs[1].findings
    for job, name in zip(jobs, "ab", strict=True):
        rg.write(job, tmp_path / name)
    for path in (tmp_path / "a").rglob("*.[s3]*"):
        assert path.read_bytes() == (tmp_path / "b" / path.relative_to(tmp_path / "a")).read_bytes()
    polished, rough = (shown(job).parts[0] for job in jobs)
    assert (polished.finish, rough.finish) == ("polished", "brushed")
    assert polished.colour.hex != rough.colour.hex
    finishes = [s.finish for s in VIEWS["front"](shown(jobs[1])).shapes if s.part == 0]
    assert sorted(finishes) == ["brushed", "polished"]


def test_both_halves_of_a_split_body_have_its_finish(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8")
    split = text.replace("depth_mm = 0.8", 'depth_mm = 0.8\nroute = "split body"').replace(
        "[[part]]", 'finish = "brushed"\n\n[[part]]'
    )
    found = shown(rg.job(rg.design_from_text(split)))
    assert {part.name: part.finish for part in found.parts} == {
        "reed": "polished",
        "body": "brushed",
        "body 2": "brushed",
    }


def test_an_unknown_finish_is_refused(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8")
    with pytest.raises(InputError, match="polished, brushed; nearest: brushed"):
        rg.design_from_text(text.replace("depth_mm = 0.8", 'depth_mm = 0.8\nfinish = "brush"'))
