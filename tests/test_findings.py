"""Every finding: a ring that brings it, its number, and a fix that cures it."""

from __future__ import annotations

import re
from typing import Any

import pytest

import ringgeom as rg
from ringgeom.design import Design
from ringgeom.findings import Finding

OFF_RED = {"name": "Rust", "Au": 75, "Ag": 9, "Cu": 16}
LOOSE = {"remelt_percent": 100.0, "tolerance_permille": 60.0}
YELLOW, GREEN, SILVER = "gold-750-yellow-3n", "gold-750-green", "silver-925"


def design(*parts: dict[str, Any], body: Any = YELLOW, **ring: Any) -> Design:
    """A plain 6 x 2 band of US 7, changed as asked."""
    proud = ring.pop("proud_mm", 0.0)
    asked: dict[str, Any] = {
        "job": {"name": "Trial"},
        "ring": {"size": "US 7", "width_mm": 6.0, "thickness_mm": 2.0, **ring},
        "part": list(parts),
    }
    if body is not None:
        asked["body"] = {"alloy": body, "proud_mm": proud}
    return Design.model_validate(asked)


def channel(**keys: Any) -> dict[str, Any]:
    plain = {"name": "inlay", "place": "channel", "alloy": GREEN, "width_mm": 2.0, "depth_mm": 0.8}
    return plain | keys


def stripe(name: str, start: float, end: float, **keys: Any) -> dict[str, Any]:
    return {
        "name": name,
        "place": "stripe",
        "alloy": GREEN,
        "from_mm": start,
        "to_mm": end,
        **keys,
    }


def liner(thickness: float, **keys: Any) -> dict[str, Any]:
    return {
        "name": "lining",
        "place": "liner",
        "alloy": GREEN,
        "thickness_mm": thickness,
        **keys,
    }


def segments(**keys: Any) -> dict[str, Any]:
    return {
        "name": "piece",
        "place": "segments",
        "alloys": [GREEN, YELLOW],
        "count": 8,
        **keys,
    }


def dome(rise: float) -> dict[str, Any]:
    return {"form": "domed", "rise_mm": rise}


def recipe(name: str = "Own", **shares: float) -> dict[str, Any]:
    return {"name": name, **shares}


