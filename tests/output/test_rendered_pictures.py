"""Rendered pictures: true to scale and colour, the same every time; no crash reaches the job."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import binary_erosion

import ringgeom as rg
from ringgeom.colour.cie import coded_rgb, lab_of_xyz
from ringgeom.output.pictures import Picture, Pictures, drawn_pictures, film, pictures
from ringgeom.output.pictures import rendered as renderer
from ringgeom.output.pictures.film import PAPER, developed, write_scene
from ringgeom.output.pictures.paper import BAR_UP, INK, bar_mm
from ringgeom.output.pictures.seen import seen
from ringgeom.scene import view as views
from ringgeom.scene.shown import shown
from ringgeom.scene.studio import brightness, studio
from ringgeom.scene.view import FOOT, HEAD, SIDE, VIEWS, View

JobOf = Callable[[Path], rg.Job]
Run = Callable[..., Any]
Drawn = Callable[[str], Picture]

LINEAR_TO_XYZ = np.linalg.inv(
    [
        [3.2404542, -1.5371385, -0.4985314],
        [-0.9692660, 1.8760108, 0.0415560],
        [0.0556434, -0.2040259, 1.0572252],
    ]
)


def dots_of(png: bytes) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(png)).convert("RGB")).astype(int)


def linear(dots: np.ndarray) -> np.ndarray:
    """Source: IEC 61966-2-1."""
    coded = np.asarray(dots) / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


@pytest.fixture(scope="module")
def heron(designs: Path, job_of: JobOf) -> rg.Job:
    return job_of(designs / "heron.toml")


@pytest.fixture(scope="module")
def drawn(heron: rg.Job) -> Drawn:
    """A view as it is drawn without a renderer, each once."""

    @cache
    def one(view: str) -> Picture:
        (picture,) = drawn_pictures(heron, [view]).pictures
        return picture

    return one


@pytest.fixture(scope="module")
def album(heron: rg.Job) -> Pictures:
    return pictures(heron)


def named(album: Pictures, view: str) -> np.ndarray:
    (png,) = (one.png for one in album.pictures if one.view == view)
    return dots_of(png)


def masks(job: rg.Job, view: View, margin: int) -> dict[str, np.ndarray]:
    """Where each part is seen, without its outermost dots; the bore apart."""
    parts = shown(job)
    facet = seen(view, 1).facet
    names = [
        ("cut " if shape.cut else "") + (parts.parts[shape.part].name if shape.part >= 0 else "gap")
        for shape in view.shapes
        for _ in range(len(shape.skin.faces))
    ]
    bore = np.concatenate(
        [shape.skin.inwards()[shape.skin.faces].mean(axis=1) > 0.05 for shape in view.shapes]
    )
    labels = np.array([f"{name} bore" if b else name for name, b in zip(names, bore, strict=True)])
    found = {}
    for name in set(labels.tolist()):
        where = (facet >= 0) & (np.append(labels, "")[facet] == name)
        found[name] = binary_erosion(where, iterations=margin)
    return found


# What is seen


def test_all_views_are_rendered(album: Pictures) -> None:
    assert [one.view for one in album.pictures] == list(VIEWS)
    assert album.rendered
    assert album.words == ()


@pytest.mark.parametrize("name", VIEWS)
def test_the_ring_is_whole_and_on_paper(album: Pictures, name: str) -> None:
    """The margins that are kept free are paper, the ring touches none of them."""
    dots = named(album, name)
    assert dots.shape == (1200, 1600, 3)
    paper = (dots == PAPER).all(axis=2)
    assert paper[HEAD:-FOOT, : SIDE - 2].all()
    assert paper[HEAD:-FOOT, 2 - SIDE :].all()
    # a bent outline may lie half a dot outside its facets
    assert paper[HEAD - 10 : HEAD - 2].all()
    assert paper[-FOOT + 2 : -FOOT + 10].all()
    assert 0.05 < 1 - paper.mean() < 0.7


@pytest.mark.parametrize("name", VIEWS)
def test_the_same_as_drawn_but_for_light(album: Pictures, drawn: Drawn, name: str) -> None:
    """What is metal in one picture is metal in the other, to the dot along outlines."""
    flat = (dots_of(drawn(name).png) == PAPER).all(axis=2)
    lit = (named(album, name) == PAPER).all(axis=2)
    area = slice(HEAD, -FOOT), slice(SIDE, -SIDE)
    other = flat[area] != lit[area]
    # the ink of a drawn outline lies on both sides of it
    assert not binary_erosion(other, iterations=3).any()


def test_the_scale_bar_measures_the_ring(heron: rg.Job, album: Pictures) -> None:
    """Both measured in the picture: the outside, in lengths of the bar; and the width."""
    dots = named(album, "front")
    ink = np.array([int(INK[n : n + 2], 16) for n in (1, 3, 5)])
    row = (dots[1200 - BAR_UP] == ink).all(axis=1)
    columns = np.flatnonzero(row)
    assert (np.diff(columns) == 1).all()
    view = VIEWS["front"](shown(heron))
    length = bar_mm(view.px_per_mm)
    assert len(columns) == length * view.px_per_mm
    ring = np.flatnonzero((dots[HEAD:-FOOT] != PAPER).any(axis=(0, 2)))
    wide = ring[-1] - ring[0] + 1
    measured_mm = wide * length / len(columns)
    # half a dot at each end, that is only grazed
    assert measured_mm == pytest.approx(heron.outside_diameter_mm, abs=1.5 / view.px_per_mm)
    high = np.flatnonzero((dots[HEAD:-FOOT] != PAPER).any(axis=(1, 2)))
    assert (high[-1] - high[0] + 1) / view.px_per_mm == pytest.approx(6.0, abs=0.03)


# Colours


def test_a_cut_face_has_the_predicted_colour(heron: rg.Job, album: Pictures) -> None:
    dots = named(album, "section")
    found = masks(heron, VIEWS["section"](shown(heron)), 4)
    for part in shown(heron).parts:
        wanted = [int(part.colour.hex[n : n + 2], 16) for n in (1, 3, 5)]
        # one step of 255 for each of the two roundings
        assert np.abs(dots[found[f"cut {part.name}"]] - wanted).max() <= 2


def test_light_keeps_the_hue_and_adds_none(designs: Path, job_of: JobOf) -> None:
    """Outside the bore every part shows its predicted hue, at no more than its own lightness."""
    job = job_of(designs / "alder.toml")
    parts = {part.name: part for part in shown(job).parts}
    view = VIEWS["three-quarter"](shown(job))
    dots = dots_of(pictures(job, ["three-quarter"]).pictures[0].png)
    found = masks(job, view, 4)
    hues = {}
    for name in ("creeper", "body"):
        lit = linear(dots[found[name]])
        own = np.array(parts[name].colour.linear_rgb)
        share = lit / own
        # one step of 255 in bytes, where a colour is steepest
        assert share.max() <= 1.015
        # nowhere a black hole
        assert share.min() > 0.2
        # a face shows its own colour times a grey, red, green and blue alike; it pales where
        # the eye glances along it, by Schlick's law, on a tenth of what is seen of a round band
        away = np.abs(share / share.mean(axis=1, keepdims=True) - 1).max(axis=1)
        assert np.median(away) < 0.02
        assert np.percentile(away, 90) < 0.1
        mean = lab_of_xyz(100 * lit.mean(axis=0) @ LINEAR_TO_XYZ.T)
        hues[name] = np.degrees(np.arctan2(mean[2], mean[1]))
        assert hues[name] == pytest.approx(parts[name].colour.hue_deg, abs=2.0)
    # rose is redder than white
    assert hues["creeper"] < hues["body"]


def test_green_reads_greener_than_yellow(heron: rg.Job, album: Pictures) -> None:
    """Side by side under one light: less red over green, in every column of the front view."""
    dots = named(album, "front")
    found = masks(heron, VIEWS["front"](shown(heron)), 4)
    red_over_green = {
        name: linear(dots)[..., 0] / np.maximum(linear(dots)[..., 1], 1e-6)
        for name in ("reed", "body")
    }
    for column in range(300, 1300, 100):
        means = [
            red_over_green[name][found[name][:, column], column].mean() for name in ("reed", "body")
        ]
        assert means[0] < means[1] - 0.1


def mirror(tmp_path: Path) -> tuple[np.ndarray, np.ndarray]:
    """The studio in a mirror ball of radius 8, rendered; and which way each dot mirrors."""
    import pyvista

    ball = pyvista.Sphere(radius=8, theta_resolution=180, phi_resolution=180)
    points = np.asarray(ball.points, dtype="f4")
    scene = {
        "paper": np.array([0, 0, 0]),
        "light": studio(),
        "grain": np.zeros(4, dtype="f4"),
        "surfaces": 1,
        "frames": 1,
        # far away, so that sight is parallel for reflections too
        "eye_mm": 1e5,
        "dots": np.array([400, 400]),
        "dots_per_mm": np.array([20.0]),
        "points0": points,
        "normals0": points / 8,
        "faces0": ball.faces.reshape(-1, 4)[:, 1:].astype("i4"),
        "rgb0": np.full((len(points), 3), 255, dtype=np.uint8),
        "edge0": np.ones(3),
        "rough0": 0.0,
        "strokes0": np.zeros((0, 4)),
        "lit0": True,
        "which0": np.array([0]),
        "turns0": np.eye(4)[None],
    }
    np.savez(tmp_path / "scene.npz", **scene)  # type: ignore[arg-type]
    # it ends with whoever holds the other end of its standard input
    with renderer.subprocess.Popen(
        [renderer.sys.executable, "-P", str(renderer.CHILD), str(tmp_path), "EGL"],
        stdin=renderer.subprocess.PIPE,
        stderr=renderer.subprocess.PIPE,
        text=True,
    ) as ended:
        ended.wait(timeout=60)
        assert ended.stderr is not None
        said = ended.stderr.read()
    assert ended.returncode == 0, said
    row, column = np.mgrid[0:400, 0:400]
    x, y = (column + 0.5) / 20 - 10, 10 - (row + 0.5) / 20
    z = np.sqrt(np.maximum(64 - x * x - y * y, 0))
    normal = np.stack([x, y, z], axis=-1) / 8
    towards = 2 * normal[..., 2:] * normal - np.array([0.0, 0.0, 1.0])
    towards[np.hypot(x, y) > 7.5] = np.nan
    return np.load(tmp_path / "frame-0.npy"), towards


def test_light_comes_from_where_it_is_said(tmp_path: Path) -> None:
    """Derived: a mirror ball shows at every dot the light from the mirrored direction."""
    frame, towards = mirror(tmp_path)
    on = ~np.isnan(towards[..., 0])
    shows = (frame[..., 0] / 255.0) ** 2.2
    away = shows[on] - brightness(towards[on])
    # bytes, facets of 2 degrees and the cube's own dots: two hundredths, and a few at edges
    assert np.sqrt(np.mean(away**2)) < 0.02
    assert np.abs(away).max() < 0.12


def test_a_frame_is_developed_in_linear_light() -> None:
    """Half black and half white is half the light, in sRGB 188; paper stays paper."""
    frame = np.zeros((4, 4, 3), dtype=np.uint8)
    frame[:2, ::2] = 255
    found = developed(frame)
    assert (found[0] == np.round(255 * coded_rgb(np.array(0.5)))).all()
    assert (found[1] == 0).all()
    blank = np.round(255 * linear(np.array(PAPER)) ** (1 / 2.2)).astype(np.uint8)
    assert (developed(np.tile(blank, (6, 8, 1))) == PAPER).all()


def test_edges_are_smooth(album: Pictures, heron: rg.Job) -> None:
    """Along the outside's outline against paper, dots take many values between the two."""
    dots = named(album, "three-quarter")
    view = VIEWS["three-quarter"](shown(heron))
    metal = seen(view, 1).facet >= 0
    rim = metal & ~binary_erosion(metal)
    assert len(np.unique(dots[rim].sum(axis=1))) > 100


