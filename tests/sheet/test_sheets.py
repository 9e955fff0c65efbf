"""The sheet and the card: their numbers are the job's, they measure right, nothing runs over."""

from __future__ import annotations

import re
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pytest
from judging.checks import judged
from judging.programs import POPPLER, PYPDF
from sheet.measured import MM_PER_PIXEL, dark, longest_run_mm, poppler, word_boxes

import ringgeom as rg
from ringgeom.drawing.views import front_view, true_section
from ringgeom.errors import InputError, StopError
from ringgeom.fonts import lacking, shown
from ringgeom.sheet.bench import bench_sheet
from ringgeom.sheet.card import client_card
from ringgeom.sheet.paper import CHECK_BAR_MM, MARGIN_MM, Sketch, document, paper_named

Run = Callable[..., Any]

MANY = (
    '[job]\nname = "Žluťoučký kůň ½ and a very long name for a ring of parts"\n'
    '[ring]\nsize = "UK Z 1/2"\nwidth_mm = 12.0\nthickness_mm = 3.2\n'
    '[body]\nalloy = "gold-750-white-pd-15"\n'
    '[[part]]\nname = "an exceedingly long name for the liner 1"\nplace = "liner"\n'
    'alloy = "silver-925"\nthickness_mm = 0.8\ngap_mm = 0.05\n'
) + "".join(
    f'[[part]]\nname = "narrow inlay number {n} with a name"\nplace = "channel"\n'
    f'alloy = {{ name = "Own alloy, a long name {n}", Au = 75, Ag = {10 + n}, Cu = {15 - n} }}\n'
    f"width_mm = 0.8\ndepth_mm = 0.9\ncentre_mm = {-4.9 + 1.4 * n:.2f}\ngap_mm = 0.03\n"
    for n in range(8)
)


def text_of(pdf: bytes) -> str:
    pages = pypdf.PdfReader(BytesIO(pdf)).pages
    return "\n".join(page.extract_text() for page in pages)


def test_the_numbers_on_the_sheet_are_the_jobs(design_file: Path, job_of: Any) -> None:
    """Read back by another library: grams, melts, diameters, strips, solder."""
    job = job_of(design_file)
    text = re.sub(r"\s+", " ", text_of(bench_sheet(job)))
    for part in job.parts:
        assert f"{part.volume_mm3:.2f}" in text
        assert f"{part.scale.scale:.4f}" in text
        assert f"{part.wax.bore_mm:.2f} / {part.wax.outside_mm:.2f}" in text
    for casting in job.castings:
        flask = casting.flask
        said = (
            f"({flask.parts_g:.2f} parts + {flask.sprue_g:.2f} sprue + {flask.button_g:.2f} button)"
        )
        assert said in text
        assert f"{flask.melt_g:.2f}" in text
    for melt in job.melts.melts:
        for portion in melt.take:
            assert f"{portion.grams:.2f}" in text
    for cut in job.bench().turning:
        assert f"{cut.finished_mm:.2f} {cut.turned_mm:.2f}" in text
    for casting in job.castings:
        assert casting.alloy.name in text
    assert f"{job.finished_g:.2f}" in text
    for finding in job.findings:
        # like findings are told once, their parts together
        for piece in finding.text.split(finding.part or "\0"):
            assert len(piece) < 15 or piece.strip() in text
    for caution in job.cautions:
        assert caution.text[:40] in text


def test_the_same_job_gives_the_same_bytes(job_of: Any, designs: Path) -> None:
    job = job_of(designs / "tideline.toml")
    again = rg.job(rg.read_design(designs / "tideline.toml"))
    assert bench_sheet(job) == bench_sheet(again)
    assert client_card(job) == client_card(again)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_two_or_three_pages(paper: str, design_file: Path, job_of: Any) -> None:
    job = job_of(design_file)
    size = paper_named(paper)
    sheet = pypdf.PdfReader(BytesIO(bench_sheet(job, size)))
    assert 2 <= len(sheet.pages) <= 3
    box = sheet.pages[0].mediabox
    wide, why = float(box.width) * 25.4 / 72, "points are kept to a thousandth"
    judged(PYPDF, "width of the paper [mm]", size.width_mm, wide, abs=0.01, why=why)
    assert len(pypdf.PdfReader(BytesIO(client_card(job, size))).pages) == 1