CASES: list[tuple[str, str, Design]] = [
    ("size-mixed-up", "stop", design(size="17.3 mm around")),
    ("size-mixed-up", "stop", design(size="54.4 mm across")),
    ("size-mixed-up", "warn", design(size="US 14")),
    ("wide-band", "note", design(width_mm=8.0)),
    ("under-its-mark", "warn", design(body=recipe("18k rose", Au=72, Cu=28))),
    ("recipe-sum", "stop", design(body=recipe(Au=18, Ag=3, Cu=3))),
    ("nickel-on-skin", "warn", design(liner(0.8, alloy="gold-750-white-ni-soft", gap_mm=0.05))),
    ("unlikely-finger", "warn", design(size="26.5 mm across")),
    ("size-note", "note", design(size="US 7.3")),
    ("looks-like-inches", "stop", design(width_mm=0.236)),
    ("looks-like-inches", "stop", design(thickness_mm=0.071)),
    ("too-small", "stop", design(width_mm=0.02)),
    ("unlikely-width", "warn", design(width_mm=16.0)),
    ("unlikely-thickness", "warn", design(thickness_mm=4.4)),
    ("unlikely-thickness", "warn", design(thickness_mm=0.7)),
    ("thin-band", "note", design(thickness_mm=1.6)),
    ("thin-band", "warn", design(thickness_mm=1.4)),
    ("thin-band", "warn", design(thickness_mm=1.55, body="platinum-950-ru")),
    ("solid-section", "note", design(thickness_mm=4.5)),
    ("dome-too-high", "stop", design(outside=dome(3.5), thickness_mm=4.0)),
    ("dome-larger-than-wall", "stop", design(outside=dome(1.2), inside=dome(1.0))),
    ("edge-rounding", "stop", design(edge_mm=1.3)),
    ("form-does-not-fit", "stop", design(outside={"form": "oval", "rise_mm": 3.5})),
    ("form-does-not-fit", "stop", design(inside={"form": "eased", "radius_mm": 3.2})),
    # 0.25 mm are left at mid-width, the sides whole
    ("form-does-not-fit", "stop", design(outside={"form": "concave", "dip_mm": 1.75})),
    (
        "dome-larger-than-wall",
        "stop",
        design(outside={"form": "stepped", "ledge_mm": 1.0, "drop_mm": 2.05}),
    ),
    (
        "edge-rounding",
        "stop",
        design(outside={"form": "stepped", "ledge_mm": 0.3, "drop_mm": 0.3}, edge_mm=0.4),
    ),
    ("sharp-ridge", "note", design(outside={"form": "knife-edge", "drop_mm": 0.5})),
    # 2.2 at the crests, 1.6 in the valley
    (
        "thin-band",
        "note",
        design(outside={"form": "twin-dome", "rise_mm": 0.6}, thickness_mm=2.2),
    ),
    # the floor lies 0.8 down, the ledges 1.0
    (
        "feather-edge",
        "stop",
        design(channel(width_mm=4.8), outside={"form": "stepped", "ledge_mm": 1.0, "drop_mm": 1.0}),
    ),
    # the walls end 0.2 from the risers, their feet 0.1 beyond them
    (
        "runs-out",
        "stop",
        design(
            channel(width_mm=3.6, undercut_mm=0.3),
            outside={"form": "stepped", "ledge_mm": 1.0, "drop_mm": 0.7},
        ),
    ),
    ("inlay-too-wide", "stop", design(channel(width_mm=6.5))),
    ("runs-out", "stop", design(channel(centre_mm=2.5))),
    ("runs-out", "stop", design(channel(wave={"amplitude_mm": 2.5, "count": 4}))),
    ("runs-out", "stop", design(stripe("side", -4, 0))),
    ("thin-inlay", "warn", design(channel(width_mm=0.8))),
    ("thin-inlay", "warn", design(channel(depth_mm=0.4))),
    ("thin-floor", "stop", design(channel(depth_mm=2.0))),
    ("thin-floor", "stop", design(channel(depth_mm=1.6))),
    ("thin-floor", "warn", design(channel(depth_mm=1.3))),
    ("thin-floor", "stop", design(channel(depth_mm=0.95), thickness_mm=1.5, inside=dome(0.6))),
    ("thin-floor", "warn", design(segments(depth_mm=1.3))),
    ("thin-rail", "stop", design(channel(width_mm=5.4))),
    ("thin-rail", "warn", design(channel(width_mm=4.6))),
    ("thin-rail", "warn", design(channel(wave={"amplitude_mm": 1.3, "count": 6}))),
    ("thin-rail", "stop", design(channel(undercut_mm=0.3, width_mm=4.8))),
    ("thin-rail", "warn", design(stripe("line", -0.3, 0.3))),
    ("feather-edge", "warn", design(outside=dome(1.99), width_mm=8.0)),
    ("feather-edge", "warn", design(channel(width_mm=4.8, depth_mm=0.5), outside=dome(0.6))),
    ("feather-edge", "stop", design(channel(width_mm=4.8, depth_mm=0.3), outside=dome(0.6))),
    (
        "pointed-tip",
        "warn",
        design(
            channel(width_mm=1.2, wave={"amplitude_mm": 1.4, "count": 3}), stripe("half", -3, 0)
        ),
    ),
    (
        "crumb",
        "stop",
        design(stripe("a", -3, 1.0), stripe("b", 1.0, 1.0005), stripe("c", 1.0005, 3)),
    ),
    (
        "islands",
        "warn",
        design(
            liner(1.2),
            channel(width_mm=1.0, wave={"amplitude_mm": 1.0, "count": 6}),
            stripe("a", -3, 0),
            stripe("b", 0, 3),
        ),
    ),
    (
        "wave-folds",
        "stop",
        design(
            stripe("a", -1, 1, wave={"amplitude_mm": 0.5, "count": 12}),
            segments(slant_deg=65),
            body=None,
        ),
    ),
    (
        "crosses-itself",
        "stop",
        design(stripe("p", -0.2, 0.5, wave={"amplitude_mm": 1.5, "count": 3, "on": "from"})),
    ),
    ("recess-too-deep", "stop", design(proud_mm=-0.2, thickness_mm=2.5, edge_mm=1.2)),
    ("gap-eats-part", "stop", design(channel(gap_mm={"side": 0.999, "floor": 0.05}))),
    ("too-small", "stop", design(segments(count=120), body=None)),
    ("liner-runs-out", "stop", design(liner(0.4), inside=dome(0.5))),
    ("thin-wall", "warn", design(liner(0.6), inside=dome(0.4))),
    ("undercut-traps-inlay", "warn", design(channel(undercut_mm=0.15))),
    ("recess-too-deep", "stop", design(channel(), proud_mm=-0.9)),
    ("looks-like-inches", "stop", design(channel(width_mm=0.094, depth_mm=0.031))),
    ("segments-do-not-close", "warn", design(segments(count=7), body=None)),
    (
        "two-slants",
        "stop",
        design(
            segments(depth_mm=0.5, slant_deg=10), segments(name="under", slant_deg=-10), body=None
        ),
    ),
    ("stripes-do-not-sum", "stop", design(stripe("a", -3, 0), stripe("b", 0, 2.8))),
    ("parts-overlap", "stop", design(channel(centre_mm=-0.8), channel(name="two", centre_mm=0.8))),
    ("parts-overlap", "stop", design(stripe("a", -3, 0), channel())),
    ("parts-overlap", "stop", design(stripe("a", -3, 0.5), stripe("b", 0, 3))),
    ("parts-overlap", "stop", design(liner(1.4), channel())),
    ("parts-overlap", "stop", design(liner(2.0))),
    (
        "undercuts-meet",
        "stop",
        design(
            channel(centre_mm=-1.2, undercut_mm=0.3),
            channel(name="two", centre_mm=1.2, undercut_mm=0.3),
        ),
    ),
    ("undercuts-meet", "stop", design(channel(centre_mm=1.9, undercut_mm=0.3))),
    ("nothing-left", "stop", design(channel(width_mm=6.0, depth_mm=1.0), segments(depth_mm=0.5))),
    ("nothing-left", "note", design(stripe("a", -3, 0), stripe("b", 0, 3))),
    ("no-body", "stop", design(channel(), body=None)),
    ("gap-negative", "stop", design(channel(gap_mm=-0.05))),
    ("gap-negative", "note", design(channel(gap_mm=-0.01))),
    ("gap-negative", "warn", design(channel(gap_mm=-0.01, wave={"amplitude_mm": 1, "count": 5}))),
    ("gap-none", "warn", design(channel(gap_mm=0.01))),
    ("gap-none", "warn", design(stripe("half", -3, 0))),
    ("gap-unused", "warn", design(liner(0.8, gap_mm={"side": 0.05, "floor": 0.05}))),
    ("gap-wide", "warn", design(channel(gap_mm=0.3))),
    ("gap-eats-part", "stop", design(channel(gap_mm=1.0))),
    ("gap-eats-part", "stop", design(segments(count=120, gap_mm=0.5), body=None)),
    (
        "gap-on-both",
        "stop",
        design(stripe("a", -3, 0, gap_mm=0.05), stripe("b", 0, 3, gap_mm=0.05)),
    ),
    (
        "gap-narrows",
        "warn",
        design(channel(width_mm=1.2, gap_mm=0.05, wave={"amplitude_mm": 1.2, "count": 16})),
    ),
    ("closed-inlay-cannot-enter", "warn", design(channel())),
    ("silver-beside-gold", "warn", design(channel(alloy=SILVER, gap_mm=0.05))),
    ("recipe-sum", "stop", design(body=recipe(Au=75, Ag=20))),
    ("karat-for-percent", "stop", design(body=recipe(Au=18, Ag=25))),
    ("cadmium", "stop", design(body=recipe(Au=75, Ag=24, Cd=1))),
    ("lead", "stop", design(body=recipe(Au=75, Ag=24, Pb=1))),
    ("nickel", "warn", design(body="gold-750-white-ni-soft")),
    ("beryllium", "warn", design(body=recipe(Cu=98, Be=2))),
    (
        "alloy-named-twice",
        "stop",
        design(channel(alloy=recipe(Au=75, Ag=25)), body=recipe(Au=75, Cu=25)),
    ),
    ("density-unlikely", "warn", design(body=recipe(Au=75, Ag=25, density_g_cm3=12.0))),
    ("under-its-mark", "warn", design(body=recipe("Willow 585", Au=58.33, Ag=41.67))),
    ("shrink-unknown", "warn", design(body="palladium-950-ru")),
    ("sprue-oval", "note", design(channel())),
    ("button-under-floor", "note", design(width_mm=3.0)),
]


