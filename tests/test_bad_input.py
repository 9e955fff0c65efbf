"""Bad input: every mistake told with its key, line, value and way out; nothing written.

Expected numbers here are derived, and each is worked out beside its row.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import pytest

GOOD = """\
[job]
name = "Wren"

[ring]
size = "US 7"
width_mm = 6.0
thickness_mm = 1.9
outside = { form = "domed", rise_mm = 0.35 }
inside = { form = "domed", rise_mm = 0.25 }
edge_mm = 0.2

[body]
alloy = "gold-750-yellow-3n"
proud_mm = 0.0

[[part]]
name = "reed"
place = "channel"
alloy = { name = "Willow", Au = 75, Ag = 25, density_g_cm3 = 16.0 }
width_mm = 2.4
depth_mm = 0.8
centre_mm = 0.0
wave = { amplitude_mm = 0.0, count = 6 }
gap_mm = { side = 0.05, floor = 0.04 }
"""

Run = Callable[..., Any]


class Bad(NamedTuple):
    """One change of the good design, and what must be told of it. `line` marks where."""

    old: str
    new: str
    where: str
    value: str = ""
    allowed: str = ""
    nearest: str = ""
    text: str = ""
    line: str = ""


def changed(old: str, new: str, good: str = GOOD) -> str:
    assert good.count(old) == 1, f"{old!r} is not unique in the good design"
    return good.replace(old, new)


def line_of(text: str, words: str) -> int:
    return text[: text.index(words)].count("\n") + 1


def refused(run: Run, folder: Path, text: str, *more: str) -> list[dict[str, Any]]:
    """Run `make` on a design that cannot be read; the problems it told."""
    (folder / "wren.toml").write_text(text, encoding="utf-8")
    before = sorted(folder.rglob("*"))
    ran = run(
        "make", "--no-pictures", folder / "wren.toml", "--out", folder / "out", "--json", *more
    )
    assert ran.code == 2, ran
    assert "Traceback" not in ran.err
    assert "nothing was written" in ran.err
    assert sorted(folder.rglob("*")) == before
    problems = json.loads(ran.out)["problems"]
    for problem in problems:
        assert problem["text"]
        assert problem["text"] in ran.err
        assert problem["where"] in ran.err
    return list(problems)


ALLOY = 'alloy = { name = "Willow", Au = 75, Ag = 25, density_g_cm3 = 16.0 }'
DOME = 'outside = { form = "domed", rise_mm = 0.35 }'
REED = 'part 1 "reed"'

UNREADABLE = {
    # unknown and misspelt keys, the nearest one named
    "key": Bad("thickness_mm", "thicknes_mm", "ring.thicknes_mm", nearest="thickness_mm"),
    "table": Bad("[body]", "[boddy]", "boddy", nearest="body", allowed="part, ring"),
    "key of a part": Bad("depth_mm", "deepth_mm", f"{REED}.deepth_mm", nearest="depth_mm"),
    "key of a wave": Bad("count = 6", "cuont = 6", f"{REED}.wave.cuont", nearest="count"),
    "key of a gap": Bad("{ side", "{ sides", f"{REED}.gap_mm.sides", nearest="side"),
    "key of a form": Bad("rise_mm = 0.35", "rise = 0.35", "ring.outside.rise", nearest="rise_mm"),
    "key of another form": Bad('"domed", rise_mm = 0.35', '"flat", r = 1', "ring.outside.r"),
    "key of another table": Bad("proud_mm = 0.0", "edge_mm = 0.1", "body.edge_mm", text="unknown"),
    "key of another place": Bad(
        "centre_mm = 0.0", "slant_deg = 20", f"{REED}.slant_deg", text="unknown key"
    ),
    "missing key": Bad("depth_mm = 0.8\n", "", f"{REED}.depth_mm", text="missing", line="[[part]]"),
    "missing table": Bad('[job]\nname = "Wren"\n', "", "job", text="missing", line="-"),
    "no place": Bad('place = "channel"\n', "", REED, allowed="liner, stripe", line="[[part]]"),
    # words that are not among those known
    "place": Bad('"channel"', '"chanel"', REED, '"chanel"', "edges, segments", "channel", line="-"),
    "form": Bad('"domed", rise_mm = 0.35', '"dome"', "ring.outside", '"dome"', "flat", "domed"),
    "form by its other name": Bad(
        '"domed", rise_mm = 0.35', '"double dome"', "ring.outside", nearest="twin-dome"
    ),
    "form of the other side": Bad(
        '"domed", rise_mm = 0.25', '"concave", dip_mm = 0.2', "ring.inside", allowed="flat, domed"
    ),
    "two ridges": Bad(
        '"domed", rise_mm = 0.35',
        '"knife-edge", drop_mm = 0.4, top_mm = 0.3, round_mm = 0.2',
        "ring.outside",
        "top_mm 0.3 and round_mm 0.2",
        "one of them",
    ),
    "points that run back": Bad(
        '"domed", rise_mm = 0.35',
        '"free", points = [{ z_mm = 0, rise_mm = 1 }, { z_mm = -1, rise_mm = 0 }]',
        "ring.outside.points 2",
        "z_mm -1 after 0",
        text="from left to right",
    ),
    # over a chord of 2 across a half circle bows by 1
    "an arc that overhangs": Bad(
        '"domed", rise_mm = 0.35',
        '"free", points = [{ z_mm = 0, rise_mm = 0 }, { z_mm = 2, rise_mm = 0, bow_mm = 1.2 }]',
        "ring.outside.points 2",
        "bow_mm 1.2",
        "-0.999 to 0.999",
    ),
    "a step that bows": Bad(
        '"domed", rise_mm = 0.35',
        '"free", points = [{ z_mm = 0, rise_mm = 0 }, { z_mm = 0, rise_mm = 1, bow_mm = 0.1 }]',
        "ring.outside.points 2",
        "bow_mm 0.1",
        text="straight",
    ),
    "one point": Bad(
        '"domed", rise_mm = 0.35',
        '"free", points = [{ z_mm = 0, rise_mm = 0 }]',
        "ring.outside.points",
        text="at least",
    ),
    "alloy": Bad(ALLOY, 'alloy = "gold-750-gren"', f"{REED}.alloy", "gold-750-gren", "catalogue"),
    "karat": Bad(ALLOY, 'alloy = "18k green"', f"{REED}.alloy", "18k", text="18 kt is 750"),
    "karat alone": Bad(
        ALLOY, "alloy = 18", f"{REED}.alloy", "18", '"gold-750', "gold-750", text="18 kt is 750"
    ),
    # types
    "text for a number": Bad("= 6.0", '= "6"', "ring.width_mm", '"6"', text="a number"),
    "truth for a number": Bad("= 6.0", "= true", "ring.width_mm", "true", text="a number"),
    "list for a number": Bad("= 6.0", "= [6.0]", "ring.width_mm", text="a number"),
    "table for a number": Bad("= 6.0", "= { mm = 6 }", "ring.width_mm", text="a number"),
    "date for a number": Bad("= 6.0", "= 2026-01-01", "ring.width_mm", text="a number"),
    "number for a name": Bad('name = "Wren"', "name = 7", "job.name", "7", text="text in quotes"),
    "number for a table": Bad(DOME, "outside = 1", "ring.outside", "1", text="a table of keys"),
    "table for a list": Bad("[[part]]", "[part]", "part", text="a list", line="[part]"),
    "part of a wave": Bad(
        "count = 6", "count = 5.5", f"{REED}.wave.count", "5.5", text="a whole number"
    ),
    "no wave at all": Bad("count = 6", "count = 0", f"{REED}.wave.count", "0", allowed="1 or more"),
    "text for a share": Bad("Au = 75", 'Au = "75"', f"{REED}.alloy.Au", '"75"', text="a number"),
    # sizes
    "size alone": Bad('"US 7"', "7", "ring.size", "7", "17.32 mm across", "US 7"),
    "size beyond": Bad('"US 7"', '"US 99"', "ring.size", "US 99", text="16"),
    "no size": Bad('"US 7"', '"banana"', "ring.size", "banana", "ISO 41 to ISO 76"),
    "no direction": Bad('"US 7"', '"17.3 mm"', "ring.size", "17.3 mm", nearest="across"),
    # recipes
    "no metal": Bad(
        ", Au = 75, Ag = 25", "", f"{REED}.alloy", allowed="Au 75 Ag 25", line="alloy = {"
    ),
    "no name": Bad('name = "Willow", ', "", f"{REED}.alloy.name", text="missing", line="alloy = {"),
    "unknown metal": Bad("Ag = 25", "Agg = 25", f"{REED}.alloy", "Agg", "Au Ag Cu", "Ag"),
    "short colour": Bad("density_g_cm3 = 16.0", "lab = [80, 2]", f"{REED}.alloy.lab", text="three"),
    # names
    "slash in a job": Bad('"Wren"', '"Wr/en"', "job.name", "Wr/en", "letters", "wr-en"),
    "job above": Bad('"Wren"', '".."', "job.name", "..", "letters"),
    "nothing in a job": Bad('"Wren"', '""', "job.name", text="must not be empty"),
    "signs only": Bad('"Wren"', '"***"', "job.name", "***", "letters"),
    "reserved job": Bad('"Wren"', '"con"', "job.name", "con", nearest="con-1"),
    "long job": Bad('"Wren"', f'"{"w" * 61}"', "job.name", text="60"),
    "null in a job": Bad('"Wren"', '"a\\u0000b"', "job.name", allowed="letters"),
    "slash in a part": Bad('"reed"', '"re/ed"', 'part 1 "re/ed".name', "re/ed", nearest="re-ed"),
    "space before a part": Bad('"reed"', '" reed"', 'part 1 " reed".name', nearest="reed"),
    "part named body": Bad('"reed"', '"Body"', 'part 1 "Body".name', "Body", "its own name"),
}


@pytest.mark.parametrize("bad", UNREADABLE.values(), ids=UNREADABLE)
def test_it_is_refused(run: Run, tmp_path: Path, bad: Bad) -> None:
    text = changed(bad.old, bad.new)
    problems = refused(run, tmp_path, text)
    told = [p for p in problems if p["where"] == bad.where]
    assert told, f"not told at {bad.where}: {problems}"
    for key in ("value", "allowed", "nearest", "text"):
        assert any(getattr(bad, key) in p[key] for p in told), (key, told)
    if bad.line != "-":
        assert told[0]["line"] == line_of(text, bad.line or bad.new)


POSITIVE = {
    "width_mm = 6.0": "ring.width_mm",
    "thickness_mm = 1.9": "ring.thickness_mm",
    "width_mm = 2.4": f"{REED}.width_mm",
    "depth_mm = 0.8": f"{REED}.depth_mm",
    "density_g_cm3 = 16.0": f"{REED}.alloy.density_g_cm3",
    "count = 6": f"{REED}.wave.count",
}
ANY_SIGN = {
    "rise_mm = 0.35": "ring.outside.rise_mm",
    "edge_mm = 0.2": "ring.edge_mm",
    "proud_mm = 0.0": "body.proud_mm",
    "centre_mm = 0.0": f"{REED}.centre_mm",
    "amplitude_mm = 0.0": f"{REED}.wave.amplitude_mm",
    "side = 0.05": f"{REED}.gap_mm.side",
    "Au = 75": f"{REED}.alloy.Au",
}
MONSTERS = ("nan", "inf", "-inf", "1e308", "-1e308", f"1{'0' * 400}", "0x" + "f" * 300)


@pytest.mark.parametrize(
    ("key", "number"),
    [(key, number) for key in POSITIVE for number in (*MONSTERS, "0", "-0.0", "-1")]
    + [(key, number) for key in ANY_SIGN for number in MONSTERS],
)
def test_no_such_measure(run: Run, tmp_path: Path, key: str, number: str) -> None:
    text = changed(key, f"{key.split(' = ')[0]} = {number}")
    (problem,) = refused(run, tmp_path, text)
    assert problem["where"] == (POSITIVE | ANY_SIGN)[key]
    assert problem["line"] == line_of(GOOD, key)
    assert problem["value"]
    assert problem["allowed"] or "needed" in problem["text"]


@pytest.mark.parametrize(
    ("broken", "line"),
    [
        ("width_mm = = 6", 6),
        ("width_mm = 6,0", 6),
        ("width_mm 6.0", 6),
        ("width_mm = 6.0\nwidth_mm = 6.0", 7),
        ("width_mm = .6", 6),
    ],
)
def test_no_toml(run: Run, tmp_path: Path, broken: str, line: int) -> None:
    (problem,) = refused(run, tmp_path, changed("width_mm = 6.0", broken))
    assert "not TOML" in problem["text"]
    assert f"line {line}" in problem["text"] or problem["line"] == line


MONSTROUS = {
    "number of 5000 digits": changed("= 6.0", "= 1" + "0" * 5000),
    "hexadecimal of 5000 digits": changed("= 6.0", "= 0x1" + "0" * 5000),
    "size of 400 digits": changed('"US 7"', "1" + "0" * 400),
    "size of 400 digits in quotes": changed('"US 7"', f'"US 1{"0" * 400}"'),
    "lists in lists": f"{GOOD}deep = {'[' * 3000}{']' * 3000}\n",
    "lists in lists, not quite so deep": f"{GOOD}deep = {'[' * 300}{']' * 300}\n",
    "tables in tables": f"{GOOD}deep = {'{a = ' * 300}1{'}' * 300}\n",
    "a key of 3000 steps": f"{GOOD}[{'.'.join('a' * 3000)}]\n",
    "nothing": "",
    "a remark": "# a ring\n",
    "no metal": GOOD[: GOOD.index("[body]")],
    "sixty-one parts": GOOD
    + "".join(
        f'[[part]]\nname = "p{n}"\nplace = "liner"\nalloy = "silver-925"\nthickness_mm = 1\n'
        for n in range(61)
    ),
}


@pytest.mark.parametrize("text", MONSTROUS.values(), ids=MONSTROUS)
def test_the_monstrous_is_refused_too(run: Run, tmp_path: Path, text: str) -> None:
    assert refused(run, tmp_path, text)


@pytest.mark.parametrize(
    ("first", "second", "place"),
    [
        ("reed", "reed", 'place = "liner"\nthickness_mm = 0.5'),
        ("reed", "Reed", 'place = "liner"\nthickness_mm = 0.5'),
        ("a b", "a-b", 'place = "liner"\nthickness_mm = 0.5'),
        # edges make "<name> 1" and "<name> 2"
        ("rail 1", "rail", 'place = "edges"\nwidth_mm = 1.0'),
        ("RAIL-2", "rail", 'place = "edges"\nwidth_mm = 1.0'),
    ],
)
def test_no_two_parts_of_one_name(
    run: Run, tmp_path: Path, first: str, second: str, place: str
) -> None:
    more = f'[[part]]\nname = "{second}"\n{place}\nalloy = "silver-925"\n'
    text = changed('"reed"', f'"{first}"') + more
    (problem,) = refused(run, tmp_path, text)
    assert problem["where"] == f'part 2 "{second}".name'
    assert problem["line"] == line_of(text, f'name = "{second}"\n{place}')
    assert second in problem["value"]
    assert "part 1" in problem["text"]


def test_names_of_segments_count_too(run: Run, tmp_path: Path) -> None:
    more = '[[part]]\nname = "x"\nplace = "segments"\ncount = 12\nalloys = ["silver-925"]\n'
    (problem,) = refused(run, tmp_path, changed('"reed"', '"x 12"') + more)
    assert "x 12" in problem["value"]


def test_all_mistakes_at_once(run: Run, tmp_path: Path) -> None:
    """Nine mistakes of every kind: all are told in one go, in the order of the file."""
    text = GOOD
    for old, new in (
        ('"Wren"', '"Wr/en"'),
        ('"US 7"', "7"),
        ("width_mm = 6.0", "width_mm = nan"),
        ("thickness_mm", "thicknes_mm"),
        ('"gold-750-yellow-3n"', '"18k yellow"'),
        ('"reed"', '"re/ed"'),
        ("depth_mm = 0.8", "depth_mm = -0.8"),
        ("count = 6", "count = 6.5"),
        ("side = 0.05", 'side = "0.05"'),
    ):
        text = changed(old, new, text)
    problems = refused(run, tmp_path, text)
    part = 'part 1 "re/ed"'
    told = {problem["where"] for problem in problems}
    # the misspelt key is also a missing one
    assert told == {
        "job.name",
        "ring.size",
        "ring.width_mm",
        "ring.thicknes_mm",
        "ring.thickness_mm",
        "body.alloy",
        f"{part}.name",
        f"{part}.depth_mm",
        f"{part}.wave.count",
        f"{part}.gap_mm.side",
    }
    lines = [problem["line"] for problem in problems]
    assert None not in lines
    assert lines == sorted(lines)


SHOP = "[casting]\nbutton_percent = 50\n[shrink]\ngold = 1.25\n"


@pytest.mark.parametrize(
    ("old", "new", "bad"),
    [
        ("button_percent", "buton_percent", Bad("", "", "casting.buton_percent")),
        ("= 50", "= -50", Bad("", "", "casting.button_percent", "-50", "0 or more")),
        ("= 1.25", "= 25", Bad("", "", "shrink.gold", "25", "less than 10")),
        ("= 1.25", '= "1.25"', Bad("", "", "shrink.gold", '"1.25"')),
        ("[shrink]", "[shrinck]", Bad("", "", "shrinck", nearest="shrink")),
        ("gold", "gld", Bad("", "", "shrink.gld", nearest="gold")),
    ],
)
def test_the_shop_file_is_read_as_strictly(
    run: Run, tmp_path: Path, old: str, new: str, bad: Bad
) -> None:
    text = changed(old, new, SHOP)
    (tmp_path / "shop.toml").write_text(text)
    (problem,) = refused(run, tmp_path, GOOD, "--shop", str(tmp_path / "shop.toml"))
    assert problem["where"] == bad.where
    assert problem["line"] == line_of(text, new)
    for key in ("value", "allowed", "nearest"):
        assert getattr(bad, key) in problem[key]


def test_both_files_at_once_each_by_its_name(run: Run, tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(changed("= 50", "= nan", SHOP))
    wrong = changed("width_mm = 6.0", "width_mm = 0")
    problems = refused(run, tmp_path, wrong, "--shop", str(tmp_path / "shop.toml"))
    assert {p["where"].split(": ")[-1] for p in problems} == {
        "ring.width_mm",
        "casting.button_percent",
    }
    said = run(
        "make", "--no-pictures", tmp_path / "wren.toml", "--shop", tmp_path / "shop.toml"
    ).err
    assert "shop.toml" in said


class Stop(NamedTuple):
    """A change that leaves a readable design nobody can make."""

    old: str
    new: str
    code: str
    where: str
    value: float
    limit: float
    fix: str


def test_a_missing_file_is_named_once_with_the_one_that_was_meant(run: Run, tmp_path: Path) -> None:
    (tmp_path / "wren.toml").write_text(GOOD)
    for given, meant in (("wrenn.toml", "wren.toml"), ("wren", "wren.toml"), ("dunlin.toml", "")):
        ran = run("weigh", tmp_path / given, "--json")
        assert ran.code == 2
        (problem,) = json.loads(ran.out)["problems"]
        assert problem["file"] == str(tmp_path / given)
        assert problem["nearest"] == (str(tmp_path / meant) if meant else "")
    ran = run("weigh", tmp_path / "wren.toml", "--shop", tmp_path / "drawer.toml")
    assert ran.code == 2
    assert (ran.out + ran.err).count("drawer.toml") == 1


def bore_rise(z: float) -> float:
    """Rise of the bore's dome at a distance from mid-width: half width 3, rise 0.25 [mm]."""
    bend = (9 + 0.25**2) / 0.5
    return bend - math.sqrt(bend**2 - z**2)


