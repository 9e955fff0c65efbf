"""Every finding on lettering: a ring that brings it, its number, and a fix that cures it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from engraving.texts import TEXT, engraving, made

import ringgeom as rg
from ringgeom.engraving.asked import Lettering
from ringgeom.errors import InputError
from ringgeom.findings import Finding, on_engraving, on_lettering

REED = (
    '[[part]]\nname = "reed"\nplace = "channel"\nalloy = "gold-750-green"\nwidth_mm = 2.4\n'
    "depth_mm = 0.8\ngap_mm = 0.04\n"
)
WAVING = REED + "wave = { amplitude_mm = 0.4, count = 6 }\n"
# 0.47 mm of it are left by its gap
LINER = (
    '[[part]]\nname = "lining"\nplace = "liner"\nalloy = "silver-925"\nthickness_mm = 0.5\n'
    "gap_mm = 0.03\n"
)
PLANKS = (
    '[[part]]\nname = "plank"\nplace = "segments"\nalloys = ["silver-925", "gold-1000"]\n'
    "count = 6\ngap_mm = 0.05\n"
)
TAPERS = 'taper = [{ at = "6:00", width_mm = 4.5, thickness_mm = 1.6 }]'
DOMED = 'outside = { form = "domed", rise_mm = 0.5 }'
MARK = (
    '\n[[engraving]]\nkind = "mark"\nwhich = "maker"\nwidth_mm = 2.0\nheight_mm = 1.0\n'
    'at = "{at}"\n'
)


def of(job: rg.Job) -> dict[str, Finding]:
    return {f.code: f for f in job.findings if f.key and f.key[0] == "engraving"}


CASES: tuple[tuple[str, str, str, str, str, float | None], ...] = (
    # code, level, ring, what brings it, what cures it, value
    ("text-cannot-be-set", "stop", "", engraving(text="☃"), engraving(text="O"), None),
    ("text-cannot-be-set", "stop", "", engraving(font="nix"), engraving(font="sans"), None),
    ("text-too-long", "stop", "", engraving(text="O" * 60), engraving(text="O" * 30), None),
    ("text-too-long", "stop", "", engraving(repeat=12), engraving(repeat=3), None),
    ("runs-off-face", "stop", "", engraving(text="HH", centre_mm=2.4), engraving(), 3.15),
    (
        "on-edge-rounding",
        "warn",
        "edge_mm = 0.3",
        engraving(centre_mm=2.1, text="HHH"),
        engraving(centre_mm=1.9, text="HHH"),
        2.85,
    ),
    ("runs-off-face", "stop", "", engraving(height_mm=7), engraving(height_mm=5), None),
    ("letters-small", "warn", "", engraving(height_mm=0.6), engraving(height_mm=0.8), 0.6),
    (
        "letters-fine",
        "warn",
        "",
        engraving(height_mm=0.9, font="script"),
        engraving(height_mm=0.9, font="bold"),
        None,
    ),
    (
        "letters-fine",
        "warn",
        "",
        engraving(font="serif", made="cast"),
        engraving(font="bold", made="cast", height_mm=2.2),
        None,
    ),
    (
        "engravings-overlap",
        "stop",
        "",
        engraving() + engraving(at="1:00"),
        engraving() + engraving(at="5:00"),
        54 / 12,
    ),
    (
        "engravings-overlap",
        "warn",
        "",
        engraving() + MARK.format(at="12:30"),
        engraving() + MARK.format(at="6:00"),
        54 / 24,
    ),
    (
        "no-room-for-marks",
        "note",
        "",
        engraving(text="O" * 31),
        engraving(text="O" * 20),
        None,
    ),
    (
        "thin-under-letters",
        "warn",
        LINER,
        engraving(depth_mm=0.05),
        engraving(on="outside", depth_mm=0.05),
        0.42,
    ),
    ("thin-under-letters", "stop", LINER, engraving(depth_mm=0.25), engraving(on="outside"), 0.22),
    ("thin-under-letters", "stop", LINER, engraving(depth_mm=0.6), engraving(on="outside"), -0.13),
    (
        "letters-over-joint",
        "warn",
        REED,
        engraving(on="outside", centre_mm=1.2),
        engraving(on="outside"),
        None,
    ),
    (
        "letters-over-joint",
        "stop",
        REED,
        engraving(on="outside", centre_mm=1.2, raised=True),
        engraving(on="outside", raised=True),
        None,
    ),
    (
        "letters-over-joint",
        "warn",
        PLANKS,
        engraving(on="outside", text="H"),
        engraving(on="outside", text="H", at="1:00"),
        None,
    ),
    (
        "letters-over-wave",
        "stop",
        WAVING,
        engraving(on="outside", centre_mm=1.0),
        engraving(on="outside", centre_mm=2.25, height_mm=0.9, text="HE"),
        None,
    ),
    (
        "letters-over-taper",
        "stop",
        TAPERS,
        engraving(on="outside"),
        engraving(on="inside"),
        None,
    ),
    (
        "letters-fade",
        "warn",
        DOMED,
        engraving(on="outside", floor="flat", height_mm=4.5, depth_mm=0.1),
        engraving(on="outside", floor="following", height_mm=4.5, depth_mm=0.1),
        None,
    ),
)


@pytest.mark.parametrize(
    ("code", "level", "ring", "ill", "cured", "value"),
    CASES,
    ids=[f"{case[0]}-{n}" for n, case in enumerate(CASES)],
)
def test_finding(
    code: str, level: str, ring: str, ill: str, cured: str, value: float | None
) -> None:
    rest, keys = ("", ring) if "[[" not in ring else (ring, "")
    found = of(made(rest + ill, keys))
    assert found[code].level == level
    assert found[code].text
    assert found[code].fix
    if value is not None:
        assert found[code].value == pytest.approx(value, abs=1e-9)
    assert code not in of(made(rest + cured, keys))


def test_every_rule_is_tried_here() -> None:
    source = "".join(
        Path(str(module.__file__)).read_text("utf-8") for module in (on_lettering, on_engraving)
    )
    lines = re.findall(r"code=(.*?),\n", source)
    codes = {code for line in lines for code in re.findall(r'"(.*?)"', line)}
    assert codes == {case[0] for case in CASES}


@pytest.mark.parametrize("ring", ["", TAPERS], ids=["even", "tapers"])
def test_letters_go_inside_a_ring_whose_outside_waves(ring: str) -> None:
    """The bore is whole: the same metal is lost as in a plain ring, and less is left under it."""
    text = engraving(depth_mm=0.3)
    parts = made(WAVING + text, ring), made(text, ring)
    waving, plain = parts
    assert not [f for f in waving.findings if f.level == "stop"]
    ((_, lost),), ((_, same),) = (one.engraved[0].removed for one in parts)
    assert lost == pytest.approx(same, rel=1e-12)
    (strip,) = waving.engraved[0].face.between(-0.5, 0.5)
    # under the reed's floor 0.8 mm down a band of 2 mm, where it is thinnest
    thinnest = 1.2 if not ring else 1.2 * 1.6 / 2.0
    assert strip.wall_mm(-0.5, 0.5) == pytest.approx(thinnest, abs=1e-9)
    (strip,) = plain.engraved[0].face.between(-0.5, 0.5)
    assert strip.wall_mm(-0.5, 0.5) == pytest.approx(2.0 if not ring else 1.6, abs=1e-9)


def test_letters_go_inside_under_an_undercut_wave() -> None:
    """Its leaning walls have a radius for every angle; the floor is the thinnest place."""
    job = made(WAVING + "undercut_mm = 0.1\n" + engraving(depth_mm=0.3))
    assert not [f for f in job.findings if f.code == "letters-over-wave"]
    (strip,) = job.engraved[0].face.between(-0.5, 0.5)
    assert strip.wall_mm(-0.5, 0.5) == pytest.approx(1.2, abs=1e-9)


def test_an_engraving_behind_another_is_counted() -> None:
    """Two letterings of 0.8 mm from both faces leave 0.4 of 2 mm; side by side they do not."""
    both = engraving(depth_mm=0.8) + engraving(depth_mm=0.8, on="outside", at="{at}")
    behind = of(made(both.replace("{at}", "12:20")))["thin-under-letters"]
    assert behind.value == pytest.approx(0.4, abs=1e-9)
    assert "other face" in behind.text
    assert "thin-under-letters" not in of(made(both.replace("{at}", "6:00")))


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"at": "13:00"}, "not a place round the ring"),
        ({"at": "noon"}, "not a place round the ring"),
        ({"at": True}, "a place round the ring is needed"),
        ({"height_mm": 0}, "out of range"),
        ({"depth_mm": 9}, "out of range"),
        ({"kind": "text"}, "nearest: lettering"),
        ({"raised": True, "made": "engraved"}, "cannot be engraved"),
        ({"text": ""}, "this must not be empty"),
        ({"text": "a" * 201}, "200 letters at most"),
        ({"repeat": 2.5}, "a whole number is needed"),
        ({"hieght_mm": 2}, "nearest: height_mm"),
    ],
)
def test_bad_keys_are_refused(keys: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError) as refused:
        made(engraving(**keys))
    assert said in str(refused.value)
    assert "engraving 1" in str(refused.value)


def test_commands_tell_what_is_engraved(run: Callable[..., Any], tmp_path: Path) -> None:
    path = tmp_path / "ring.toml"
    path.write_text(TEXT.format(ring="", rest=engraving() + MARK.format(at="6:00")), "utf-8")
    for command in ("weigh", "check"):
        told = run(command, path)
        assert told.code == 0
        assert '"ROBIN"' in told.out
        assert "body loses" in told.out
        assert "room for the maker mark" in told.out
    data = json.loads(run("weigh", path, "--json").out)
    lettering, mark = data["engravings"]
    (part,) = data["parts"]
    assert lettering["taken"] == [{"part": "body", "engraved_mm3": part["engraved_mm3"]}]
    assert part["engraved_mm3"] > 0
    assert (mark["which"], mark["at_clock"]) == ("maker", "6:00")


def test_own_fonts_lie_beside_the_design(run: Callable[..., Any], tmp_path: Path) -> None:
    """By the command the font file is found; the page reads none, and says so."""
    from ringgeom.fonts import LETTERING, font_path
    from ringgeom.page.latest import Latest
    from ringgeom.page.shop_desk import ShopDesk
    from ringgeom.page.view import view

    text = TEXT.format(ring="", rest=engraving(font="own.ttf"))
    (tmp_path / "ring.toml").write_text(text, "utf-8")
    (tmp_path / "own.ttf").write_bytes(font_path(LETTERING["serif"]).read_bytes())
    told = run("weigh", tmp_path / "ring.toml", "--json")
    assert told.code == 0
    own = json.loads(told.out)
    assert str(tmp_path) not in told.out
    plain = made(engraving())
    assert own["engravings"][0]["taken"][0]["engraved_mm3"] == pytest.approx(
        plain.parts[0].engraved_mm3, rel=1e-12
    )
    shown = view(text, (), Latest(ShopDesk(None, tmp_path)))
    assert shown["stopped"]
    assert any("by the commands only" in finding["text"] for finding in shown["findings"])
    # any font of the machine is out of the page's reach, also by a whole path
    whole = text.replace("own.ttf", str(tmp_path / "own.ttf"))
    assert view(whole, (), Latest(ShopDesk(None, tmp_path)))["stopped"]
    design = rg.read_design(tmp_path / "ring.toml")
    (one,) = design.engravings
    assert isinstance(one, Lettering)
    assert one.folder == tmp_path


def test_the_sheet_shows_it() -> None:
    from io import BytesIO

    from pypdf import PdfReader

    from ringgeom.sheet.bench import bench_sheet

    job = made(engraving(depth_mm=0.2) + MARK.format(at="6:00"))
    pages = PdfReader(BytesIO(bench_sheet(job))).pages
    said = " ".join(page.extract_text() for page in pages)
    assert "ROBIN" in said
    assert "0.2 following" in said
    assert "room for the maker mark" in said
    assert "bore, seen from within" in said
    plain = PdfReader(BytesIO(bench_sheet(made()))).pages
    assert "Engraving" not in " ".join(page.extract_text() for page in plain)


def test_the_page_draws_the_outside_letters_once_round() -> None:
    """A text over 12 o'clock is there at both ends; the bore's is not on the outside."""
    from ringgeom.drawing.outside import outside_letters

    job = made(engraving(text="HH", on="outside") + engraving())
    around = job.engraved[0].face.around_mm
    loops = outside_letters(job)
    assert len(loops) == 2
    middles = sorted(sum(x for x, _ in loop) / len(loop) for loop in loops)
    assert 0 < middles[0] < 2
    assert around - 2 < middles[1] < around
    over = outside_letters(made(engraving(text="I", on="outside")))
    assert len(over) == 2


@pytest.mark.parametrize("number", range(len(CASES)))
def test_a_button_of_the_page_cures_what_it_stands_at(number: int) -> None:
    """Followed as the page does: the finding is gone, or weighs less."""
    from ringgeom.design import design_from_text
    from ringgeom.findings.finding import RANK
    from ringgeom.page.edits import changed_text
    from ringgeom.page.fixes import fixes

    code, _, ring, ill, *_ = CASES[number]
    rest, keys = ("", ring) if "[[" not in ring else (ring, "")
    text = TEXT.format(ring=keys, rest=rest + ill)
    (finding,) = (f for f in rg.job(design_from_text(text)).findings if f.code == code)
    for fix in fixes(finding, []):
        after = of(rg.job(design_from_text(changed_text(text, [fix.change]))))
        assert code not in after or RANK[after[code].level] > RANK[finding.level], fix.words
        assert fix.change.key[:2] == ("engraving", finding.key[1])