# two colours that meet, their melts and their marks
CASES += [
    ("route-fails", "warn", design(channel(route="hammer in"))),
    ("route-fails", "warn", design(channel(route="side by side"))),
    ("made-otherwise", "warn", design(channel(route="hammer in", undercut_mm=0.1))),
    ("sprue-freezes-first", "warn", design(channel(width_mm=4.6), thickness_mm=2.6)),
    ("contrast-weak", "warn", design(channel(alloy=recipe(Au=75, Ag=14, Cu=11)))),
    ("contrast-uncertain", "note", design(channel(alloy="gold-750-red-5n"))),
    ("contrast-under-lamp", "note", design(channel(alloy="gold-750-green-20-5"), body=OFF_RED)),
    ("green-alone", "warn", design(body=GREEN)),
    ("green-alone", "warn", design(channel(), body="gold-585-green")),
    ("colour-against-name", "note", design(body=recipe("moss green", Au=75, Ag=12.5, Cu=12.5))),
    ("off-white", "note", design(body=recipe(Au=75, Pd=8, Ag=17))),
    ("balance-coarse", "note", design(body="gold-375-yellow")),
    ("pour-over-investment", "warn", design(body="gold-750-white-pd-15")),
    ("pour-over-investment", "note", design(body="platinum-950-ru")),
    ("copper-ordering", "note", design(body="gold-750-red-5n")),
    ("silver-sulphide", "note", design(body="gold-585-yellow")),
    ("mark-margin", "note", design(body=recipe("Own 14 kt", Au=58.33, Ag=20.67, Cu=21))),
    ("marks-not-told-apart", "note", design(channel(alloy=SILVER), body="gold-333-white")),
    ("no-mark", "note", design(body=recipe(Ag=70, Cu=30))),
]