@pytest.fixture
def coarse(monkeypatch: pytest.MonkeyPatch) -> None:
    """One dot rendered for a dot: quicker, for tests that do not look at edges."""
    monkeypatch.setattr(film, "FINER", 1)


# The same every time


def test_the_same_bytes_alone_and_again(heron: rg.Job, album: Pictures) -> None:
    """Two views in a process of their own are the same as among all four."""
    again = pictures(heron, ["exploded", "front"])
    assert [one.view for one in again.pictures] == ["front", "exploded"]
    whole = {one.view: one.png for one in album.pictures}
    for one in again.pictures:
        assert one.png == whole[one.view]


def test_what_goes_to_the_process_is_numbers(heron: rg.Job, tmp_path: Path) -> None:
    parts = shown(heron)
    write_scene(tmp_path / "scene.npz", parts, [view(parts) for view in VIEWS.values()])
    with np.load(tmp_path / "scene.npz", allow_pickle=False) as scene:
        assert all(scene[name].dtype.kind in "biuf" for name in scene.files)
    child = renderer.CHILD.read_text("utf-8")
    assert "ringgeom" not in child
    assert "allow_pickle=False" in child


@pytest.mark.usefixtures("coarse")
def test_a_turntable(heron: rg.Job, monkeypatch: pytest.MonkeyPatch) -> None:
    """Four frames instead of 36: an animated PNG, every frame another, on one paper."""
    monkeypatch.setattr(views, "TURNING_FRAMES", 4)
    found = pictures(heron, ["front"], turntable=True)
    assert found.rendered
    image = Image.open(BytesIO(found.pictures[1].png))
    assert image.n_frames == 4
    frames = []
    for number in range(4):
        image.seek(number)
        frames.append(np.asarray(image.convert("RGB")))
    assert len({frame.tobytes() for frame in frames}) == 4
    assert all((frame[-150:] == frames[0][-150:]).all() for frame in frames)