LINER = GOOD[: GOOD.index('place = "channel"')].replace("reed", "liner") + (
    'place = "liner"\nalloy = "silver-925"\nthickness_mm = '
)
WIDE = "width_mm = 5.0\ndepth_mm = 1.3"
TWO = '[[part]]\nname = "other"\nplace = "channel"\nalloy = "silver-925"\nwidth_mm = 2\n'

STOPPED = {
    "inches for the width": Stop(
        "width_mm = 6.0", "width_mm = 0.236", "looks-like-inches", "ring.width_mm", 0.236, 0.8,
        f"width_mm = {0.236 * 25.4:.2f}",
    ),
    "inches for the thickness": Stop(
        "= 1.9", "= 0.075", "looks-like-inches", "ring.thickness_mm", 0.075, 0.3,
        f"thickness_mm = {0.075 * 25.4:.2f}",
    ),
    "diameter for circumference": Stop(
        '"US 7"', '"17.3 mm around"', "size-mixed-up", "ring.size", 17.3 / math.pi, 11.0,
        "17.3 mm across",
    ),
    "circumference for diameter": Stop(
        '"US 7"', '"54.4 mm across"', "size-mixed-up", "ring.size", 54.4, 26.0, "54.4 mm around"
    ),
    "inches for the finger": Stop(
        '"US 7"', '"0.68 mm across"', "size-mixed-up", "ring.size", 0.68, 11.0, "0.68 in across"
    ),
    "karat for fineness": Stop(
        "Au = 75", "Au = 18", "karat-for-percent", f"{REED}.alloy", 18, 75, "Au 75"
    ),
    "recipe that does not sum": Stop(
        "Ag = 25", "Ag = 20", "recipe-sum", f"{REED}.alloy", 95, 100, "5 % is missing"
    ),
    "recipe in fractions": Stop(
        "Au = 75, Ag = 25", "Au = 0.75, Ag = 0.25", "recipe-sum", f"{REED}.alloy", 1, 100, "by 100"
    ),
    "recipe just beyond 0.05": Stop(
        "Ag = 25", "Ag = 25.06", "recipe-sum", f"{REED}.alloy", 100.06, 100, "0.06 % is too much"
    ),
    "inlay wider than the band": Stop(
        "width_mm = 2.4", "width_mm = 6.2", "inlay-too-wide", f"{REED}.width_mm", 6.2, 6, "up to 6"
    ),
    "channel through the floor": Stop(
        "= 0.8", "= 2.5", "thin-floor", f"{REED}.depth_mm", 1.9 - 2.5, 0.5, "deepest safe channel"
    ),
    "floor too thin at mid-width": Stop(
        # the floor is thinnest at the channel's walls, 1.2 mm out
        "= 0.8", "= 1.5", "thin-floor", f"{REED}.depth_mm", 0.4 - bore_rise(1.2), 0.5, "deepest"
    ),
    "floor too thin only at the dome's edges": Stop(
        # 0.6 at mid-width is enough; 2.5 mm out the bore has risen by 0.17
        "width_mm = 2.4\ndepth_mm = 0.8", WIDE, "thin-floor", f"{REED}.depth_mm",
        0.6 - bore_rise(2.5), 0.5, "deepest safe channel here",
    ),
    "channel out of the band": Stop(
        "centre_mm = 0.0", "centre_mm = 2.0", "runs-out", REED, 3.2, 3, "within 3 mm"
    ),
    "wave out of the band": Stop(
        "amplitude_mm = 0.0", "amplitude_mm = 2.0", "runs-out", REED, 3.2, 3, "within 3 mm"
    ),
    "overlap": Stop(
        # the first ends at 1.2, the second begins at 0.9
        "[[part]]", f"{TWO}centre_mm = 1.9\ndepth_mm = 0.8\n\n[[part]]", "parts-overlap",
        'part 2 "reed"', 0.3, 0, "one of the two",
    ),
    "liner thinner than its dome": Stop(
        GOOD, f"{LINER}0.2\n", "liner-runs-out", 'part 1 "liner".thickness_mm', 0.2, 0.25, "0.55"
    ),
    "liner as thick as the band": Stop(
        GOOD, f"{LINER}1.9\n", "parts-overlap", 'part 1 "liner".thickness_mm', 1.9, 1.9, "below 1.9"
    ),
    "domes larger than the wall": Stop(
        "= 1.9", "= 0.5", "dome-larger-than-wall", "ring.outside", 0.6, 0.5, "0.5 mm at most"
    ),
    "dome over half a circle": Stop(
        "rise_mm = 0.35", "rise_mm = 3.5", "dome-too-high", "ring.outside", 3.5, 3, "up to 3"
    ),
    "edges that meet": Stop(
        # 1.9 - 0.35 - 0.25 = 1.3 mm of edge face for two roundings
        "edge_mm = 0.2", "edge_mm = 1.0", "edge-rounding", "ring.edge_mm", 1.0, math.nan, "smaller"
    ),
    "edges rounder than half the width": Stop(
        "edge_mm = 0.2", "edge_mm = 4", "edge-rounding", "ring.edge_mm", 4, math.nan, "smaller"
    ),
    "gap negative by accident": Stop(
        "side = 0.05", "side = -0.4", "gap-negative", f"{REED}.gap_mm", -0.4, -0.035, "0.4 if"
    ),
    "gap as wide as the inlay": Stop(
        "side = 0.05", "side = 1.3", "gap-eats-part", f"{REED}.gap_mm", -0.2, 0.15, "smaller"
    ),
}  # fmt: skip


