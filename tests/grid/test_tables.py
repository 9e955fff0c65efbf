"""The rows of a grid in files and in the terminal: complete, streamed, whole or not there."""

from __future__ import annotations

import csv
import io
import json
import resource
import subprocess
import tracemalloc
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from typing import Any

import pytest
from grid.many_designs import design_named

import ringgeom as rg
from ringgeom.errors import OutputError
from ringgeom.grid import Grid, LaidSection, Row, Weighed, grid_asked
from ringgeom.grid.tally import MOST_GROUPS, MOST_SINGLE, Tally
from ringgeom.output.grid_file import write_grid
from ringgeom.output.grid_table import grid_csv
from ringgeom.output.json_grid import grid_json

Run = Callable[..., Any]

AXES: dict[str, Any] = {
    "sizes": "US 5, 8, 15, 17",
    "widths": "2, 6",
    "alloys": ["reed=silver-925", "reed=Au 75 Ag 25"],
}
"""A size past its scale, one that is questioned, a width below the inlay's, two alloys."""


def heron(**axes: Any) -> Grid:
    design = design_named("heron")
    return Grid(design=design, shop=rg.Shop(), asked=grid_asked(design, **axes))


def quiet(step: str) -> None:
    """Nobody watches."""


# CSV


def lines(many: Grid) -> list[dict[str, str]]:
    text = b"".join(grid_csv(many, many.rows())).decode("utf-8")
    assert text.endswith("\r\n")
    return list(csv.DictReader(io.StringIO(text)))


def test_every_row_is_a_line() -> None:
    many = heron(**AXES)
    table, rows = lines(many), list(many.rows())
    assert len(table) == len(rows) == 16
    for line, row in zip(table, rows, strict=True):
        assert None not in line
        assert line["row"] == str(row.number)
        assert line["size"] == row.size
        assert line["reed alloy"] == row.alloys[0]
        assert line["level"] == row.level
        assert line["reason"] == row.reason
        assert line["codes"].split() == list(dict.fromkeys(mark.code for mark in row.marks))
        if row.stopped:
            assert line["level"] == "stop"
            assert line["reason"]
            assert not any(line[key] for key in line if key.endswith(("_g", "mm3")))
            continue
        # written to 4 decimals
        assert float(line["ring mm3"]) == pytest.approx(row.volume_mm3, abs=5.1e-5)
        assert float(line["finished_g"]) == pytest.approx(row.finished_g, abs=5.1e-5)
        assert float(line["melt_g"]) == pytest.approx(row.melt_g, abs=5.1e-5)
        for number, one in enumerate(row.castings, start=1):
            assert line[f"melt {number}"] == one.alloy
            assert float(line[f"melt {number} melt_g"]) == pytest.approx(one.melt_g, abs=5.1e-5)
            parts = ("as_cast_g", "sprue_g", "button_g", "loss_g")
            added = sum(float(line[f"melt {number} {part}"]) for part in parts)
            assert added == pytest.approx(one.melt_g, abs=4 * 5.1e-5)
    assert {line["level"] for line in table} == {"stop", "warn"}


def test_a_size_past_its_scale_is_a_row_with_its_reason() -> None:
    past = [line for line in lines(heron(**AXES)) if line["size"] == "US 17"]
    assert len(past) == 4
    for line in past:
        assert line["bore_mm"] == ""
        assert line["codes"] == "unreadable"
        assert "US 0 to US 16" in line["reason"]


def test_a_width_below_the_places_sum_is_a_row_with_its_reason() -> None:
    narrow = [line for line in lines(heron(**AXES)) if line["width_mm"] == "2"]
    assert all(line["level"] == "stop" for line in narrow)
    assert "the inlay is 2.4 mm wide, the band 2 mm" in narrow[0]["reason"]


def test_a_band_that_is_no_design_is_a_row_with_its_reason() -> None:
    """A stripe that would end before it begins; a width no band has."""
    design = design_named("saltmarsh")
    asked = grid_asked(design, widths="2, 6.6, 99")
    rows = list(Grid(design=design, shop=rg.Shop(), asked=asked).rows())
    assert [row.stopped for row in rows] == [True, False, True]
    assert "must be less than to_mm" in rows[0].reason
    assert "ring.width_mm: out of range" in rows[2].reason


# JSON


def strictly(text: str) -> Any:
    def refuse(word: str) -> None:
        raise AssertionError(word)

    return json.loads(text, parse_constant=refuse)