# When rendering fails


@pytest.fixture
def temporary(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A temporary folder of one's own, to see what is left in it."""
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(place))
    return place


def instead(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: str) -> None:
    """Another process in place of the renderer."""
    script = tmp_path / "child.py"
    script.write_text(
        f"import os, signal, sys, time\nfolder, way = sys.argv[1:]\n{code}\n", "utf-8"
    )
    monkeypatch.setattr(renderer, "CHILD", script)


FAILURES = {
    "killed": ("os.kill(os.getpid(), signal.SIGKILL)", "stopped from outside (SIGKILL)"),
    "crashed": ("os.kill(os.getpid(), signal.SIGSEGV)", "crashed (SIGSEGV); on Debian"),
    "no library": ("sys.exit(3)", "the package libegl1, or libosmesa6, brings"),
    "no program": (
        "print('libXrender.so.1: cannot open', file=sys.stderr); sys.exit(4)",
        "cannot be loaded (libXrender.so.1: cannot open); on Debian",
    ),
    "only one library": (
        "sys.exit(3) if way == 'OSMesa' else os.abort()",
        "libgl1-mesa-dri brings its drivers, and libosmesa6 another way",
    ),
    "an error": ("raise OSError('no space left')", "failed (OSError: no space left)"),
    "silent": ("pass", "gave no picture"),
    "black": (
        "import numpy; numpy.save(folder + '/frame-0.npy', "
        "numpy.zeros((2400, 3200, 3), dtype='u1')); print(0, flush=True); time.sleep(60)",
        "gave no picture",
    ),
    "babbling": ("print('frame 0'); print('../../etc/passwd'); print(99)", "gave no picture"),
}