@pytest.mark.parametrize("stop", STOPPED.values(), ids=STOPPED)
def test_it_is_stopped(run: Run, tmp_path: Path, stop: Stop) -> None:
    text = changed(stop.old, stop.new)
    (tmp_path / "wren.toml").write_text(text, encoding="utf-8")
    ran = run("make", "--no-pictures", tmp_path / "wren.toml", "--out", tmp_path / "out", "--json")
    assert ran.code == 1, ran
    assert ran.err == ""
    assert [path.name for path in tmp_path.iterdir()] == ["wren.toml"]
    job = json.loads(ran.out)
    assert job["parts"] == job["castings"] == job["melts"] == []
    told = [f for f in job["findings"] if (f["code"], f["where"]) == (stop.code, stop.where)]
    assert told, job["findings"]
    assert told[0]["level"] == "stop"
    # exact in binary but for the floors, which are read off a grid of the section
    assert told[0]["value"] == pytest.approx(stop.value, abs=1e-6)
    if not math.isnan(stop.limit):
        assert told[0]["limit"] == pytest.approx(stop.limit, abs=1e-9)
    assert stop.fix in told[0]["fix"]
    assert told[0]["line"]
    said = run("make", "--no-pictures", tmp_path / "wren.toml", "--out", tmp_path / "out").out
    assert "nothing was written" in said
    assert told[0]["text"] in said
    assert f"line {told[0]['line']}" in said


