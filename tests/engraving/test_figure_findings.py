"""Every finding on motifs and patterns: a ring that brings it, its number, and what cures it."""

from __future__ import annotations

import re
from collections.abc import Callable
from math import pi
from pathlib import Path
from typing import Any

import pytest
from engraving.drawn import CROSSED, LEAF, design_in, job_in, motif, pattern
from engraving.texts import engraving

import ringgeom as rg
from ringgeom.errors import InputError
from ringgeom.findings import Finding, on_figure_lines, on_figure_places, on_figures

LINER = (
    '[[part]]\nname = "lining"\nplace = "liner"\nalloy = "silver-925"\nthickness_mm = 0.5\n'
    "gap_mm = 0.03\n"
)
REED = (
    '[[part]]\nname = "reed"\nplace = "channel"\nalloy = "gold-750-green"\nwidth_mm = 1.4\n'
    "depth_mm = 0.8\ngap_mm = 0.04\n"
)
WAVING = REED + "wave = { amplitude_mm = 0.4, count = 6 }\n"
MARK = '\n[[engraving]]\nkind = "mark"\nwhich = "maker"\nwidth_mm = 2.0\nheight_mm = 1.0\n'
DOMED = 'outside = { form = "domed", rise_mm = 0.5 }'
SQUARE = {"file": "square.svg"}


def of(job: rg.Job) -> dict[str, Finding]:
    return {f.code: f for f in job.findings if f.key and f.key[0] == "engraving"}


CASES: tuple[tuple[str, str, str, str, str, float | None], ...] = (
    # code, level, ring, what brings it, what cures it, value
    ("figure-cannot-be-drawn", "stop", "", motif(file="none.svg"), motif(), None),
    ("figure-cannot-be-drawn", "stop", "", motif(file="crossed.svg"), motif(), None),
    ("figure-cannot-be-drawn", "stop", "", motif(file="leaf.png"), motif(), None),
    (
        "figure-cannot-be-drawn",
        "stop",
        "",
        motif(count=5, mirrored="round"),
        motif(count=6, mirrored="round"),
        None,
    ),
    ("figure-cannot-be-drawn", "stop", "", motif(follows="reed"), motif(), None),
    (
        "figure-cannot-be-drawn",
        "stop",
        "",
        pattern("rope", width_mm=1.0),
        pattern("rope", width_mm=2.2),
        None,
    ),
    (
        "figure-cannot-be-drawn",
        "stop",
        "",
        pattern("milgrain", centre_mm=2.0, width_mm=3.0),
        pattern("milgrain", centre_mm=1.0, width_mm=3.0),
        None,
    ),
    ("runs-off-face", "stop", "", motif(**SQUARE, centre_mm=2.6), motif(**SQUARE), 3.1),
    (
        "on-edge-rounding",
        "warn",
        "edge_mm = 0.3",
        motif(**SQUARE, centre_mm=2.4),
        motif(**SQUARE, centre_mm=2.1),
        2.9,
    ),
    (
        "copies-run-together",
        "warn",
        "",
        motif(**SQUARE, count=40, height_mm=1.0),
        motif(**SQUARE, count=20, height_mm=1.0),
        0.0,
    ),
    (
        "figure-fitted",
        "note",
        "",
        pattern("milgrain"),
        pattern("hammered"),
        None,
    ),
    (
        # 2 x 1 mm of letters' own room: the motif lies on the stem of an H
        "engravings-overlap",
        "stop",
        "",
        engraving(text="H", font="bold", height_mm=3.0, on="outside") + motif(**SQUARE),
        engraving(text="H", font="bold", height_mm=3.0, on="outside") + motif(**SQUARE, at="6:00"),
        None,
    ),
    (
        "engravings-overlap",
        "warn",
        "",
        MARK + motif(**SQUARE, on="inside"),
        MARK + motif(**SQUARE, on="inside", at="3:00"),
        2.0,
    ),
    (
        "thin-cut",
        "warn",
        "",
        pattern("hatch", line_mm=0.05),
        pattern("hatch", line_mm=0.2),
        0.05,
    ),
    (
        "thin-cut",
        "note",
        "",
        motif(file="blade.svg", count=3),
        motif(**SQUARE),
        None,
    ),
    (
        "thin-between",
        "warn",
        "",
        motif(**SQUARE, count=33, length_mm=2.0),
        motif(**SQUARE, count=20, length_mm=2.0),
        (54 + 4 * pi) / 33 - 2.0,
    ),
    (
        "thin-under-letters",
        "warn",
        LINER,
        motif(**SQUARE, on="inside", depth_mm=0.05),
        motif(**SQUARE, depth_mm=0.05),
        0.42,
    ),
    (
        # 0.47 mm less the deepest facet
        "thin-under-letters",
        "stop",
        LINER,
        pattern("hammered", on="inside", least_depth_mm=0.2, most_depth_mm=0.2),
        pattern("hammered", least_depth_mm=0.2, most_depth_mm=0.2),
        0.27,
    ),
    (
        "letters-over-joint",
        "warn",
        REED,
        motif(**SQUARE, centre_mm=0.7),
        motif(**SQUARE),
        None,
    ),
    (
        "letters-over-wave",
        "stop",
        WAVING,
        motif(**SQUARE, centre_mm=0.7),
        motif(**SQUARE, centre_mm=2.3),
        None,
    ),
    (
        "letters-fade",
        "warn",
        DOMED,
        motif(**SQUARE, height_mm=4.5, depth_mm=0.1, floor="flat"),
        motif(**SQUARE, height_mm=4.5, depth_mm=0.1),
        None,
    ),
)
ELSEWHERE = {"thin-under-letters", "letters-over-joint", "letters-over-wave", "letters-fade"}
"""Of the file that tells of lettering too."""


