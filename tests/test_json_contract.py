"""The JSON that scripts depend on: its keys, its units, and that its sums close."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]

TOP = {
    "schema",
    "job",
    "ring",
    "parts",
    "castings",
    "melts",
    "colours",
    "contrasts",
    "findings",
}
RING = {
    "asked",
    "inside_diameter_mm",
    "circumference_mm",
    "outside_diameter_mm",
    "volume_mm3",
}
PART = {
    "name",
    "alloy",
    "density_g_cm3",
    "density_from",
    "volume_mm3",
    "volume_by",
    "finished_g",
    "as_cast_g",
    "pattern_scale",
    "uncertainty_g",
}
CASTING = {
    "alloy",
    "parts",
    "parts_g",
    "sprue_g",
    "button_g",
    "loss_g",
    "melt_g",
    "returns_g",
}
MELT = {
    "alloy",
    "melt_g",
    "take",
    "fineness_permille",
    "worst_permille",
    "possible",
    "missing",
    "left",
    "excluded",
}
FINDING = {"code", "level", "part", "value", "limit", "unit", "text", "fix"}

FLOAT = 1e-12
"""Relative; the same sums in another order."""


def strictly(text: str) -> Any:
    """JSON as the standard has it: no NaN, no Infinity, no key twice."""

    def no_constant(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        assert len(dict(pairs)) == len(pairs), f"a key twice: {pairs}"
        return dict(pairs)

    return json.loads(text, parse_constant=no_constant, object_pairs_hook=once)


def numbers(node: Any, key: str = "") -> Iterator[tuple[str, float]]:
    """Every number with the key it stands under."""
    if isinstance(node, dict):
        for inner, value in node.items():
            yield from numbers(value, inner)
    elif isinstance(node, list):
        for value in node:
            yield from numbers(value, key)
    elif isinstance(node, int | float) and not isinstance(node, bool):
        yield key, node


@pytest.fixture
def data(run: Run, design_file: Path) -> dict[str, Any]:
    ran = run("weigh", design_file, "--json")
    assert ran.code == 0
    return dict(strictly(ran.out))


def test_the_keys_are_there(data: dict[str, Any]) -> None:
    assert data["schema"] == "ringgeom/1"
    assert set(data) >= TOP
    assert set(data["ring"]) >= RING
    for name, keys in (
        ("parts", PART),
        ("castings", CASTING),
        ("melts", MELT),
        ("findings", FINDING),
    ):
        assert data[name]
        for one in data[name]:
            assert set(one) >= keys, name
    assert all(set(take) >= {"from", "grams"} for melt in data["melts"] for take in melt["take"])


def test_words_and_numbers_are_of_their_kind(data: dict[str, Any]) -> None:
    for key, number in numbers(data):
        assert math.isfinite(number), key
        # gaps and pressed parts are signed; so are a finding's own figures
        if key.endswith(("_g", "_mm3", "_g_cm3", "_permille", "_percent")):
            assert number >= 0, key
    for one in (data["ring"], *data["parts"], *data["castings"], *data["melts"]):
        for key, value in one.items():
            # a base metal has no fineness
            if key.endswith(("_mm", "_mm3", "_g", "_g_cm3", "_percent")):
                assert isinstance(value, float), (key, value)
    for part in data["parts"]:
        assert part["density_from"] in ("recipe", "measured", "given")
        assert part["volume_by"] in ("closed form", "quadrature", "mesh")
        assert part["pattern_scale"] >= 1
    for finding in data["findings"]:
        assert finding["level"] in ("warn", "note")
        assert finding["text"]
        assert finding["fix"]
        assert finding["unit"] or finding["value"] is None
    assert all(isinstance(melt["possible"], bool) for melt in data["melts"])


def test_the_parts_and_castings_are_the_same_ring(data: dict[str, Any]) -> None:
    parts = {part["name"]: part for part in data["parts"]}
    assert len(parts) == len(data["parts"])
    cast = [name for casting in data["castings"] for name in casting["parts"]]
    assert sorted(cast) == sorted(parts)
    for casting in data["castings"]:
        ours = [parts[name] for name in casting["parts"]]
        assert {part["alloy"] for part in ours} == {casting["alloy"]}
        assert casting["parts_g"] == pytest.approx(sum(p["as_cast_g"] for p in ours), rel=FLOAT)
    assert [melt["alloy"] for melt in data["melts"]] == [c["alloy"] for c in data["castings"]]


def test_the_sums_close(data: dict[str, Any]) -> None:
    """Derived: mass = volume x density; charge = castings + sprue + button + loss."""
    for part in data["parts"]:
        grams = part["volume_mm3"] * part["density_g_cm3"] / 1000
        assert part["finished_g"] == pytest.approx(grams, rel=FLOAT)
    ring = data["ring"]
    assert ring["volume_mm3"] == pytest.approx(
        sum(part["volume_mm3"] for part in data["parts"]), rel=FLOAT
    )
    assert ring["circumference_mm"] == pytest.approx(
        math.pi * ring["inside_diameter_mm"], rel=FLOAT
    )
    for casting, melt in zip(data["castings"], data["melts"], strict=True):
        returns = casting["sprue_g"] + casting["button_g"]
        assert casting["returns_g"] == pytest.approx(returns, rel=FLOAT)
        charge = casting["parts_g"] + returns + casting["loss_g"]
        assert casting["melt_g"] == pytest.approx(charge, rel=FLOAT)
        assert melt["melt_g"] == casting["melt_g"]
        taken = sum(take["grams"] for take in melt["take"])
        assert taken - melt["zinc_fume_g"] == pytest.approx(melt["poured_g"], rel=FLOAT)
        # at least what is wanted, and at most two steps of the balance for each metal more
        step = data["shop"]["melt"]["balance_g"]
        assert melt["melt_g"] - step <= melt["poured_g"]
        assert melt["poured_g"] <= melt["melt_g"] + 2 * step * len(melt["take"])
        for symbol, percent in melt["made"].items():
            held = sum(t["grams"] * t["recipe"].get(symbol, 0) / 100 for t in melt["take"])
            lost = melt["zinc_fume_g"] if symbol == "Zn" else 0.0
            assert held - lost == pytest.approx(melt["poured_g"] * percent / 100, rel=1e-9)
        if melt["wanted_permille"] is not None and melt["wanted_permille"] < 999:
            assert melt["worst_permille"] >= melt["wanted_permille"] - 1e-9
            assert melt["fineness_permille"] >= melt["worst_permille"]


def test_contrasts_colours_and_marks_are_told(data: dict[str, Any]) -> None:
    for one in data["contrasts"]:
        assert {"between", "delta_e_00_d65", "delta_e_00_a", "verdict", "uncertain"} <= set(one)
        ways = [tuple(way["finishes"]) for way in one["finishes"]]
        assert ways[0] == ("polished", "polished")
        assert len(set(ways)) == 4
        assert all(
            "estimate" in way["basis"] for way in one["finishes"] if "brushed" in way["finishes"]
        )
        assert one["words"]
    for one in data["colours"]:
        assert one["trust_words"]
        assert one["band_de00"] > 0
        assert 0 <= min(one["linear_rgb"]) <= max(one["linear_rgb"]) <= 1
    assert {one["region"] for one in data["marks"]} == {"uk", "us", "convention", "iso"}
    assert all("assay office" in one["proposal"] for one in data["marks"])
    assert all(one["source"] for one in data["cautions"])


def test_the_program_and_the_settings_are_told(data: dict[str, Any]) -> None:
    """A job read again in five years must say by which numbers it was made."""
    assert data["shop"]["casting"]["button_percent"] == 50.0
    assert data["shop"]["mesh"]["chord_mm"] == 0.005
    assert data["program"].startswith("ringgeom ")


def test_the_design_in_it_reads_back(run: Run, design_file: Path) -> None:
    """What was asked is all there: made again from the JSON alone, it is the same ring."""
    from ringgeom.design import Design

    asked = strictly(run("weigh", design_file, "--json").out)["job"]["design"]
    import ringgeom as rg

    design = rg.read_design(design_file)
    # drawings are looked for beside the design file
    assert Design.model_validate_json(json.dumps(asked)).files_of(design) == design


def test_findings_have_their_place_and_line(run: Run, design_file: Path) -> None:
    """The line is the one in the file on which the key stands."""
    lines = design_file.read_text("utf-8").splitlines()
    for finding in strictly(run("check", design_file, "--json").out)["findings"]:
        if not finding["where"] or finding["line"] is None:
            continue
        line = lines[finding["line"] - 1]
        key = finding["where"].split(".")[-1]
        assert line.startswith((key, f"[[{key.split()[0]}]]", f"[{key}]"))


def test_a_stopped_ring_has_the_same_keys(run: Run, designs: Path, tmp_path: Path) -> None:
    path = tmp_path / "deep.toml"
    text = (designs / "heron.toml").read_text("utf-8")
    path.write_text(text.replace("depth_mm = 0.8", "depth_mm = 3.0"), "utf-8")
    for command in ("weigh", "check"):
        ran = run(command, path, "--json")
        assert ran.code == 1
        data = strictly(ran.out)
        assert set(data) >= TOP
        assert set(data["ring"]) >= RING
        assert data["parts"] == data["castings"] == data["melts"] == []
        assert data["findings"][0]["level"] == "stop"


def test_problems_have_their_keys_too(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("[job]\nnmae = 7\n")
    ran = run("weigh", tmp_path / "bad.toml", "--json")
    assert ran.code == 2
    data = strictly(ran.out)
    assert data["schema"] == "ringgeom/1"
    for problem in data["problems"]:
        assert set(problem) >= {"where", "line", "value", "text", "allowed", "nearest"}


def test_size(run: Run) -> None:
    data = strictly(run("size", "ISO 54", "--json").out)
    assert set(data) >= {"inside_diameter_mm", "circumference_mm", "labels"}
    # published: ISO 8653 numbers are the inside circumference in mm
    assert data["circumference_mm"] == pytest.approx(54.0, rel=FLOAT)
    assert data["labels"]["ISO 8653"] == "ISO 54"
    assert "North America" in data["labels"]
    assert set(data["labels"]) == set(data["residuals_mm"])


def test_a_refused_size_is_json_as_well(run: Run) -> None:
    ran = run("size", "banana", "--json")
    assert ran.code == 2
    (problem,) = strictly(ran.out)["problems"]
    assert "banana" in problem["value"]


def test_a_file_that_cannot_be_written_is_json_as_well(run: Run, designs: Path) -> None:
    """A script that asked for JSON gets JSON, whatever happens."""
    ran = run("make", "--no-pictures", designs / "heron.toml", "--json", "--out", "/dev/null")
    assert ran.code == 2
    (problem,) = strictly(ran.out)["problems"]
    assert "/dev/null" in problem["where"] + problem["text"]


def test_the_bench_tables_are_the_same_ring(data: dict[str, Any]) -> None:
    """Stack-ups add up, templates are the ring's own girth, strips hold every segment."""
    ring = data["ring"]
    for stack in data["stack"]:
        layers = stack["layers"]
        assert stack["thickness_mm"] == pytest.approx(
            sum(one["thickness_mm"] for one in layers), rel=FLOAT
        )
        assert layers[0]["from_diameter_mm"] >= ring["inside_diameter_mm"] - 1e-9
    outside, bore = data["templates"]
    assert bore["around_mm"] == pytest.approx(ring["circumference_mm"], rel=FLOAT)
    assert outside["to_mm"] - outside["from_mm"] == pytest.approx(ring["width_mm"], rel=FLOAT)
    names = {part["name"] for part in data["parts"]}
    for cut_list in data["cut_lists"]:
        pieces = sorted(n for strip in cut_list["strips"] for n in strip["pieces"])
        assert pieces == list(range(1, cut_list["count"] + 1))
        assert {f"{cut_list['place']} {number}" for number in pieces} <= names
        assert len(cut_list["start_deg"]) == cut_list["count"]
    assert {blank["part"] for blank in data["blanks"]} == names
    assert data["band"]["centre_mm"] == ring["thickness_mm"]
    for route in data["routes"]:
        assert route["words"]
        assert route["works"] in (True, False, None)
        assert bool(route["steps"]) <= bool(route["works"])