@pytest.mark.parametrize("metal", ["Cd", "Pb"])
def test_poison_is_refused(run: Run, tmp_path: Path, metal: str) -> None:
    text = changed("Ag = 25", f"Ag = 20, {metal} = 5")
    (tmp_path / "wren.toml").write_text(text)
    ran = run("check", tmp_path / "wren.toml", "--json")
    assert ran.code == 1
    stops = [f for f in json.loads(ran.out)["findings"] if f["level"] == "stop"]
    assert stops[0]["where"] == f"{REED}.alloy"
    assert stops[0]["value"] == 5
    assert stops[0]["line"] == line_of(text, "Willow")


def test_all_stops_at_once(run: Run, tmp_path: Path) -> None:
    text = GOOD
    for old, new in (
        ('"US 7"', '"17.3 mm around"'),
        ("= 0.8", "= 2.5"),
        ("Ag = 25", "Ag = 20"),
        ("side = 0.05", "side = -0.4"),
        ("width_mm = 2.4", "width_mm = 6.2"),
        ("edge_mm = 0.2", "edge_mm = 4"),
    ):
        text = changed(old, new, text)
    (tmp_path / "wren.toml").write_text(text)
    ran = run("check", tmp_path / "wren.toml", "--json")
    assert ran.code == 1
    codes = {f["code"] for f in json.loads(ran.out)["findings"] if f["level"] == "stop"}
    assert codes >= {
        "size-mixed-up",
        "thin-floor",
        "recipe-sum",
        "gap-negative",
        "inlay-too-wide",
        "edge-rounding",
    }


def test_the_good_design_is_good(run: Run, tmp_path: Path) -> None:
    """Or else every refusal above proves nothing."""
    (tmp_path / "wren.toml").write_text(GOOD)
    ran = run("check", tmp_path / "wren.toml")
    assert ran.code == 0, ran
    assert "STOP" not in ran.out
