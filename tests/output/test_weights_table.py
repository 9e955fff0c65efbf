"""weights.csv: opens in a spreadsheet, and agrees with the job to its last decimal."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest

import ringgeom as rg
from ringgeom.output.table import weights_csv

JobOf = Callable[[Path], rg.Job]

LAST_DIGIT = 0.5001e-4
"""Half of the fourth decimal that is written, and a hair for the binary fraction."""

ODD = """\
[job]
name = "Oak, ash & thorn"
[ring]
size = "US 7"
width_mm = 6.0
thickness_mm = 2.0
[body]
alloy = { name = 'The "old" one; à 3,5', Ag = 92.5, Cu = 7.5 }
[[part]]
name = "left, inner"
place = "channel"
alloy = { name = "Weide\\tgrün", Au = 75, Ag = 25 }
width_mm = 2.0
depth_mm = 0.8
"""


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def of_kind(text: str, kind: str) -> list[dict[str, str]]:
    return [row for row in rows(text) if row["row"] == kind]


def test_the_file_is_that_table(
    design_file: Path, job_of: JobOf, made_of: Callable[[Path], Path]
) -> None:
    content = (made_of(design_file) / "weights.csv").read_bytes()
    text = content.decode("utf-8")
    assert text == weights_csv(job_of(design_file))
    # RFC 4180: lines end with CR LF, the last one too
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n")
    assert len({len(line) for line in csv.reader(io.StringIO(text, newline=""))}) == 1


def test_it_agrees_with_the_job(design_file: Path, job_of: JobOf) -> None:
    job = job_of(design_file)
    text = weights_csv(job)
    told = of_kind(text, "part")
    assert [(r["name"], r["alloy"]) for r in told] == [(p.name, p.alloy.name) for p in job.parts]
    for row, part in zip(told, job.parts, strict=True):
        for key, value in (
            ("density_g_cm3", part.alloy.density_g_cm3),
            ("volume_mm3", part.volume_mm3),
            ("finished_g", part.finished_g),
            ("uncertainty_g", part.uncertainty_g),
            ("as_cast_g", part.as_cast_g),
            ("pattern_scale", part.scale.scale),
        ):
            assert float(row[key]) == pytest.approx(value, abs=LAST_DIGIT)
    melts = of_kind(text, "melt")
    assert [row["alloy"] for row in melts] == [c.alloy.name for c in job.castings]
    for row, casting in zip(melts, job.castings, strict=True):
        assert row["name"].split(" + ") == [part.name for part in casting.parts]
        for key in ("sprue_g", "button_g", "loss_g", "melt_g", "returns_g", "filings_g"):
            assert float(row[key]) == pytest.approx(getattr(casting.flask, key), abs=LAST_DIGIT)


def test_the_columns_add_up_as_written(design_file: Path, job_of: JobOf) -> None:
    """What somebody sums in a spreadsheet: n rounded figures are off by n half digits at most."""
    text = weights_csv(job_of(design_file))
    told, melts = of_kind(text, "part"), of_kind(text, "melt")
    (ring,) = of_kind(text, "ring")

    def total(some: list[dict[str, str]], key: str) -> float:
        return sum(float(row[key]) for row in some)

    slack = LAST_DIGIT * (len(told) + 1)
    for key in ("finished_g", "volume_mm3"):
        assert total(told, key) == pytest.approx(float(ring[key]), abs=slack)
    assert total(told, "finished_g") == pytest.approx(total(melts, "finished_g"), abs=slack)
    assert total(told, "as_cast_g") == pytest.approx(total(melts, "as_cast_g"), abs=slack)
    for row in melts:
        into = sum(float(row[key]) for key in ("as_cast_g", "sprue_g", "button_g", "loss_g"))
        out = sum(float(row[key]) for key in ("finished_g", "filings_g", "returns_g", "loss_g"))
        assert into == pytest.approx(float(row["melt_g"]), abs=5 * LAST_DIGIT)
        assert out == pytest.approx(float(row["melt_g"]), abs=5 * LAST_DIGIT)
        assert float(row["returns_g"]) == pytest.approx(
            float(row["sprue_g"]) + float(row["button_g"]), abs=3 * LAST_DIGIT
        )
    for row in told:
        # grams from the row's own figures: half a digit of either, times the other
        derived = float(row["volume_mm3"]) * float(row["density_g_cm3"]) / 1000
        slack = LAST_DIGIT * (1 + float(row["volume_mm3"]) / 1000 + 0.025)
        assert float(row["finished_g"]) == pytest.approx(derived, abs=slack)


def test_odd_names_stay_in_their_cells() -> None:
    job = rg.job(rg.design_from_text(ODD))
    assert not job.stopped
    told = of_kind(weights_csv(job), "part")
    assert [row["name"] for row in told] == ["left, inner", "body"]
    assert [row["alloy"] for row in told] == ["Weide\tgrün", 'The "old" one; à 3,5']


def test_no_figure_is_written_with_an_exponent(design_file: Path, job_of: JobOf) -> None:
    """Some spreadsheets take 1e-05 for text."""
    for row in rows(weights_csv(job_of(design_file))):
        for key, cell in row.items():
            if key.endswith(("_g", "_mm3", "_mm", "_g_cm3", "_scale")) and cell:
                assert cell.replace(".", "", 1).lstrip("-").isdigit(), (key, cell)