STOCK = [
    {"name": "grain", "grams": 5.0, "recipe": {"Au": 100.0}},
    {"name": "old ring", "grams": 60.0, "recipe": {"Au": 75.0, "Ag": 8.0, "Cu": 17.0}},
    {"name": "silver", "grams": 9.0, "recipe": {"Ag": 100.0}},
    {"name": "copper", "grams": 9.0, "recipe": {"Cu": 100.0}},
]

SHOPS: list[tuple[str, dict[str, Any], Design]] = [
    ("shrink-unlikely", {"shrink": {"gold": 0.0125}}, design()),
    ("shrink-unlikely", {"shrink": {"gold": 4.0}}, design()),
    ("shop-name-unused", {"shrink": {"alloy": {"gold-750-yelow-3n": 1.6}}}, design()),
    (
        "shop-name-unused",
        {"measured": {"gold-750-yellow3n": {"density_g_cm3": 15.4}}},
        design(),
    ),
    ("melt-impossible", {"lot": STOCK[:1]}, design()),
    ("fineness-not-held", {"melt": {"hold_worst_case": False}}, design()),
    ("melt-shifts-colour", {"melt": LOOSE, "lot": STOCK}, design()),
    ("remelt-over-half", {"melt": LOOSE, "lot": STOCK}, design()),
    ("mark-margin", {"marks": {"region": "uk"}, "melt": {"hold_worst_case": False}}, design()),
]