def test_json_has_every_number_unrounded() -> None:
    many, tally = heron(**AXES), Tally()
    data = strictly("".join(grid_json(many, tally.passing(many.rows()), tally)))
    assert data["schema"] == "ringgeom/1"
    assert data["job"]["name"] == "Heron"
    assert data["grid"]["rows"] == len(data["rows"]) == 16
    assert rg.Design.model_validate_json(json.dumps(data["job"]["design"])) == many.design
    for one, row in zip(data["rows"], many.rows(), strict=True):
        assert one["row"] == row.number
        assert one["inside_diameter_mm"] == row.bore_mm
        assert [part["name"] for part in one["parts"]] == ["reed", "body"]
        assert [casting["melt_g"] for casting in one["castings"]] == [
            casting.melt_g for casting in row.castings
        ]
        assert (one["melt_g"] is None) == row.stopped
        assert one["level"] == row.level
        levels = [finding["level"] for finding in one["findings"]]
        assert levels == sorted(levels, key=["stop", "warn", "note"].index)
        assert all(f["text"] for f in one["findings"] if f["level"] != "note")
    summary = data["summary"]
    assert summary["rows"] == 16
    assert summary["stopped"] == sum(row["level"] == "stop" for row in data["rows"])
    for rule in summary["broken"]:
        first = data["rows"][rule["first_row"] - 1]
        assert rule["code"] in {finding["code"] for finding in first["findings"]}
        held = [{f["code"] for f in row["findings"]} for row in data["rows"]]
        assert rule["rows"] == sum(rule["code"] in codes for codes in held)


# A column that is added, as a price would be


def gold_g(laid: LaidSection, weighed: Weighed) -> list[float | None]:
    """Grams of fine gold to melt, for every size."""
    shares = [one.alloy.recipe.normalised().percent("Au") / 100 for one in weighed.poured]
    melts = [one.melt_g for one in weighed.poured]
    together = sum(share * melt for share, melt in zip(shares, melts, strict=True))
    return [float(grams) for grams in together]


def test_a_column_follows_from_the_grams_of_every_alloy() -> None:
    design = design_named("heron")
    many = Grid(
        design=design,
        shop=rg.Shop(),
        asked=grid_asked(design, **AXES),
        further={"gold_g": gold_g},
    )
    for row, line in zip(many.rows(), lines(many), strict=True):
        if row.stopped:
            assert line["gold_g"] == ""
            continue
        job = rg.job(many.design_of(row.number))
        # 75 % of both alloys, or nothing of silver
        expected = sum(
            casting.flask.melt_g * casting.alloy.recipe.percent("Au") / 100
            for casting in job.castings
        )
        assert row.further["gold_g"] == pytest.approx(expected, rel=1e-9)
        assert float(line["gold_g"]) == pytest.approx(expected, abs=5.1e-5)


# Streaming


def test_rows_come_before_the_grid_is_done() -> None:
    """A million rows: for the first of them one width and thickness is laid out, of 451."""
    alloys = [f"reed=Au {n} Ag {100 - n}" for n in range(50, 90)]
    many = heron(
        sizes="US 4..13 by 1/16", widths="4..8 by 0.1", thicknesses="1.5..2.5 by 0.1", alloys=alloys
    )
    assert many.asked.rows > 1_000_000
    steps: list[str] = []
    assert len(list(islice(many.rows(told=steps.append), 300))) == 300
    assert steps == ["width and thickness 1 of 451"]


def test_rows_are_not_kept() -> None:
    """Memory after twelve widths is that after four: one section is held at a time."""
    many = heron(sizes="US 4..13 by 1/2", widths="5..6.1 by 0.1", thicknesses="1.9, 2.0")
    tally, held = Tally(), []
    tracemalloc.start()
    try:
        for row in tally.passing(many.rows()):
            if row.number in (152, 456):
                held.append(tracemalloc.get_traced_memory()[0])
    finally:
        tracemalloc.stop()
    assert tally.rows == 456
    # a section with its rows takes some 300 kB
    assert held[1] - held[0] < 1_000_000


# Files


def test_a_file_by_its_ending(tmp_path: Path, run: Run, designs: Path) -> None:
    asked = ("grid", designs / "heron.toml", "--sizes", "US 5, 6", "--out")
    assert run(*asked, tmp_path / "heron.csv").code == 0
    assert run(*asked, tmp_path / "heron.JSON").code == 0
    assert (tmp_path / "heron.csv").read_text("utf-8").startswith("row,size,bore_mm")
    assert len(strictly((tmp_path / "heron.JSON").read_text("utf-8"))["rows"]) == 2
    ran = run(*asked, tmp_path / "heron.xls")
    assert ran.code == 2
    assert f"nearest: {tmp_path / 'heron.csv'}" in ran.err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["heron.JSON", "heron.csv"]


def test_identical_input_gives_identical_bytes(tmp_path: Path) -> None:
    written = []
    for name in ("a.csv", "b.csv"):
        write_grid(heron(**AXES), tmp_path / name, Tally(), told=quiet)
        written.append((tmp_path / name).read_bytes())
    assert written[0] == written[1]


@pytest.mark.parametrize("out", ["/proc/x.csv", "/nowhere/x.csv", "/dev/full/x.csv"])
def test_a_place_that_cannot_be_written(run: Run, designs: Path, out: str) -> None:
    ran = run("grid", designs / "heron.toml", "--sizes", "US 5, 6", "--out", out)
    assert ran.code == 2
    assert ran.err.startswith(f"nothing was written: {out} cannot be written")