@pytest.mark.parametrize("how", FAILURES)
def test_the_job_outlives_the_renderer(
    heron: rg.Job,
    drawn: Drawn,
    tmp_path: Path,
    temporary: Path,
    monkeypatch: pytest.MonkeyPatch,
    how: str,
) -> None:
    code, words = FAILURES[how]
    instead(tmp_path, monkeypatch, code)
    found = pictures(heron, ["front"])
    assert not found.rendered
    assert found.pictures == (drawn("front"),)
    (told,) = found.words
    assert told.startswith("drawn, not rendered: ")
    assert words in told
    assert not list(temporary.iterdir())


def test_a_renderer_that_hangs_is_ended(
    heron: rg.Job, tmp_path: Path, temporary: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    note = tmp_path / "pid"
    instead(
        tmp_path, monkeypatch, f"open({str(note)!r}, 'w').write(str(os.getpid()))\ntime.sleep(99)"
    )
    monkeypatch.setattr(renderer, "PATIENCE_S", 1.0)
    monkeypatch.setattr(renderer, "PATIENCE_PER_FRAME_S", 0.0)
    found = pictures(heron, ["front"])
    assert "took too long" in found.words[0]
    assert not Path(f"/proc/{note.read_text()}").exists()
    assert not list(temporary.iterdir())


@pytest.mark.usefixtures("coarse")
def test_killed_half_way(
    heron: rg.Job,
    drawn: Drawn,
    tmp_path: Path,
    temporary: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What was rendered by then is kept, the rest is drawn, and each says which it is."""
    code = (
        "import builtins, runpy\n"
        "say = builtins.print\n"
        "def last(*words, **how):\n"
        "    say(*words, **how)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
        "builtins.print = last\n"
        f"runpy.run_path({str(renderer.CHILD)!r}, run_name='__main__')"
    )
    instead(tmp_path, monkeypatch, code)
    found = pictures(heron, ["three-quarter", "front"])
    assert [one.rendered for one in found.pictures] == [True, False]
    assert found.pictures[0] != drawn("three-quarter")
    assert found.pictures[1] == drawn("front")
    assert "SIGKILL" in found.words[0]
    assert not list(temporary.iterdir())


def test_interrupted_by_the_maker(
    heron: rg.Job, tmp_path: Path, temporary: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The process is ended and its folder taken away."""
    note = tmp_path / "pid"
    code = (
        f"open({str(note)!r}, 'w').write(str(os.getpid()))\n"
        "import numpy\n"
        "numpy.save(folder + '/frame-0.npy', numpy.full((2400, 3200, 3), 240, dtype='u1'))\n"
        "print(0, flush=True)\ntime.sleep(99)"
    )
    instead(tmp_path, monkeypatch, code)

    def stop(frame: np.ndarray) -> bool:
        raise KeyboardInterrupt

    monkeypatch.setattr(renderer, "_is_picture", stop)
    with pytest.raises(KeyboardInterrupt):
        pictures(heron, ["front"])
    assert not Path(f"/proc/{note.read_text()}").exists()
    assert not list(temporary.iterdir())


def test_it_ends_with_the_program_and_takes_its_folder_along(tmp_path: Path) -> None:
    """Found: a killed run left its scene among the temporary files, some megabytes each time."""
    place = tmp_path / "scene"
    place.mkdir()
    (place / "scene.npz").write_bytes(b"scene")
    code = (
        "import runpy, sys, pathlib\n"
        f"child = runpy.run_path({str(renderer.CHILD)!r})\n"
        "child['_end_with_the_asker'](pathlib.Path(sys.argv[1]))\n"
    )
    with renderer.subprocess.Popen(
        [renderer.sys.executable, "-c", code, str(place)], stdin=renderer.subprocess.PIPE
    ) as child:
        assert child.poll() is None
        assert child.stdin is not None
        child.stdin.close()
        assert child.wait(timeout=60) == 5
    assert not place.exists()


def test_what_a_killed_run_left_is_taken_away_by_the_next(
    heron: rg.Job, tmp_path: Path, temporary: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed before it had a renderer to do it; what a living one holds stays."""
    for name in ("dead", "alive"):
        (temporary / f"{renderer.PLACE}{name}").mkdir()
        (temporary / f"{renderer.PLACE}{name}" / renderer.HELD).touch()
    instead(tmp_path, monkeypatch, "pass")
    with (temporary / f"{renderer.PLACE}alive" / renderer.HELD).open("r+b") as file:
        assert renderer.taken(file.fileno())
        pictures(heron, ["front"])
    assert [path.name for path in temporary.iterdir()] == [f"{renderer.PLACE}alive"]


def test_no_temporary_folder(
    heron: rg.Job, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "none"))
    found = pictures(heron, ["front"])
    assert not found.rendered
    assert "could not be run: No such file" in found.words[0]


# The command


def test_the_command_without_gl(ringgeom: Run, designs: Path, tmp_path: Path) -> None:
    """The libraries hidden behind empty files: the real renderer, the real reason."""
    for name in ("libEGL.so.1", "libOSMesa.so.8", "libOSMesa.so.6"):
        (tmp_path / name).touch()
    ran = ringgeom(
        "picture", designs / "heron.toml", "--view", "front", "--out", tmp_path / "out", "--json",
        LD_LIBRARY_PATH=str(tmp_path),
    )  # fmt: skip
    assert ran.code == 0, ran.err
    data = json.loads(ran.out)
    assert data["rendered"] is False
    (one,) = data["pictures"]
    assert Path(one["file"]).read_bytes()[:4] == b"\x89PNG"
    assert "libEGL.so.1" in data["words"][0]
    assert "libegl1" in data["words"][0]


def test_the_command_without_a_driver(ringgeom: Run, designs: Path, tmp_path: Path) -> None:
    """GL is there and can draw nothing: the real renderer crashes, the command does not."""
    for name in ("libOSMesa.so.8", "libOSMesa.so.6"):
        (tmp_path / name).touch()
    ran = ringgeom(
        "picture", designs / "heron.toml", "--view", "front", "--out", tmp_path / "out",
        LD_LIBRARY_PATH=str(tmp_path), __EGL_VENDOR_LIBRARY_FILENAMES=str(tmp_path / "none.json"),
    )  # fmt: skip
    assert ran.code == 0, ran.err
    assert "heron_front.png (drawn)" in ran.out
    assert "libgl1-mesa-dri" in ran.out


def test_a_wrong_view_is_told_with_the_way_out(run: Run, designs: Path, tmp_path: Path) -> None:
    ran = run("picture", designs / "heron.toml", "--view", "frnt", "--out", tmp_path / "out")
    assert ran.code == 2
    assert (
        'here "frnt"; allowed: three-quarter, front, section, exploded; nearest: front' in ran.err
    )
    assert not (tmp_path / "out").exists()


def test_a_stopped_design_has_no_picture(run: Run, designs: Path, tmp_path: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 3")
    (tmp_path / "deep.toml").write_text(text, "utf-8")
    ran = run("picture", tmp_path / "deep.toml", "--out", tmp_path / "out")
    assert ran.code == 1
    assert not (tmp_path / "out").exists()


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Drawn at once: these look at files, not at pictures."""
    instead(tmp_path, monkeypatch, "sys.exit(3)")


@pytest.mark.usefixtures("quick")
def test_a_folder_that_cannot_be_written(run: Run, designs: Path, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file where a folder should go")
    ran = run("picture", designs / "heron.toml", "--view", "front", "--out", tmp_path / "out")
    assert ran.code == 2
    assert "nothing was written" in ran.err
    assert (tmp_path / "out").read_text() == "a file where a folder should go"


@pytest.mark.usefixtures("quick")
def test_pictures_of_another_design_are_taken_away(run: Run, designs: Path, tmp_path: Path) -> None:
    """Views of one design gather; of a changed design the old ones go, waxes stay listed."""
    out, heron = tmp_path / "out", designs / "heron.toml"

    def listed() -> set[str]:
        return set(json.loads((out / "heron" / "job.json").read_text("utf-8"))["files"])

    run("picture", heron, "--view", "front", "--out", out)
    run("picture", heron, "--view", "section", "--out", out)
    both = {"job.json", "pictures/heron_front.png", "pictures/heron_section.png"}
    assert listed() == both
    run("wax", heron, "--out", out)
    assert both < listed()
    text = heron.read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 0.7")
    (tmp_path / "heron.toml").write_text(text, "utf-8")
    run("picture", tmp_path / "heron.toml", "--view", "front", "--out", out)
    assert "pictures/heron_section.png" not in listed()
    assert not (out / "heron" / "pictures" / "heron_section.png").exists()
    assert any(name.startswith("wax/") for name in listed())