@pytest.mark.parametrize(("code", "shop", "asked"), SHOPS)
def test_a_slip_in_the_shop_file_is_found(code: str, shop: dict[str, Any], asked: Design) -> None:
    job = rg.job(asked, rg.Shop.model_validate(shop))
    assert code in {finding.code for finding in job.findings}
    assert not job.stopped


def found(asked: Design, code: str) -> list[Finding]:
    return [finding for finding in rg.job(asked).findings if finding.code == code]


@pytest.mark.parametrize(
    ("code", "level", "asked"), CASES, ids=[f"{c}-{lvl}-{n}" for n, (c, lvl, _) in enumerate(CASES)]
)
def test_it_is_found(code: str, level: str, asked: Design) -> None:
    job = rg.job(asked)
    some = [finding for finding in job.findings if finding.code == code]
    assert level in [finding.level for finding in some], job.findings
    finding = next(finding for finding in some if finding.level == level)
    assert finding.text
    assert finding.fix
    assert job.stopped == any(f.level == "stop" for f in job.findings)
    assert bool(job.parts) != job.stopped


def test_every_code_has_a_ring_that_brings_it() -> None:
    """The README's table is held against the source elsewhere; here against the rings above.

    `cannot-be-laid-out` is the last resort for shapes that no rule foresaw; `unreadable` is a
    row of a grid, and tested there; rules on engraving are tried in engraving/.
    """
    from pathlib import Path

    from engraving.test_figure_findings import CASES as FIGURES
    from engraving.test_findings import CASES as ENGRAVED
    from engraving.test_inset_findings import CASES as INLAID

    readme = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    section = readme.split("## Findings")[1].split("## ")[0]
    documented = set(re.findall(r"`([a-z-]+)`", section)) - {"stop", "warn", "note"}
    tried = {code for rings in (CASES, SHOPS, ENGRAVED, FIGURES, INLAID) for code, *_ in rings}
    assert documented - tried == {
        "cannot-be-laid-out",
        "unreadable",
    }


def test_a_plain_ring_has_nothing_to_say() -> None:
    assert rg.job(design()).findings == ()


def test_the_worst_comes_first() -> None:
    levels = [f.level for f in rg.job(design(channel(depth_mm=1.6), thickness_mm=1.7)).findings]
    assert levels == sorted(levels, key=("stop", "warn", "note").index)


@pytest.mark.parametrize("thickness", [1.5, 1.9, 2.4])
@pytest.mark.parametrize("inside", [0.0, 0.25])
@pytest.mark.parametrize("lined", [0.0, 0.6])
def test_the_safe_depth_is_safe(thickness: float, inside: float, lined: float) -> None:
    """Followed to the letter, the way out of a thin floor leaves no finding on the floor.

    And a hundredth of a millimetre deeper still brings it: the advice is not timid.
    """
    bore = dome(inside) if inside else {"form": "flat"}
    extra = [liner(lined)] if lined else []

    def ring(depth: float) -> list[Finding]:
        asked = design(*extra, channel(depth_mm=depth), thickness_mm=thickness, inside=bore)
        return [f for f in rg.job(asked).findings if f.code in ("thin-floor", "parts-overlap")]

    too_deep = ring(thickness - lined - 0.3)
    (advice,) = (f for f in too_deep if f.code == "thin-floor")
    words = re.search(r"deepest safe channel here: ([\d.]+) mm", advice.fix)
    if words is None:
        more = re.search(r"a band ([\d.]+) mm thick or more", advice.fix)
        assert more, advice.fix
        thickness = float(more[1])
        assert not ring(0.5)
        return
    safe = float(words[1])
    assert not ring(safe)
    assert ring(safe + 0.011)


