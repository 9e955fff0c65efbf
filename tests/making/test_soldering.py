"""The solder plan of whole rings: order, windows, seams, what opens at heat."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

import ringgeom as rg

DESIGNS = sorted((Path(__file__).parents[2] / "designs").glob("*.toml"))


@pytest.mark.parametrize("path", DESIGNS, ids=lambda path: path.stem)
def test_every_joint_is_in_the_plan_once(path: Path) -> None:
    job = rg.job(rg.read_design(path))
    found = job.bench().soldering
    assert found is not None
    # a strip that is wrapped in place has its own seam beside what joins two parts
    seams = [step for step in found.plan.steps if len(set(step.joint.between)) == 1]
    assert len(seams) == sum(part.route == "wrap and seam" for part in job.design.parts)
    steps = [step for step in found.plan.steps if step not in seams]
    assert len(steps) == len(job.joints)
    assert [step.heat for step in steps] == sorted(step.heat for step in steps)
    # filler is that of the joints, gap x area x factor
    assert sum(step.filler_mm3 for step in steps) == pytest.approx(
        sum(joint.filler_mm3 for joint in job.joints), rel=1e-9
    )
    for step in steps:
        if step.grade is not None and step.window_c is not None:
            assert step.window_c >= 0


def test_platinum_comes_first() -> None:
    job = rg.job(rg.read_design(Path(DESIGNS[0]).parent / "harbour.toml"))
    found = job.bench().soldering
    assert found is not None
    metals = [step.joint.metals for step in found.plan.steps]
    assert "platinum" in metals[0]
    solders = [step.grade.liquidus_c for step in found.plan.steps if step.grade]
    assert solders == sorted(solders, reverse=True)


def test_a_wrapped_strip_has_its_seam_first() -> None:
    text = (Path(DESIGNS[0]).parent / "heron.toml").read_text("utf-8")
    wrapped = text.replace("depth_mm = 0.8", 'depth_mm = 0.8\nroute = "wrap and seam"')
    job = rg.job(rg.design_from_text(wrapped))
    found = job.bench().soldering
    assert found is not None
    first = found.plan.steps[0]
    assert first.joint.name == "seam of reed"
    # derived: the strip's own section, 2.3 wide between its gaps and 0.75 deep under the dome
    assert first.joint.area_mm2 == pytest.approx(2.3 * 0.75, rel=0.05)


def heats(job: rg.Job) -> dict[str, int]:
    found = job.bench().soldering
    assert found is not None
    return {step.joint.name: step.heat for step in found.plan.steps}


def test_what_closes_together_is_one_heat() -> None:
    """Both platinum rails on their sleeve, then all faces of the planks between them."""
    folder = Path(DESIGNS[0]).parent
    found = heats(rg.job(rg.read_design(folder / "harbour.toml")))
    assert {heat for name, heat in found.items() if "plank" not in name} == {1}
    assert {heat for name, heat in found.items() if "plank" in name} == {2}
    split = (folder / "heron.toml").read_text("utf-8")
    split = split.replace("depth_mm = 0.8", 'depth_mm = 0.8\nroute = "split body"')
    # the inlay cannot be set after the halves are closed
    assert set(heats(rg.job(rg.design_from_text(split))).values()) == {1}
    # two halves are joined before the inlay that crosses them, silver beside gold or not
    crossing = (folder / "tideline.toml").read_text("utf-8")
    crossing = crossing.replace("to_mm = 0.0", "to_mm = 0.0\ngap_mm = 0.05")
    crossed = heats(rg.job(rg.design_from_text(crossing)))
    assert {heat for name, heat in crossed.items() if "foam" in name} == {2}
    assert {heat for name, heat in crossed.items() if "foam" not in name} == {1}


def test_a_seam_closed_in_its_place_is_limited_by_the_body() -> None:
    """Derived: sterling is solid to 802; less 30 C no 750 hard (830) flows, medium (765) does."""
    text = (Path(DESIGNS[0]).parent / "heron.toml").read_text("utf-8")
    text = text.replace("depth_mm = 0.8", 'depth_mm = 0.8\nroute = "wrap and seam"')
    job = rg.job(rg.design_from_text(text.replace("gold-750-yellow-3n", "silver-925")))
    found = job.bench().soldering
    assert found is not None
    assert {step.heat for step in found.plan.steps} == {1}
    for step in found.plan.steps:
        assert step.grade is not None
        assert step.grade.liquidus_c <= 802 - 30
        assert step.limits.parts_c == 802 - 30


def test_faces_between_segments_take_solder_too() -> None:
    """Derived: 8 flat faces of 1 x 6 on a liner, 0.05 outside and 21 / 22 of it at mid-height."""
    text = (
        '[job]\nname = "Wren"\n[ring]\nsize = "18 mm across"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[[part]]\nname = "liner"\nplace = "liner"\nalloy = "gold-750-yellow-3n"\n'
        'thickness_mm = 1.0\ngap_mm = 0.05\n[[part]]\nname = "brick"\nplace = "segments"\n'
        'alloys = ["gold-750-green", "gold-750-yellow-3n"]\ncount = 8\ngap_mm = 0.05\n'
    )
    job = rg.job(rg.design_from_text(text))
    (faces,) = (one for one in job.joints if one.kind == "segment face")
    assert faces.between == ("brick 1", "brick 2")
    assert faces.area_mm2 == pytest.approx(8 * 6 * 1.0, rel=1e-9)
    # the centroid of a section 1 high on 20 across, by Pappus, is at its middle: 10.5
    assert faces.gap_mm == pytest.approx(0.05 * 10.5 / 11, rel=1e-9)
    assert faces.filler_mm3 == pytest.approx(faces.gap_mm * 48 * 1.5, rel=1e-9)
    slanted = text.replace("count = 8", "count = 8\nslant_deg = 40")
    (leaning,) = (
        one for one in rg.job(rg.design_from_text(slanted)).joints if one.kind == "segment face"
    )
    # a radial face that leans by tan 40 outside leans by 10.5 / 11 of it at its middle
    lean = (1 + (math.tan(math.radians(40)) * 10.5 / 11) ** 2) ** 0.5
    assert leaning.area_mm2 == pytest.approx(48 * lean, rel=1e-9)


def test_a_plain_band_is_not_soldered() -> None:
    text = (
        '[job]\nname = "Wren"\n[ring]\nsize = "US 7"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[body]\nalloy = "silver-925"\n'
    )
    assert rg.job(rg.design_from_text(text)).bench().soldering is None


def test_a_silver_sleeve_opens_on_platinum() -> None:
    """0.141 mm on 20 mm at 700 K (computed in the facts for fine silver)."""
    text = (
        '[job]\nname = "Wren"\n[ring]\nsize = "18 mm across"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[body]\nalloy = "silver-1000"\n[[part]]\nname = "lining"\nplace = "liner"\n'
        'alloy = "platinum-1000"\nthickness_mm = 1.0\ngap_mm = 0.0\n'
    )
    found = rg.job(rg.design_from_text(text)).bench().soldering
    assert found is not None
    (opening,) = found.openings
    assert "opens by 0.141 mm" in opening.words
