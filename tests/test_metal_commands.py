"""The commands on metals and melts: their numbers, their JSON, and what they refuse."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]
GREEN, YELLOW = "Au 75 Ag 25", "gold-750-yellow-3n"


def told(run: Run, *words: str | Path, code: int = 0) -> dict[str, Any]:
    """What a command says as JSON."""
    done = run(*words, "--json")
    assert done.code == code, done.err
    found: dict[str, Any] = json.loads(done.out)
    assert found["schema"] == "ringgeom/1"
    return found


def test_contrast_of_3n_with_green(run: Run) -> None:
    """About 7 in daylight and less under a lamp: computed outside from the same optics."""
    found = told(run, "contrast", YELLOW, GREEN)
    assert found["between"] == [YELLOW, GREEN]
    assert found["delta_e_00_d65"] == pytest.approx(7.1, abs=0.1)
    assert found["delta_e_00_a"] == pytest.approx(5.8, abs=0.1)
    assert found["verdict"] == "reads as two colours"
    assert found["reads_green"] == GREEN
    assert found["told_apart"] is True
    assert found["better"] == []
    plain = run("contrast", YELLOW, GREEN)
    assert "reads green beside" in plain.out


def test_contrast_of_2n_with_a_copper_green_is_uncertain(run: Run) -> None:
    """3.3 by the extension handed down, 3.1 with zinc fitted to brass: between the limits."""
    found = told(run, "contrast", "Au 75 Ag 15.5 Cu 9.5", "Au 75 Ag 20 Cu 4 Zn 1")
    assert 2 < found["delta_e_00_d65"] < 5
    assert found["uncertain"] is True
    assert "test button" in found["words"]
    for offer in found["better"]:
        least = [one["delta_e_00_d65"] for one in offer["alloys"]]
        assert min(least) > found["delta_e_00_d65"]


def test_contrast_is_the_same_both_ways(run: Run) -> None:
    one, two = told(run, "contrast", YELLOW, GREEN), told(run, "contrast", GREEN, YELLOW)
    assert one["delta_e_00_d65"] == pytest.approx(two["delta_e_00_d65"], abs=1e-9)
    assert one["reads_green"] == two["reads_green"]


def test_alloy_tells_everything(run: Run) -> None:
    found = told(run, "alloy", "gold-750-red-5n")
    assert found["recipe"] == {"Au": 75.0, "Cu": 20.5, "Ag": 4.5}
    assert found["fineness_permille"] == 750
    assert (found["solidus_c"], found["liquidus_c"]) == (890, 895)
    assert found["pour"]["aim_c"] == 970  # liquidus + 75, common practice, no source
    assert {mark["region"]: mark["mark"] for mark in found["marks"]} == {
        "uk": "750",
        "us": "18K",
        "convention": "750",
        "iso": "750",
    }
    assert [hint["code"] for hint in found["hints"]] == ["copper-ordering"]
    assert "Grimwade" in found["source"]
    assert found["cautions"][-1]["text"].startswith("Local codes")


def test_alloy_without_a_name_is_the_catalogue(run: Run) -> None:
    from ringgeom.metal import alloy_names

    found = told(run, "alloy")
    assert [one["alloy"] for one in found["alloys"]] == list(alloy_names())
    assert len(run("alloy").out.splitlines()) == 1 + len(alloy_names())


@pytest.mark.parametrize(
    ("white", "grade"),
    [("platinum-950-ru", "good white"), ("Au 75 Pd 8 Ag 17", "poor white")],
)
def test_whites_are_graded(run: Run, white: str, grade: str) -> None:
    assert grade in run("alloy", *white.split()).out


def test_equal_volumes_and_equal_masses(run: Run) -> None:
    """Gold and silver: 648 fine and 500 fine, 15.55 and 12.00 kt (derived from 19.30, 10.49)."""
    volumes = told(run, "mix", "1 cm3 Au", "1 cm3 Ag")
    assert volumes["fineness_permille"] == pytest.approx(1000 * 19.30 / (19.30 + 10.49), abs=1e-9)
    assert volumes["grams"] == pytest.approx(29.79, abs=1e-9)
    masses = told(run, "mix", "18 g Au", "18000 mm3 Ag", "1 kg Ag")
    assert masses["recipe"]["Au"] == pytest.approx(1800 / (18 + 18 * 10.49 + 1000), abs=1e-9)
    equal = told(run, "mix", "0.5 ozt Au", "10 dwt Ag")
    assert equal["fineness_permille"] == pytest.approx(500, abs=1e-9)
    # T.K. Rose measured 13.60 for equal masses; his gold and silver were a little lighter
    assert equal["density_g_cm3"] == pytest.approx(13.60, rel=0.005)


def test_a_lot_is_raised(run: Run) -> None:
    """7 g of 10 kt to 14 kt takes 2.8 g of fine gold (bench guides; common practice)."""
    found = told(run, "fineness", "7 g Au 41.6667 Ag 58.3333", "--to", "583.3333")
    assert found["add_g"] == pytest.approx(2.8, abs=1e-3)
    assert found["total_g"] == pytest.approx(9.8, abs=1e-3)
    assert found["colour_shift"]["delta_e_00_d65"] > 0


def test_a_lot_is_lowered_with_an_alloy(run: Run) -> None:
    """9 dwt of 18 kt to 10 kt takes 7.2 dwt of alloy (bench guides; common practice)."""
    found = told(
        run, "fineness", "9 dwt Au 75 Cu 25", "--to", "416.66666667", "--with", "Ag 50 Cu 50"
    )
    assert found["add_g"] == pytest.approx(7.2 * 31.1034768 / 20, abs=1e-6)


def test_weighed_in_water(run: Run) -> None:
    """9.85 g and 0.675 cm3: 61.5 % with 19.3 and 10.5 (Brown et al., answer computed)."""
    found = told(run, "assay", "--air", "9.85", "--volume", "0.675")
    # silver counts 10.49 here instead of 10.5
    assert found["share"]["permille"] == pytest.approx(615, abs=1.5)
    assert found["share"]["karat"] == pytest.approx(14.76, abs=0.04)
    pores = told(run, "assay", "--air", "10", "--water", "9.3", "--expect", YELLOW)
    assert pores["porosity"]["verdict"] == "porous"


def test_recipes_greener_than_3n(run: Run) -> None:
    found = told(run, "recipe", "--fineness", "750", "--than", YELLOW)
    assert found["proposals"][0]["recipe"] == {"Au": 75.0, "Ag": 25.0}
    target = told(run, "recipe", "--fineness", "750", "--towards", "90.4 1.7 25.2", "--count", "1")
    assert target["proposals"][0]["delta_e_00"] < 0.1
    assert "Ni" not in target["proposals"][0]["recipe"]


def test_an_ounce_of_gold_makes_41_47_g(run: Run) -> None:
    """31.1 g fine to 750/160/90: 41.47 g with Cu 3.73 and Ag 6.63 (6.64 for 31.1035 g)."""
    found = told(run, "melt", "--alloy", "Au 75 Ag 16 Cu 9", "--have", "31.1 g Au")
    assert found["alloy_g"] == pytest.approx(41.47, abs=0.005)
    added = {one["metal"]: round(one["grams"], 2) for one in found["add"]}
    assert added == {"Ag": 6.63, "Cu": 3.73}


def test_a_melt_of_two_alloys_from_a_drawer(run: Run, designs: Path) -> None:
    shop = designs / "shop" / "drawer.toml"
    found = told(run, "melt", designs / "heron.toml", "--shop", shop)
    assert found["possible"]
    assert [melt["alloy"] for melt in found["melts"]] == ["gold-750-green", YELLOW]
    out = {one["lot"]: one["why"] for one in found["kept_out"]}
    assert set(out) == {"mended chain", "white findings", "box of odd rings"}
    assert "solder" in out["mended chain"]
    assert "unknown" in out["box of odd rings"]
    for melt in found["melts"]:
        assert melt["worst_permille"] >= 750
        assert melt["remelt_percent"] <= 50 + 1e-9
        assert all(take["grams"] > 0 for take in melt["take"])
    used: dict[str, float] = {}
    for take in (take for melt in found["melts"] for take in melt["take"]):
        used[take["from"]] = used.get(take["from"], 0) + take["grams"]
    had = {"gold grain": 25, "silver grain": 40, "copper": 30, "yellow buttons": 9.4}
    for lot, grams in had.items():
        left = next(one["grams"] for one in found["left"] if one["lot"] == lot)
        assert left == pytest.approx(grams - used.get(lot, 0), abs=1e-9)


def test_a_drawer_that_cannot_do_it_says_why(run: Run, designs: Path) -> None:
    shop = designs / "shop" / "short.toml"
    found = told(run, "melt", designs / "heron.toml", "--shop", shop, code=1)
    assert not found["possible"]
    missing = [one for melt in found["melts"] for one in melt["missing"]]
    assert {one["metal"] for one in missing} == {"Au"}
    # derived: gold wanted less all that is there and may be used: 4 g fine, and of the yellow
    # melt half from metal of 750
    green, yellow = (melt["melt_g"] for melt in found["melts"])
    wanted = 0.75 * (green + yellow)
    assert sum(one["grams"] for one in missing) == pytest.approx(
        wanted - 4.0 - 0.75 * 0.5 * yellow, abs=0.02
    )
    assert any("remelt" in why for melt in found["melts"] for why in melt["why"])
    assert (
        "cannot be made from the stock" in run("melt", designs / "heron.toml", "--shop", shop).out
    )


def test_several_rings_share_one_drawer(run: Run, designs: Path) -> None:
    shop = designs / "shop" / "drawer.toml"
    found = told(
        run, "melt", designs / "heron.toml", designs / "quarry.toml", "--shop", shop, code=1
    )
    assert {melt["job"] for melt in found["melts"]} == {"Heron", "Quarry"}
    assert all(one["grams"] >= 0 for one in found["left"])


def test_marks_of_one_region_and_of_all(run: Run, designs: Path) -> None:
    found = told(run, "mark", designs / "saltmarsh.toml", "--region", "uk")
    (one,) = found["marks"]
    assert {stamp["mark"] for stamp in one["stamps"]} == {"585", "925"}
    office = [stamp["metal"] for stamp in one["stamps"] if stamp["assay_office_mark"]]
    assert office == ["silver"]
    assert len(told(run, "mark", designs / "saltmarsh.toml")["marks"]) == 4
    assert "check with your assay office" in run("mark", designs / "heron.toml").out


@pytest.mark.parametrize("name", ["map.png", "map.svg"])
@pytest.mark.parametrize("more", [(), ("--green-line",)])
def test_a_map_is_written(
    run: Run, designs: Path, tmp_path: Path, name: str, more: tuple[str, ...]
) -> None:
    path = tmp_path / name
    done = run("chart", path, "--design", designs / "heron.toml", *more)
    assert done.code == 0, done.err
    begins = b"\x89PNG" if name.endswith("png") else b"<?xml"
    assert path.read_bytes().startswith(begins)
    assert [one.name for one in tmp_path.iterdir()] == [name]


REFUSED = [
    (("contrast", "Au 75 Ag 20", GREEN), "5 % is missing"),
    (("contrast", "gold-750-yelow-3n", GREEN), YELLOW),
    (("alloy", "Au", "0.75", "Ag", "0.25"), "multiply by 100"),
    (("mix", "18 Au"), "unit"),
    (("mix", "1 oz Au"), "ozt"),
    (("mix", "0 g Au"), "above 0"),
    (("mix", "g 3 Au"), "portion"),
    (("fineness", "20 g Au 75 Ag 20", "--to", "585"), "5 % is missing"),
    (("fineness", "7 g Au 75 Ag 25", "--to", "18"), "750"),
    (("fineness", "7 g Au 75 Ag 25", "--to", "0.75"), "750"),
    (("fineness", "7 g Au 75 Ag 25", "--to", "900", "--with", "Au 58.5 Ag 41.5"), "900"),
    (("assay", "--air", "9", "--water", "10"), "swapped"),
    (("assay", "--air", "9"), "one of the two"),
    (("assay", "--air", "-9", "--water", "8"), "above 0"),
    (("assay", "--air", "5", "--water", "4.7", "--temperature", "68"), "20"),
    (("assay", "--air", "5", "--water", "4.7", "--metals", "Au"), "two metals"),
    (("recipe", "--fineness", "18"), "750"),
    (("recipe", "--fineness", "750", "--allowed", "Ag Cd"), "cadmium"),
    (("recipe", "--fineness", "750", "--towards", "bluer"), "greener"),
    (("recipe", "--fineness", "750", "--allowed", "Ag Cu", "--most", "Ag 24.8 Cu 0.4"), "room"),
    (
        (
            "recipe",
            "--fineness",
            "750",
            "--allowed",
            "Ag Cu Zn",
            "--most",
            "Ag 12.345 Cu 12.655 Zn 0",
        ),
        "room",
    ),
    (("alloy", "x " * 2000), "too long for an alloy"),
    (("melt", "--alloy", GREEN), "in hand"),
    (("melt", "--alloy", GREEN, "--grams", "-3"), "above 0"),
    (("melt", "--alloy", GREEN, "--grams", "1e308"), "1e+06"),
    (("melt", "--alloy", "Au 75 Cd 25", "--have", "5 g Au"), "cadmium"),
    (("melt", "--alloy", GREEN, "--have", "5 g Au", "--shop", "nope.toml"), "nope.toml"),
    (("melt", "heron.toml", "--grams", "5"), "design files"),
    (("chart", "map.svg", "--shop", "nope.toml"), "--design"),
    (("chart", ".svg"), "map.png"),
    (("melt", "--alloy", GREEN, "--have", "3 g Au 75 Ag 25", "--have", "1 g Au"), "fine metals"),
    (("melt", "--alloy", GREEN, "--have", "3 g gold-750-yellow-3n"), "Cu"),
    (("melt", "--alloy", "Ag 80 Cd 20", "--grams", "9"), "cadmium"),
    (("chart", "map.pdf"), ".png or .svg"),
    (("chart", "no/such/folder/map.png"), "cannot be written"),
]


@pytest.mark.parametrize(("words", "said"), REFUSED, ids=[" ".join(w) for w, _ in REFUSED])
def test_what_is_refused_says_the_way_out(run: Run, words: tuple[str, ...], said: str) -> None:
    done = run(*words)
    assert done.code == 2, done.out
    assert said in done.err
    assert "Traceback" not in done.err


def test_a_region_that_is_none(run: Run, designs: Path) -> None:
    done = run("mark", designs / "heron.toml", "--region", "eu")
    assert done.code == 2
    assert "convention" in done.err


def test_an_old_map_stays_when_a_new_one_fails(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "map.png"
    path.write_bytes(b"old")
    assert run("chart", path, "--alloy", "gold-750-yelow").code == 2
    assert path.read_bytes() == b"old"


def test_what_must_not_be_worn_stops(run: Run) -> None:
    """Told with its numbers, but with the code of a stop."""
    done = run("mix", "10 g Au 75 Cd 5 Ag 20", "3 g Pb")
    assert done.code == 1
    assert "cadmium" in done.out
    assert "lead" in done.out
    assert run("fineness", "7 g Au 50 Ag 50", "--to", "600", "--with", "Au 90 Cd 10").code == 1
    found = told(run, "alloy", "Au 58.5 Cd 4 Ag 20 Cu 17.5")
    assert found["marks"] == []
    assert found["colour"]["trust"] == "other"


def test_a_change_of_fineness_is_weighed_so_that_it_is_reached(run: Run) -> None:
    """8.096 g would do; 8.09 on the balance is 584.9, so 8.10 is weighed (derived)."""
    found = told(run, "fineness", "20 g gold-417-yellow", "--to", "585")
    assert found["add_g"] == pytest.approx(20 * (585 - 417) / (1000 - 585), abs=1e-9)
    assert found["weighed"]["add_g"] == 8.10
    assert found["weighed"]["after_permille"] >= 585
    lower = told(run, "fineness", "10 g gold-750-red-5n", "--to", "585", "--with", "Ag 50 Cu 50")
    assert lower["weighed"]["add_g"] <= lower["add_g"]
    assert lower["weighed"]["after_permille"] >= 585


@pytest.mark.parametrize(("grams", "said"), [("0.001", "too coarse"), ("1.3", "too coarse")])
def test_a_balance_too_coarse_says_so(run: Run, tmp_path: Path, grams: str, said: str) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text("[melt]\nbalance_g = 0.1\n", "utf-8")
    done = run("melt", "--alloy", "Au 75 Ag 16 Cu 9", "--grams", grams, "--shop", shop)
    assert said in done.out
    assert done.code == (1 if grams == "0.001" else 0)


def test_the_drawer_goes_before_the_shop_window(run: Run, tmp_path: Path) -> None:
    """At the same price nothing is bought that lies in the drawer; what is bought is priced."""
    shop = tmp_path / "shop.toml"
    text = (
        '[melt]\naim = "least cost"\nbuy = ["Au", "Ag", "Cu"]\n[prices]\ncurrency = "EUR"\n'
        'Au = 2100.0\nAg = 25.0\nCu = 0.3\n[[lot]]\nname = "grain"\ngrams = {grams}\n'
        "recipe = {{ Au = 100 }}\n"
    )
    shop.write_text(text.format(grams=50), "utf-8")
    found = told(run, "melt", "--alloy", YELLOW, "--grams", "20", "--shop", shop)
    bought = {take["from"] for take in found["melts"][0]["take"] if take["bought"]}
    assert bought == {"fine silver", "fine copper"}
    shop.write_text(text.format(grams=5), "utf-8")
    found = told(run, "melt", "--alloy", YELLOW, "--grams", "20", "--shop", shop)
    gold = sum(
        take["grams"]
        for take in found["melts"][0]["take"]
        if take["bought"] and take["from"] == "fine gold"
    )
    # derived: gold per gram, silver and copper are small change
    assert found["bought_cost"] == pytest.approx(gold * 2100 / 31.1034768, rel=0.01)
    assert "BUY fine gold" in run("melt", "--alloy", YELLOW, "--grams", "20", "--shop", shop).out


def test_a_large_drawer_is_planned(run: Run, tmp_path: Path, designs: Path) -> None:
    """34 lots used up whole, and 200 lots for all designs: neither time nor memory runs away."""
    shop = tmp_path / "shop.toml"
    lots = [
        f'[[lot]]\nname = "l{n}"\ngrams = {2 + n * 0.0011}\nrecipe = "Au 75 Ag 25"\n'
        for n in range(34)
    ]
    shop.write_text("[melt]\nremelt_percent = 100\n" + "".join(lots), "utf-8")
    assert told(run, "melt", "--alloy", GREEN, "--grams", "68", "--shop", shop)["possible"]
    kinds = ["Au 75 Ag 25", "gold-750-yellow-3n", "silver-925", "gold-585-yellow"]
    lots = [
        f'[[lot]]\nname = "l{n}"\ngrams = {2 + n * 0.11}\nkind = "returns"\n'
        f'recipe = "{kinds[n % 4]}"\n'
        for n in range(200)
    ]
    shop.write_text("".join(lots), "utf-8")
    found = told(run, "melt", *sorted(designs.glob("*.toml")), "--shop", shop, code=1)
    assert all(take["grams"] > 0 for melt in found["melts"] for take in melt["take"])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[prices]\ncurrency = "EUR"\nunit = "g"\nsure = true\nAu = 1e308\n', "1e+09"),
        ('[prices]\ncurrency = "EUR"\ndate = "2026-01-01"\n', "2026-11-20"),
        ('[[lot]]\nname = "a\\u001b[31m"\ngrams = 1.0\n', "printed"),
        ('[measured."x"]\nlab = [900.0, 0.0, 0.0]\n', "100"),
    ],
)
def test_slips_in_the_shop_file(run: Run, tmp_path: Path, text: str, said: str) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text(text, "utf-8")
    done = run("melt", "--alloy", GREEN, "--grams", "9", "--shop", shop)
    assert done.code == 2
    assert said in done.err


def test_a_map_keeps_what_a_link_points_to_and_its_mode(run: Run, tmp_path: Path) -> None:
    real, link = tmp_path / "real.svg", tmp_path / "link.svg"
    real.write_text("old", "utf-8")
    real.chmod(0o600)
    link.symlink_to(real)
    assert run("chart", link).code == 0
    assert link.is_symlink()
    assert real.read_text("utf-8").startswith("<?xml")
    assert real.stat().st_mode & 0o777 == 0o600


def test_solder_counts_in_the_whole(run: Run, designs: Path) -> None:
    heron = designs / "heron.toml"
    found = told(run, "mark", heron, "--region", "us", "--solder", "0.5 585")
    (one,) = found["marks"]
    assert one["whole_permille"] < 750
    assert run("mark", heron, "--solder", "0.5").code == 2
    assert run("mark", heron, "--solder", "0.5 18").code == 2


def test_a_lot_in_hand_is_taken_up_whole(run: Run) -> None:
    """5 g of 585 yellow into 3N: copper decides (derived: 21 % of 5 g over 12.5 %)."""
    found = told(run, "melt", "--alloy", YELLOW, "--have", "5 g gold-585-yellow")
    assert found["limiting"] == "Cu"
    assert found["alloy_g"] == pytest.approx(5 * 21 / 12.5, abs=1e-9)
    added = {one["metal"]: one["grams"] for one in found["add"]}
    assert added["Au"] == pytest.approx(0.75 * 8.4 - 0.585 * 5, abs=1e-9)
    assert sum(added.values()) == pytest.approx(8.4 - 5, abs=1e-9)


def test_room_for_solder(run: Run, designs: Path) -> None:
    """Derived: sum m w + 585 x = 743 (sum m + x), m in the ring, w at its melt's worst."""
    found = told(run, "mark", designs / "heron.toml", "--region", "us", "--solder", "0.01 585")
    (room,) = found["solder"]
    assert room["mark"] == "18K"
    ring = told(run, "weigh", designs / "heron.toml")
    worst = {melt["alloy"]: melt["worst_permille"] for melt in ring["melts"]}
    over = sum(p["finished_g"] * (worst[p["alloy"]] - 743) for p in ring["parts"])
    assert room["room_g"] == pytest.approx(over / (743 - 585), rel=1e-9)
    assert "carries up to" in run("mark", designs / "heron.toml", "--solder", "0.01 585").out


