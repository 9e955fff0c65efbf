"""Waxes of chosen rows: the same files as by themselves, several at a time, also on a cluster."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from grid.many_designs import design_named

import ringgeom as rg
from ringgeom.errors import InputError, OutputError
from ringgeom.grid import Grid, grid_asked
from ringgeom.output.grid_waxes import RowWaxes, rows_from_text, write_grid_waxes
from ringgeom.output.pack import write_waxes

Run = Callable[..., Any]
ROOT = Path(__file__).parents[2]


@pytest.fixture
def many() -> Grid:
    design = design_named("heron")
    asked = grid_asked(design, sizes="US 5, 7, 9", widths="2, 6", alloys=["reed=silver-925"])
    return Grid(design=design, shop=rg.Shop(), asked=asked)


def files(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_the_waxes_are_those_of_the_ring_by_itself(many: Grid, tmp_path: Path) -> None:
    steps: list[str] = []
    found = write_grid_waxes(many, (6, 4), tmp_path / "rows", told=steps.append)
    assert [(one.row, one.kind) for one in found] == [(6, "written"), (4, "written")]
    assert steps[-1] == "waxes of 2 of 2 rows"
    assert sorted(path.name for path in (tmp_path / "rows").iterdir()) == [
        "heron-row-4",
        "heron-row-6",
    ]
    alone = many.design_of(6)
    named = alone.model_copy(update={"job": alone.job.model_copy(update={"name": "Heron row 6"})})
    write_waxes(rg.job(named), tmp_path / "alone")
    mine, other = (files(tmp_path / where / "heron-row-6") for where in ("rows", "alone"))
    assert mine == other
    assert json.loads(mine["job.json"])["ring"]["asked"] == "US 9"


def test_a_row_that_is_stopped_is_told_and_the_rest_written(many: Grid, tmp_path: Path) -> None:
    found = write_grid_waxes(many, (1, 5), tmp_path)
    assert [one.kind for one in found] == ["stopped", "written"]
    assert "2.4 mm wide, the band 2 mm" in found[0].said
    assert [path.name for path in tmp_path.iterdir()] == ["heron-row-5"]


def test_a_row_that_is_no_design_is_told_too(tmp_path: Path) -> None:
    design = design_named("heron")
    many = Grid(design=design, shop=rg.Shop(), asked=grid_asked(design, sizes="US 16, 17"))
    found = write_grid_waxes(many, (1, 2), tmp_path)
    assert [one.kind for one in found] == ["written", "stopped"]
    assert "US 0 to US 16" in found[1].said
    with pytest.raises(InputError, match="no such row"):
        write_grid_waxes(many, (1, 3), tmp_path)


def test_a_killed_worker_takes_nobody_with_it(many: Grid, tmp_path: Path) -> None:
    """The worker of row 4 is killed each time; the others are written all the same."""
    parent = os.getpid()

    def work(row: int, design: Any, shop: Any, out: str) -> RowWaxes:
        from ringgeom.output.grid_waxes import waxes_of_row

        if row == 4 and os.getpid() != parent:
            os.kill(os.getpid(), signal.SIGKILL)
        return waxes_of_row(row, design, shop, out)

    found = write_grid_waxes(many, (4, 5, 6), tmp_path, workers=2, work=work)
    assert [(one.row, one.kind) for one in found] == [
        (4, "failed"),
        (5, "written"),
        (6, "written"),
    ]
    assert "process that made it was stopped" in found[0].said
    assert sorted(path.name for path in tmp_path.iterdir()) == ["heron-row-5", "heron-row-6"]
    assert list(tmp_path.rglob(".part-*")) == []


@pytest.mark.parametrize("out", ["/proc/x", "/dev/full"])
def test_a_folder_that_cannot_be_written(many: Grid, out: str) -> None:
    """Told before anything is computed."""
    with pytest.raises(OutputError, match="cannot be written"):
        write_grid_waxes(many, (5,), out)


def test_a_folder_of_one_row_in_the_way(many: Grid, tmp_path: Path) -> None:
    (tmp_path / "heron-row-5").write_text("in the way")
    found = write_grid_waxes(many, (5, 6), tmp_path)
    assert [one.kind for one in found] == ["failed", "written"]
    assert "cannot be written" in found[0].said
    assert (tmp_path / "heron-row-5").read_text() == "in the way"


@pytest.mark.parametrize(
    ("text", "rows"),
    [("1,5,20..22", (1, 5, 20, 21, 22)), ("3; 3; 2", (3, 2)), ("1..9 by 4", (1, 5, 9))],
)
def test_rows_as_they_are_typed(text: str, rows: tuple[int, ...]) -> None:
    assert rows_from_text(text, 30) == rows


@pytest.mark.parametrize("text", ["0", "31", "1..31", "x", "1.5", "-2", "5..2", "", "1..", "½"])
def test_no_rows(text: str) -> None:
    with pytest.raises(InputError):
        rows_from_text(text, 30)


def test_the_command(run: Run, designs: Path, tmp_path: Path) -> None:
    asked = ("grid", designs / "heron.toml", "--sizes", "US 5, 7", "--widths", "2, 6", "--out")
    ran = run(*asked, tmp_path, "--wax", "3..4")
    assert ran.code == 0
    assert str(tmp_path / "heron-row-3") in ran.out
    assert run(*asked, tmp_path, "--wax", "1, 3").code == 1
    data = json.loads(run(*asked, tmp_path, "--wax", "4", "--json").out)
    assert [one["kind"] for one in data["waxes"]] == ["written"]
    table = tmp_path / "rows.csv"
    for out, rows in (("/proc/x", "3"), (tmp_path, "5"), (tmp_path, "x"), (table, "3")):
        ran = run(*asked, out, "--wax", rows)
        assert ran.code == 2
        assert "nothing was written" in ran.err
    assert not table.exists()


CLUSTER = """
import sys
from dataclasses import replace

import joblib
from dask.distributed import Client, LocalCluster, get_worker

import ringgeom as rg
from ringgeom.grid import Grid, grid_asked
from ringgeom.output.grid_waxes import waxes_of_row, write_grid_waxes

def work(*task):
    # only a worker of the cluster has an address
    return replace(waxes_of_row(*task), said=get_worker().address)

design = rg.read_design(sys.argv[1])
many = Grid(design=design, shop=rg.Shop(), asked=grid_asked(design, sizes="US 5..8"))
# threads of this process: nothing to start, no port to find
alone = {"n_workers": 2, "threads_per_worker": 1, "processes": False, "dashboard_address": None}
with LocalCluster(**alone) as cluster, Client(cluster):
    with joblib.parallel_config(backend="dask"):
        found = write_grid_waxes(many, (1, 2, 4), sys.argv[2], work=work)
print(*(f"{one.row} {one.kind} {one.said.split(':')[0]}" for one in found), sep=", ")
"""


def test_on_a_dask_cluster(designs: Path, tmp_path: Path, environment: dict[str, str]) -> None:
    """A local cluster writes the same bytes as this machine."""
    done = subprocess.run(
        [sys.executable, "-c", CLUSTER, str(designs / "heron.toml"), str(tmp_path / "cluster")],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    said = "1 written inproc, 2 written inproc, 4 written inproc"
    assert done.stdout.splitlines()[-1:] == [said], done.stderr
    design = design_named("heron")
    here = Grid(design=design, shop=rg.Shop(), asked=grid_asked(design, sizes="US 5..8"))
    write_grid_waxes(here, (1, 2, 4), tmp_path / "here", workers=1)
    assert files(tmp_path / "cluster") == files(tmp_path / "here")
