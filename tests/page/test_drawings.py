"""Drawings on the page: those that lie beside the designs, by their plain name, and no other."""

from __future__ import annotations

from pathlib import Path

import pytest
from engraving.drawn import design_in, inlay, motif
from page.pages import client, looked

import ringgeom as rg


@pytest.fixture
def beside(tmp_path: Path) -> Path:
    """A folder with drawings, and a file that a page must not reach next to it."""
    folder = tmp_path / "designs"
    folder.mkdir()
    design_in(folder, "")
    (tmp_path / "leaf.svg").write_text((folder / "leaf.svg").read_text("utf-8"), "utf-8")
    return folder


def test_a_motif_inlay_is_weighed_and_drawn(beside: Path) -> None:
    design = design_in(beside, inlay(count=6) + motif(on="inside", height_mm=1.0))
    text = (beside / "ring.toml").read_text("utf-8")
    shown, job = looked(client(beside), text), rg.job(design)
    assert not shown["stopped"]
    assert [one["finished_g"] for one in shown["parts"]] == [p.finished_g for p in job.parts]
    (patch,) = [one for one in shown["outside"]["patches"] if one["part"] == "leaves"]
    assert len(patch["areas"]) >= 6
    assert {face["part"] for face in shown["section"]["faces"]} == {"leaves", "body"}


@pytest.mark.parametrize("quick", [False, True])
def test_its_solids_come(beside: Path, quick: bool) -> None:
    design_in(beside, inlay(count=6))
    text = (beside / "ring.toml").read_text("utf-8")
    answer = client(beside).post("/ring", json={"text": text, "quick": quick})
    assert answer.status_code == 200
    names = [name for name in ("leaves", "body") if f'"{name}"'.encode() in answer.content[:2000]]
    # under the hand the ring is shown without its inserts
    assert names == (["body"] if quick else ["leaves", "body"])


@pytest.mark.parametrize("name", ["../leaf.svg", "{folder}/leaf.svg", ".leaf.svg", "sub/leaf.svg"])
def test_no_other_file_is_read(beside: Path, name: str) -> None:
    for hidden in (".leaf.svg", "sub/leaf.svg"):
        (beside / hidden).parent.mkdir(exist_ok=True)
        (beside / hidden).write_text((beside / "leaf.svg").read_text("utf-8"), "utf-8")
    for rest in (inlay(file=name.format(folder=beside)), motif(file=name.format(folder=beside))):
        design_in(beside, rest)
        shown = looked(client(beside), (beside / "ring.toml").read_text("utf-8"))
        assert shown["stopped"]
        assert any("by the commands only" in one["text"] for one in shown["findings"])
