"""Every example design and every start is made; together they span what a ring can ask for."""

from __future__ import annotations

from pathlib import Path

import pytest

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.output.start import start_kinds, start_text

ROOT = Path(__file__).parents[1]
DESIGNS = sorted((ROOT / "designs").glob("*.toml"))


@pytest.fixture(params=DESIGNS, ids=lambda path: path.stem)
def design(request: pytest.FixtureRequest) -> Design:
    return rg.read_design(request.param)


def test_there_are_at_least_six() -> None:
    assert len(DESIGNS) >= 6


def test_it_is_made_without_a_stop(design: Design, tmp_path: Path) -> None:
    job = rg.job(design)
    assert not job.stopped, job.findings
    paths = rg.write(job, tmp_path)
    # one file for each pattern of the inserts of a motif
    patterns = len(job.parts) + sum(len(one.alike) - 1 for one in job.insets)
    assert sum(path.suffix == ".stl" for path in paths) == patterns + 1
    assert all(path.stat().st_size > 0 for path in paths)


def test_the_balance_closes_in_every_flask(design: Design) -> None:
    """Charge = finished + filings + returns + loss, per alloy, to 1e-9 of it."""
    job = rg.job(design)
    assert {p.name for p in job.parts} == {p.name for c in job.castings for p in c.parts}
    for casting in job.castings:
        flask = casting.flask
        whole = flask.finished_g + flask.filings_g + flask.returns_g + flask.loss_g
        assert whole == pytest.approx(flask.melt_g, rel=1e-9)
        assert flask.finished_g == pytest.approx(sum(p.finished_g for p in casting.parts), rel=1e-9)
        assert {part.alloy.name for part in casting.parts} == {casting.alloy.name}
    assert job.finished_g == pytest.approx(sum(c.flask.finished_g for c in job.castings), rel=1e-9)


def test_parts_and_gaps_make_the_band(design: Design) -> None:
    """Parts + gaps + recess = the same band in one piece, to 1e-9."""
    job = rg.job(design)
    (alone,) = rg.job(
        design.model_copy(
            update={
                "parts": (),
                "engravings": (),
                "body": design.body or rg.read_design(DESIGNS[0]).body,
            }
        )
    ).parts
    whole = sum(volume.volume_mm3 for _, volume in job.volumes)
    gaps = sum(v.volume_mm3 for p, v in job.volumes if p.owner.kind not in ("part", "body"))
    engraved = sum(part.engraved_mm3 for part in job.parts)
    assert job.volume_mm3 + engraved + gaps == pytest.approx(whole, rel=1e-9)
    proud = design.body.proud_mm if design.body else 0.0
    if proud == 0:
        assert whole == pytest.approx(alone.volume_mm3, rel=1e-9)
    else:
        # the body alone is recessed all over, so the whole is larger by the parts' tops
        assert whole > alone.volume_mm3


def test_the_mass_is_volume_times_density(design: Design) -> None:
    for part in rg.job(design).parts:
        assert part.finished_g == pytest.approx(
            part.volume_mm3 * part.alloy.density_g_cm3 / 1000, rel=1e-12
        )
        assert part.as_cast_g > part.finished_g or part.cast_mm3 == part.volume_mm3


def test_they_span_places_scales_and_metals() -> None:
    designs = [rg.read_design(path) for path in DESIGNS]
    places = {part.place for design in designs for part in design.parts}
    assert places == {"channel", "liner", "stripe", "edges", "segments", "motif"}
    jobs = [rg.job(design) for design in designs]
    assert len({job.finger.scale for job in jobs}) >= 5
    metals = {part.alloy.recipe.precious for job in jobs for part in job.parts}
    assert {"gold", "silver", "platinum", "palladium"} <= metals
    assert {volume.by for job in jobs for _, volume in job.volumes} == {
        "closed form",
        "quadrature",
    }
    channels = [p for d in designs for p in d.parts if p.place == "channel"]
    assert any(p.undercut_mm for p in channels)
    assert any(p.wave for p in channels)
    assert any(p.centre_mm for p in channels)
    assert any(d.body and d.body.proud_mm for d in designs)


@pytest.mark.parametrize("kind", start_kinds())
def test_every_start_is_a_ring(kind: str) -> None:
    job = rg.job(rg.design_from_text(start_text(kind)))
    assert not job.stopped, job.findings


def test_the_sample_in_exports_is_what_is_made(tmp_path: Path) -> None:
    """Golden: the sample guards against numbers that move without a word.

    When this fails on purpose, make the sample again and add a line to "Weights change".
    """
    import csv

    rg.write(rg.job(rg.read_design(ROOT / "designs" / "heron.toml")), tmp_path)
    tables = []
    for folder in (tmp_path / "heron", ROOT / "exports" / "sample" / "heron"):
        with (folder / "weights.csv").open(encoding="utf-8", newline="") as file:
            tables.append(list(csv.DictReader(file)))
    assert tables[0] == tables[1]


PRESSED = """
[job]
name = "Pressed"
[ring]
size = "ISO 54"
width_mm = 6.0
thickness_mm = 2.2
{ring}
[body]
alloy = "gold-750-yellow-3n"
{body}
{parts}
"""
CHANNEL = (
    '[[part]]\nname = "c"\nplace = "channel"\nalloy = "silver-925"\nwidth_mm = 2.0\n'
    "depth_mm = 0.8\n"
)
SEGMENTS = (
    '[[part]]\nname = "s"\nplace = "segments"\nalloys = ["silver-925", "gold-1000"]\ncount = 6\n'
)


@pytest.mark.parametrize(
    ("ring", "body", "parts"),
    [
        ("", "", CHANNEL + "gap_mm = -0.03\n"),
        ("", "", CHANNEL + "gap_mm = -0.03\nwave = { amplitude_mm = 0.5, count = 5 }\n"),
        ("", "", SEGMENTS + "gap_mm = -0.03\n"),
        ("", "", CHANNEL + "gap_mm = -0.03\n" + SEGMENTS + "depth_mm = 1.2\ngap_mm = -0.02\n"),
        ("", "", CHANNEL + "undercut_mm = 0.2\n"),
        ("", "proud_mm = -0.2", CHANNEL + "undercut_mm = 0.2\n"),
        ("edge_mm = 0.3", "proud_mm = -0.2", CHANNEL + "undercut_mm = 0.2\ngap_mm = 0.04\n"),
    ],
)
def test_press_fits_undercuts_and_recesses_balance(ring: str, body: str, parts: str) -> None:
    """Derived: gaps are signed, so parts, gaps, presses and recess add up to the plain band."""
    job = rg.job(rg.design_from_text(PRESSED.format(ring=ring, body=body, parts=parts)))
    assert not job.stopped, job.findings
    alone = rg.job(rg.design_from_text(PRESSED.format(ring=ring, body="", parts="")))
    whole = sum(volume.volume_mm3 for _, volume in job.volumes)
    assert whole == pytest.approx(alone.volume_mm3, rel=1e-9)
    for part in job.parts:
        assert part.cast_mm3 > part.volume_mm3
