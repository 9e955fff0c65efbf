"""What the page is told of a design: the command line's own numbers; text and remarks kept."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Callable
from io import BytesIO
from math import pi
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from page.pages import PLAIN, client, looked

import ringgeom as rg
from ringgeom.findings import Finding
from ringgeom.page.edits import Change, changed_text
from ringgeom.page.fixes import fixes


def test_the_numbers_are_those_of_weigh(
    design_file: Path, run: Callable[..., Any], tmp_path: Path
) -> None:
    text = design_file.read_text(encoding="utf-8")
    path = tmp_path / design_file.name
    path.write_text(text, encoding="utf-8")
    for drawing in design_file.parent.glob("*.svg"):
        (tmp_path / drawing.name).write_bytes(drawing.read_bytes())
    told = json.loads(run("weigh", path, "--json").out)
    shown = looked(client(tmp_path), text)
    assert shown["parts"] == told["parts"]
    assert shown["castings"] == told["castings"]
    assert [one["code"] for one in shown["findings"]] == [one["code"] for one in told["findings"]]


def test_faces_are_the_metal_of_the_section(tmp_path: Path) -> None:
    """Derived: a flat band's section is width x thickness; its faces share it out exactly."""
    shown = looked(client(tmp_path), PLAIN)
    area = {face["part"]: _area(face["loops"]) for face in shown["section"]["faces"]}
    # straight lines only: nothing but rounding of binary fractions
    assert area["line"] == pytest.approx(2.0 * 0.8, abs=1e-9)
    assert sum(area.values()) == pytest.approx(6.0 * 2.0, abs=1e-9)


def _area(loops: list[list[list[float]]]) -> float:
    return sum(
        abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(p, [*p[1:], p[0]], strict=True))) / 2
        for p in loops
    )


def test_the_outside_is_as_long_as_it_is_round(tmp_path: Path) -> None:
    """Derived: pi times 18 + 2 x 2 mm."""
    outside = looked(client(tmp_path), PLAIN)["outside"]
    assert outside["around_mm"] == pytest.approx(22 * pi, rel=1e-12)  # rounding alone
    names = [patch["part"] for patch in outside["patches"]]
    assert names == ["body", "line"]


@given(
    width=st.integers(10, 100).map(lambda n: n / 20),
    depth=st.integers(2, 30).map(lambda n: n / 20),
)
@settings(max_examples=15, deadline=None)
def test_a_changed_key_is_the_only_change(width: float, depth: float) -> None:
    text = changed_text(
        PLAIN,
        [
            Change(key=("part", 0, "width_mm"), value=width),
            Change(key=("part", 0, "depth_mm"), value=depth),
        ],
    )
    design = rg.design_from_text(text)
    assert (design.parts[0].width_mm, design.parts[0].depth_mm) == (width, depth)  # type: ignore[union-attr]
    for before, after in zip(PLAIN.splitlines(), text.splitlines(), strict=True):
        assert before == after or before.startswith(("width_mm = 2", "depth_mm = 0"))


def test_new_keys_domes_and_gaps_find_their_place() -> None:
    text = changed_text(
        PLAIN,
        [
            Change(key=("part", 0, "centre_mm"), value=0.15),
            Change(key=("part", 0, "gap_mm"), value=0.05),
            Change(key=("part", 0, "gap_mm", "side"), value=0.1),
            Change(key=("ring", "outside", "rise_mm"), value=0.3),
            Change(key=("part", 0, "wave", "amplitude_mm"), value=0.2),
            Change(key=("part", 0, "wave", "count"), value=5),
        ],
    )
    design = rg.design_from_text(text)
    (line,) = design.parts
    assert line.gap.side == 0.1
    assert line.gap.floor == 0.05
    assert design.ring.outside.rise_mm == 0.3
    assert text.rstrip().endswith("# a remark after")
    flat = changed_text(text, [Change(key=("ring", "outside", "rise_mm"), value=0)])
    assert rg.design_from_text(flat).ring.outside.form == "flat"


@pytest.mark.parametrize(
    ("key", "value"),
    [
        (["ring", "width_mm"], "wide"),
        (["ring", "width_mm"], -1),
        (["ring", "colour"], 3),
        (["part", 7, "width_mm"], 2.0),
        (["job", "name", "first"], 2.0),
        (["ring"], {"size": "US 7"}),
    ],
)
def test_a_bad_value_is_told_and_nothing_is_changed(
    tmp_path: Path, key: list[str | int], value: Any
) -> None:
    shown = looked(client(tmp_path), PLAIN, (key, value))
    assert shown["problems"]
    assert all(one["text"] for one in shown["problems"])
    assert "section" not in shown


def test_a_stopped_design_keeps_its_grips(tmp_path: Path) -> None:
    shown = looked(client(tmp_path), PLAIN, (["part", 0, "depth_mm"], 1.9))
    assert shown["stopped"]
    assert shown["section"]["faces"] == []
    assert {grip["name"] for grip in shown["section"]["grips"]} >= {"0 depth", "0 left"}
    (floor,) = [one for one in shown["findings"] if one["code"] == "thin-floor"]
    assert floor["mark"]["ends_mm"] is not None
    (fix,) = floor["fixes"]
    change = fix["change"]
    mended = looked(client(tmp_path), shown["text"], (change["key"], change["value"]))
    assert not mended["stopped"]
    assert "thin-floor" not in [one["code"] for one in mended["findings"]]