@poppler
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nine_parts_with_long_names_stay_on_the_page(paper: str, tmp_path: Path) -> None:
    job = rg.job(rg.design_from_text(MANY))
    assert not job.stopped, [f.text for f in job.findings if f.level == "stop"]
    assert len(job.parts) >= 9
    size = paper_named(paper)
    for pdf in (bench_sheet(job, size), client_card(job, size)):
        boxes = word_boxes(pdf, tmp_path)
        assert any("Žluťoučký" in box[4] for box in boxes)
        assert any("½" in box[4] for box in boxes)
        for x0, y0, x1, y1, word in boxes:
            assert x0 >= MARGIN_MM * 72 / 25.4 - 1, word
            assert x1 <= (size.width_mm - MARGIN_MM) * 72 / 25.4 + 1, word
            assert y0 >= 0, word
            assert y1 <= size.height_mm * 72 / 25.4, word


@poppler
def test_the_check_bar_measures_fifty(job_of: Any, designs: Path, tmp_path: Path) -> None:
    ink = dark(bench_sheet(job_of(designs / "heron.toml")), tmp_path)
    # the bar lies 8 mm above the lower edge; beside it stands nothing to its left
    rows = ink[-round(9 / MM_PER_PIXEL) : -round(7 / MM_PER_PIXEL)]
    longest = max(longest_run_mm(row) for row in rows)
    # the last tick adds half its line's width at each end, 0.25 mm in all
    what, why = (
        "the check bar of the bench sheet at 600 dpi [mm]",
        "a dot is 0.042 mm, at both ends",
    )
    judged(POPPLER, what, CHECK_BAR_MM + 0.25, longest, abs=0.1, why=why)


@poppler
def test_the_true_section_is_true(job_of: Any, designs: Path, tmp_path: Path) -> None:
    job = job_of(designs / "heron.toml")
    for drawing, wide, high in (
        (true_section(job), 6.0, 1.9),
        (front_view(job), None, None),
    ):
        pdf = document([Sketch(drawing)], paper_named("A4"), title="", foot="", bar=False)
        ink = dark(pdf, tmp_path)[: round(60 / MM_PER_PIXEL)]
        columns, rows = np.flatnonzero(ink.any(axis=0)), np.flatnonzero(ink.any(axis=1))
        across = (columns[-1] - columns[0] + 1) * MM_PER_PIXEL
        down = (rows[-1] - rows[0] + 1) * MM_PER_PIXEL
        if wide is not None and high is not None:
            # a cut edge is 0.42 mm wide, half of it outside on either side
            assert across == pytest.approx(wide + 0.42, abs=0.1)
            assert down == pytest.approx(high + 0.42, abs=0.1)
        else:
            # axes stand out by 1.5 mm all round
            assert across == pytest.approx(21.1228 + 3.0, abs=0.1)


def test_a_letter_that_the_fonts_lack_is_a_box() -> None:
    assert lacking("⌀ ½ Ž ° × ± ‰ ☐ − ³ Ž ž ő Ω Ж") == ()
    assert lacking("金 ring") == ("金",)
    assert shown("金 ring") == "☐ ring"
    job = rg.job(rg.design_from_text(MANY.replace("Žluťoučký", "金 🙂")))
    assert "☐ ☐ kůň" in text_of(bench_sheet(job))


def test_no_sheet_of_a_ring_that_cannot_be_made(designs: Path) -> None:
    text = (designs / "heron.toml").read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 1.85")
    job = rg.job(rg.design_from_text(text))
    assert job.stopped
    for make in (bench_sheet, client_card):
        with pytest.raises(StopError):
            make(job)


def test_unknown_paper_is_refused(run: Run, designs: Path, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="nearest: Letter"):
        paper_named("Leter")
    assert paper_named("us letter").name == "Letter"
    done = run("sheet", designs / "heron.toml", "--paper", "A3", "--out", tmp_path)
    assert done.code == 2
    assert "allowed: A4, Letter" in done.err
    assert list(tmp_path.iterdir()) == []


def test_the_card_keeps_the_shops_own_to_itself(design_file: Path, job_of: Any) -> None:
    text = text_of(client_card(job_of(design_file))).lower()
    for secret in ("melt", "button", "sprue", "loss", "shrink", "buy ", "solder", "wax"):
        assert secret not in text, secret
    assert "prediction" in text


def test_the_command_writes_beside_what_is_there(run: Run, designs: Path, tmp_path: Path) -> None:
    assert run("wax", designs / "heron.toml", "--out", tmp_path).code == 0
    waxes = sorted((tmp_path / "heron/wax").iterdir())
    assert run("sheet", designs / "heron.toml", "--out", tmp_path, "--paper", "Letter").code == 0
    assert sorted((tmp_path / "heron/wax").iterdir()) == waxes
    assert (tmp_path / "heron/heron_bench-sheet_Letter.pdf").read_bytes().startswith(b"%PDF")
    assert (tmp_path / "heron/templates/heron_template_outside_mm.dxf").is_file()