@pytest.mark.parametrize(
    ("code", "level", "ring", "ill", "cured", "value"),
    CASES,
    ids=[f"{case[0]}-{n}" for n, case in enumerate(CASES)],
)
def test_finding(
    code: str, level: str, ring: str, ill: str, cured: str, value: float | None, tmp_path: Path
) -> None:
    rest, keys = ("", ring) if "[[" not in ring else (ring, "")
    found = of(job_in(tmp_path, rest + ill, keys))
    assert found[code].level == level
    assert found[code].text
    assert found[code].fix
    if value is not None:
        # thin places are told within spacing^2 / 4 d = 5 um, distances within 1 um
        assert found[code].value == pytest.approx(value, abs=6e-3)
    assert code not in of(job_in(tmp_path, rest + cured, keys))


def test_every_rule_is_tried_here() -> None:
    modules = (on_figures, on_figure_places, on_figure_lines)
    source = "".join(Path(str(module.__file__)).read_text("utf-8") for module in modules)
    lines = re.findall(r"code=(.*?),\n", source)
    codes = {code for line in lines for code in re.findall(r'"(.*?)"', line)}
    assert codes == {case[0] for case in CASES} - ELSEWHERE


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (pattern("leaves"), "nearest: vine"),
        (pattern("hatch", depth_mm=9), "engraving 1.depth_mm (line 15): out of range"),
        (pattern("hatch", bead_mm=1), "unknown key"),
        ('\n[[engraving]]\nkind = "pattern"\n', "the key pattern is missing"),
        (motif(height_mm=1.0, length_mm=1.0), "a motif has one size"),
        (motif(count=0), "out of range"),
        ('\n[[engraving]]\nkind = "motif"\n', "this key is missing"),
        ('\n[[engraving]]\nkind = "drawing"\n', "nearest: motif"),
    ],
)
def test_bad_keys_are_refused(asked: str, said: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        design_in(tmp_path, asked)
    assert said in str(refused.value)


def test_a_drawing_that_cannot_be_cut_is_told_with_its_line(tmp_path: Path) -> None:
    found = of(job_in(tmp_path, motif(file="crossed.svg")))["figure-cannot-be-drawn"]
    assert CROSSED.splitlines()[1].startswith("<path")
    assert "crossed.svg" in found.text
    assert "line 2" in found.text
    assert "crosses" in found.text


def test_drawings_are_read_by_the_commands_only(run: Callable[..., Any], tmp_path: Path) -> None:
    from ringgeom.page.latest import Latest
    from ringgeom.page.shop_desk import ShopDesk
    from ringgeom.page.view import view

    design_in(tmp_path, motif())
    told = run("weigh", tmp_path / "ring.toml")
    assert told.code == 0
    assert "motif leaf.svg" in told.out
    text = (tmp_path / "ring.toml").read_text("utf-8")
    for name in ("leaf.svg", str(tmp_path / "leaf.svg")):
        shown = view(text.replace("leaf.svg", name), (), Latest(ShopDesk(None, tmp_path)))
        assert shown["stopped"]
        assert any("by the commands only" in one["text"] for one in shown["findings"])


def test_a_folder_is_no_drawing(tmp_path: Path) -> None:
    (tmp_path / "sub.svg").mkdir()
    found = of(job_in(tmp_path, motif(file="sub.svg")))
    assert "there is no drawing" in found["figure-cannot-be-drawn"].text
    assert LEAF.startswith("<svg")