@pytest.mark.parametrize(
    ("fix", "key", "expected"),
    [
        ("deepest safe channel here: 1.13 mm", ("part", 0, "depth_mm"), 1.10),
        ("width_mm up to 6", ("part", 0, "width_mm"), 6.0),
        ("width_mm below 2.4", ("part", 0, "width_mm"), 2.35),
        ("count = 6", ("part", 0, "count"), 6),
        ("at least 0.8 mm", ("ring", "thickness_mm"), 0.8),
        ("width_mm = 1.93 or less for line", ("part", 3), 1.90),
        ('route = "wrap and seam": a strip', ("part", 0), "wrap and seam"),
    ],
)
def test_a_way_out_with_key_and_value_is_a_button(
    fix: str, key: tuple[str | int, ...], expected: Any
) -> None:
    """Lengths are rounded to 0.05 mm on the safe side of their limit."""
    finding = Finding(code="x", level="warn", text="", fix=fix, key=key)
    (found,) = fixes(finding, ["line"])
    assert found.change.value == expected


def test_words_without_a_value_are_no_button() -> None:
    finding = Finding(code="x", level="warn", text="", fix="a smaller gap", key=("part", 0))
    assert fixes(finding, ["line"]) == ()


def test_alloys_come_with_most_contrast_first(tmp_path: Path) -> None:
    answer = client(tmp_path).post("alloys", json={"text": PLAIN, "part": "line"}).json()
    assert answer["beside"] == ["gold-750-yellow-3n"]
    apart = [one["delta_e"] for one in answer["alloys"]]
    assert apart == sorted(apart, reverse=True)
    assert [one["name"] for one in answer["alloys"] if one["now"]] == ["gold-750-white-pd-20"]


def test_the_zip_holds_what_make_writes(
    designs: Path, made_of: Callable[[Path], Path], tmp_path: Path
) -> None:
    path = designs / "heron.toml"
    sent = {"text": path.read_text(encoding="utf-8"), "what": "all"}
    answer = client(tmp_path).post("take", json=sent)
    with zipfile.ZipFile(BytesIO(answer.content)) as pack:
        found = {name: pack.read(name) for name in pack.namelist()}
    written = {f"heron/{p.relative_to(made_of(path))}": p for p in made_of(path).rglob("*.*")}
    assert set(found) == {*written, "heron/heron.toml"}
    for name, file in written.items():
        assert found[name] == file.read_bytes()


def test_solids_are_closed_and_their_normals_look_outwards(tmp_path: Path) -> None:
    import numpy as np

    answer = client(tmp_path).post("ring", json={"text": PLAIN, "quick": True})
    size = int.from_bytes(answer.content[:4], "little")
    head = json.loads(answer.content[4 : 4 + size])
    start = 4 + size
    shown = looked(client(tmp_path), PLAIN)
    for part, weighed in zip(head["parts"], shown["parts"], strict=True):
        both = np.frombuffer(answer.content, "<f4", 6 * part["corners"], start)
        start += both.nbytes
        corners, normals = both.reshape(2, -1, 3).astype(float)
        triangles = corners.reshape(-1, 3, 3)
        faces = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
        volume = (triangles[:, 0] * faces).sum() / 6
        # a chord of 0.05 mm on a radius of 9 mm loses a part in a hundred and fifty at most
        assert volume == pytest.approx(weighed["volume_mm3"], rel=0.02)
        assert (np.einsum("ij,ikj->ik", faces, normals.reshape(-1, 3, 3)) >= -1e-6).all()
    assert start == len(answer.content)


def test_under_the_hand_letters_wait(designs: Path, tmp_path: Path) -> None:
    """While it moves, a ring weighs what it does before engraving; then what `weigh` says."""
    text = (designs / "wren.toml").read_text(encoding="utf-8")
    page = client(tmp_path)
    sent = {"text": text, "changes": [{"key": ["ring", "thickness_mm"], "value": 2.0}]}
    moving = page.post("look", json=sent | {"trying": True}).json()
    resting = page.post("look", json=sent).json()
    job = rg.job(rg.design_from_text(resting["text"]))
    assert resting["ring"]["finished_g"] == pytest.approx(job.finished_g, rel=1e-12)
    assert {key: moving["design"][key] for key in ("ring", "engraving")} == {
        key: resting["design"][key] for key in ("ring", "engraving")
    }
    assert moving["outside"]["letters"] is None
    assert resting["outside"]["letters"]
    for before, after, part in zip(moving["parts"], resting["parts"], job.parts, strict=True):
        assert before["volume_mm3"] == pytest.approx(
            after["volume_mm3"] + part.engraved_mm3, rel=1e-12
        )
    assert any(part.engraved_mm3 > 1 for part in job.parts)