def test_a_disk_that_fills_up(
    program: Path, environment: dict[str, str], designs: Path, tmp_path: Path
) -> None:
    """Really: no file may grow beyond 20 kB, and the table has 60. The old one stays whole."""
    old = tmp_path / "heron.csv"
    old.write_text("mine")
    asked = ("--sizes", "US 4..13 by 1/8", "--widths", "5..7", "--out", str(old))
    done = subprocess.run(
        [str(program), "grid", str(designs / "heron.toml"), *asked],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, 20_000)),
    )
    assert done.returncode == 2, done
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("nothing was written: ")
    assert old.read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["heron.csv"]


def test_an_interruption_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = next(iter(heron(**AXES).rows()))

    def interrupted(self: Grid, *, told: Any) -> Any:
        yield first
        raise KeyboardInterrupt

    (tmp_path / "heron.csv").write_text("mine")
    monkeypatch.setattr(Grid, "rows", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_grid(heron(**AXES), tmp_path / "heron.csv", Tally(), told=quiet)
    assert (tmp_path / "heron.csv").read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["heron.csv"]


def test_a_folder_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "heron.csv").mkdir()
    with pytest.raises(OutputError, match="cannot be written"):
        write_grid(heron(sizes="US 5"), tmp_path / "heron.csv", Tally(), told=quiet)
    assert [path.name for path in tmp_path.iterdir()] == ["heron.csv"]


# In the terminal


def test_a_small_grid_is_told_row_by_row(run: Run, designs: Path) -> None:
    ran = run("grid", designs / "heron.toml", "--sizes", "US 5..8", "--widths", "2, 6")
    assert ran.code == 0
    said = ran.out.splitlines()
    assert said[0].startswith("Heron: 8 rings, 4 sizes x 2 widths")
    assert sum(line.startswith(tuple("12345678")) for line in said) == 9
    assert "4 can be made, 4 of them with a warning; 4 cannot" in said
    assert any(line.startswith("STOP  inlay-too-wide: ") for line in said)
    # as with one ring
    job = rg.job(rg.read_design(designs / "heron.toml"))
    (row,) = [line for line in said if line.startswith("7 ")]
    assert f" {job.finished_g:.2f} " in row
    assert all(f"{one.flask.melt_g:.2f} {one.alloy.name}" in row for one in job.castings)


def test_a_large_grid_is_told_in_groups(run: Run, designs: Path, tmp_path: Path) -> None:
    asked = ("grid", designs / "heron.toml", "--sizes", "US 5..8 by 1/4", "--widths")
    ran = run(*asked, "4..7 by 0.1")
    groups = [line for line in ran.out.splitlines() if "US 5 to US 8" in line]
    assert len(groups) == MOST_GROUPS
    assert f"and {31 - MOST_GROUPS} more groups" in ran.out
    assert "--out FILE.csv" in ran.out
    assert len(ran.out.splitlines()) < MOST_GROUPS + 20
    out = tmp_path / "all.csv"
    assert f"all 403 rows are in {out}" in run(*asked, "4..7 by 0.1", "--out", out).out


def test_json_goes_to_the_screen_or_the_file(run: Run, designs: Path, tmp_path: Path) -> None:
    asked = ("grid", designs / "heron.toml", "--sizes", "US 5, 6", "--json")
    assert len(strictly(run(*asked).out)["rows"]) == 2
    out = tmp_path / "heron.csv"
    data = strictly(run(*asked, "--out", out).out)
    assert (data["schema"], data["file"], data["rows"]) == ("ringgeom/1", str(out), 2)


def test_how_it_ends(run: Run, designs: Path, tmp_path: Path) -> None:
    heron_file = designs / "heron.toml"
    assert run("grid", heron_file, "--widths", "2, 6").code == 0
    all_stopped = run("grid", heron_file, "--widths", "2, 2.2")
    assert all_stopped.code == 1
    assert "0 can be made" in all_stopped.out
    for bad in (["--widths", "x"], [], ["--sizes", "US 17"], ["--alloy", "x=y"]):
        for json_too in ([], ["--json"]):
            ran = run("grid", heron_file, *bad, *json_too)
            assert ran.code == 2
            assert "nothing was written" in ran.err
            if json_too:
                assert strictly(ran.out)["problems"]
    assert run("grid", tmp_path / "none.toml", "--sizes", "US 5").code == 2


def test_a_tally_of_few_and_of_many() -> None:
    def row(number: int, level: str) -> Row:
        return Row(
            number=number, size="US 5", bore_mm=16.0, width_mm=float(number // 50),
            thickness_mm=2.0, alloys=("silver-925",), volumes_mm3=(), castings=(), marks=(),
            further={},
        )  # fmt: skip

    few, many = Tally(), Tally()
    assert len(list(few.passing(row(n, "") for n in range(MOST_SINGLE)))) == MOST_SINGLE
    assert len(few.single) == MOST_SINGLE
    for _ in many.passing(row(n, "") for n in range(2000)):
        pass
    assert many.single == []
    assert (len(many.groups), many.more_groups) == (MOST_GROUPS, 40 - MOST_GROUPS)
    assert (many.groups[1].first, many.groups[1].last) == (50, 99)