def test_floor_is_measured_at_its_thinnest() -> None:
    """Derived: under a domed bore the floor is thinnest at the channel's walls.

    thickness 2, depth 1, bore rise 0.5 over half width 3 (R = 9.25); the walls at 1 mm,
    where the bore has risen by R - sqrt(R^2 - 1) = 0.0542: floor 0.9458.
    """
    asked = design(channel(depth_mm=1.2), inside=dome(0.5))
    (finding,) = found(asked, "thin-floor")
    bend = (9 + 0.25) / (2 * 0.5)
    assert finding.value == pytest.approx(0.8 - (bend - (bend**2 - 1) ** 0.5), abs=1e-9)


def test_rail_is_measured_at_the_crest() -> None:
    """Derived: rail = half width - half channel - amplitude, at the wave's crest."""
    asked = design(channel(wave={"amplitude_mm": 1.45, "count": 5}))
    (finding,) = found(asked, "thin-rail")
    # 64 samples a wave find the crest to 0.12 % of the amplitude at worst
    assert finding.value == pytest.approx(3 - 1 - 1.45, abs=0.002)


def test_stretch_of_a_closed_inlay() -> None:
    """Published arithmetic of the trade: US 7 with a 0.8 groove in a 1.8 band needs 8.3 %."""
    asked = design(channel(depth_mm=0.8), thickness_mm=1.8)
    (finding,) = found(asked, "closed-inlay-cannot-enter")
    assert finding.value is not None
    assert finding.limit is not None
    assert finding.limit / finding.value - 1 == pytest.approx(0.083, abs=0.001)


def test_an_open_step_lets_a_sleeve_on() -> None:
    step = channel(centre_mm=-2.0)
    assert not found(design(step), "closed-inlay-cannot-enter")
    assert not found(design(channel(width_mm=6.0)), "closed-inlay-cannot-enter")


def test_a_body_already_parted_lets_a_closed_inlay_in() -> None:
    """Two stripes that meet under the channel, or a channel down to the liner."""
    halves = design(channel(), stripe("a", -3, 0, gap_mm=0.05), stripe("b", 0, 3))
    assert not found(halves, "closed-inlay-cannot-enter")
    on_liner = design(liner(1.0, gap_mm=0.05), channel(depth_mm=1.0))
    assert [p.name for p in rg.job(on_liner).parts] == ["lining", "inlay", "body 1", "body 2"]
    assert not found(on_liner, "closed-inlay-cannot-enter")


def test_inches_in_the_band_silence_what_only_follows() -> None:
    asked = design(channel(), width_mm=0.236, thickness_mm=0.075, outside=dome(0.35))
    codes = {finding.code for finding in rg.job(asked).findings}
    assert codes == {"looks-like-inches", "dome-larger-than-wall", "dome-too-high"}


def test_a_wider_rail_is_what_its_fix_says() -> None:
    """Followed to the letter, the way out of a thin rail leaves none."""
    (advice,) = found(design(channel(width_mm=5.0, gap_mm=0.05)), "thin-rail")
    words = re.search(r"width_mm = ([\d.]+) or less", advice.fix)
    assert words, advice.fix
    assert not found(design(channel(width_mm=float(words[1]), gap_mm=0.05)), "thin-rail")


def test_a_narrow_gap_is_what_its_fix_says() -> None:
    wave = {"amplitude_mm": 1.2, "count": 16}
    (advice,) = found(design(channel(width_mm=1.2, gap_mm=0.05, wave=wave)), "gap-narrows")
    words = re.search(r"side = ([\d.]+) or more", advice.fix)
    assert words, advice.fix
    cured = channel(width_mm=1.2, gap_mm={"side": float(words[1]), "floor": 0.05}, wave=wave)
    assert not found(design(cured), "gap-narrows")


def test_channels_may_nest() -> None:
    """A narrow channel written before a wide one: the wide one lies on both sides of it."""
    job = rg.job(design(channel(width_mm=1.0), channel(name="wide", width_mm=3.0)))
    assert not job.stopped
    assert [part.name for part in job.parts] == ["inlay", "wide 1", "wide 2", "body"]


def test_the_key_of_a_finding_is_where_it_is_decided() -> None:
    (finding,) = found(design(liner(0.4), channel(depth_mm=1.3)), "thin-floor")
    assert finding.key == ("part", 1, "depth_mm")