@pytest.mark.parametrize(
    ("alloy", "have", "least"),
    [
        ("gold-585-yellow", "9.4 g gold-750-yellow-3n", 585),
        (YELLOW, "10 g Au", 750),
        (YELLOW, "25 g Au", 750),
        (YELLOW, "9.4 g gold-585-yellow", 750),
        ("gold-375-yellow", "10 g Au", 375),
        ("gold-585-yellow", "10 g silver-925", 585),
        ("Au 75 Ag 16 Cu 9", "31.1 g Au", 750),
    ],
)
def test_what_is_in_hand_is_rounded_to_hold_the_fineness(
    run: Run, alloy: str, have: str, least: float
) -> None:
    """Rounded to the nearest, each of these falls under its mark (sums by hand)."""
    weighed = told(run, "melt", "--alloy", alloy, "--have", have)["weighed"]
    assert weighed["fineness_permille"] >= least - 1e-9
    for take in weighed["take"]:
        assert take["grams"] == round(take["grams"], 2)


def test_a_metal_named_twice_counts_once(run: Run) -> None:
    found = told(run, "recipe", "--fineness", "750", "--allowed", "Ag Ag")
    assert sum(found["proposals"][0]["recipe"].values()) == pytest.approx(100, abs=1e-9)


def test_a_map_into_a_link_that_leads_nowhere(run: Run, tmp_path: Path) -> None:
    loop = tmp_path / "loop.png"
    loop.symlink_to(loop)
    done = run("chart", loop)
    assert done.code == 2
    assert "cannot be written" in done.err


def test_a_colour_out_of_range_is_refused(run: Run, designs: Path, tmp_path: Path) -> None:
    wild = tmp_path / "wild.toml"
    text = (designs / "heron.toml").read_text("utf-8")
    recipe = '{ name = "A", Au = 75, Ag = 25, lab = [50, 1e155, 0] }'
    wild.write_text(text.replace('"gold-750-green"', recipe), "utf-8")
    done = run("check", wild)
    assert done.code == 2
    assert "128" in done.err


def test_of_several_designs_the_bad_one_is_named(run: Run, designs: Path, tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text((designs / "heron.toml").read_text("utf-8").replace("6.0", "600.0"))
    done = run("melt", designs / "heron.toml", bad, "--one-flask")
    assert done.code == 2
    assert str(bad) in done.err
    deep = tmp_path / "deep.toml"
    text = (designs / "heron.toml").read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 1.85")
    deep.write_text(text.replace('"Heron"', '"Deep"'))
    done = run("melt", designs / "heron.toml", deep)
    assert done.code == 1
    assert "Deep cannot be made" in done.out
