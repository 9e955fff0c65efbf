"""The shop on the page: figures and stock set in its file, remarks kept; bad ones refused."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from page.pages import PLAIN, client, looked
from starlette.testclient import TestClient

from ringgeom.page.edits import Change
from ringgeom.page.shop_edits import changed_shop
from ringgeom.shop import Shop, shop_from_text

SHOP = """# my own figures
[casting]
button_percent = 40   # a small crucible

[[lot]]
name = "gold grain"
grams = 25.0          # weighed on Monday
recipe = { Au = 100 }

# what came back
[[lot]]
name = "buttons"
grams = 9.4
recipe = "gold-750-yellow-3n"
kind = "returns"

# nothing below
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "my-shop.toml"
    path.write_text(SHOP)
    return path


@pytest.fixture
def page(file: Path) -> TestClient:
    return client(file.parent, shop=file)


def the_shop(page: TestClient) -> Any:
    return page.post("shop", json={"text": PLAIN}).json()


def changed(page: TestClient, *changes: tuple[list[str | int], Any]) -> Any:
    sent = [{"key": key, "value": value} for key, value in changes]
    turn = the_shop(page)["turn"]
    return page.post("shop_change", json={"text": PLAIN, "turn": turn, "changes": sent})


def test_a_figure_changes_the_grams_at_once_and_is_saved_with_its_remarks(
    page: TestClient, file: Path, tmp_path: Path, run: Callable[..., Any]
) -> None:
    before = looked(page, PLAIN)["castings"]
    found = changed(page, (["casting", "melt_loss_percent"], 3.5)).json()
    assert not found["is_saved"]
    assert file.read_text() == SHOP  # nothing is written unasked
    after = looked(page, PLAIN)["castings"]
    assert after != before
    saved = page.post("shop_save", json={"text": PLAIN, "turn": found["turn"]}).json()
    assert saved["is_saved"]
    lines = [line for line in file.read_text().splitlines() if "melt_loss" not in line]
    assert lines == SHOP.splitlines()
    design = tmp_path / "plain.toml"
    design.write_text(PLAIN)
    told = json.loads(run("weigh", design, "--shop", file, "--json").out)
    assert told["castings"] == after


def test_a_stock_edit_changes_the_melts(page: TestClient) -> None:
    def weighed() -> str:
        return json.dumps(page.post("melts", json={"text": PLAIN}).json()["told"])

    before = weighed()
    assert '"buttons"' in before
    found = changed(page, (["lot", 1, "flags"], ["solder"])).json()
    assert found["lots"][1]["flags"] == ["solder"]
    after = weighed()
    assert "kept out: buttons" in after
    assert changed(page, (["lot", 1, "flags"], None)).status_code == 200
    assert weighed() == before


@pytest.mark.parametrize(
    ("key", "value"),
    [
        (["lot", 0, "grams"], "heavy"),
        (["lot", 0, "grams"], -3),
        (["lot", 0, "recipe"], "Au 75 Ag 250"),
        (["lot", 0, "recipe"], "Xx 75 Ag 25"),
        (["lot", 0, "kind"], "found"),
        (["lot", 2], {"name": "odd", "grams": ""}),
        (["lot", 2], {"name": "", "grams": 3}),
        (["casting", "melt_loss_percent"], 21),
        (["casting", "button"], 3),
        (["prices", "Au"], 2100),
        (["prices", "currency"], " "),
        (["melt", "buy"], ["Zz"]),
    ],
)
def test_a_bad_value_is_refused_in_the_commands_words_and_the_last_shop_stays(
    page: TestClient, file: Path, run: Callable[..., Any], key: list[str | int], value: Any
) -> None:
    before = the_shop(page)
    answer = changed(page, (key, value))
    assert answer.status_code == 422
    problems = answer.json()["problems"]
    assert the_shop(page) == before
    # the same shop on the command line
    design = file.with_name("plain.toml")
    design.write_text(PLAIN)
    file.write_text(changed_shop(SHOP, [Change(key=tuple(key), value=value)]))
    said = run("melt", design, "--shop", file).err
    assert problems
    for one in problems:
        assert one["text"] in said
        assert (one["allowed"] or "") in said


@pytest.mark.parametrize(
    "key",
    [["lot", 7, "grams"], ["lot", "x"], ["casting"], ["lot"], ["lot", 0, "recipe", "Au"], [3]],
)
def test_a_key_that_has_no_place_changes_nothing(page: TestClient, key: list[str | int]) -> None:
    before = the_shop(page)
    assert changed(page, (key, 1.0)).status_code == 422
    assert the_shop(page) == before


@given(grams=st.integers(1, 99_999).map(lambda n: n / 100), number=st.sampled_from([0, 1]))
@settings(max_examples=15, deadline=None)
def test_only_the_line_of_a_lot_changes(grams: float, number: int) -> None:
    text = changed_shop(SHOP, [Change(key=("lot", number, "grams"), value=grams)])
    assert shop_from_text(text).lots[number].grams == grams
    other = [
        (a, b)
        for a, b in zip(SHOP.splitlines(), text.splitlines(), strict=True)
        if a != b and not a.startswith("grams")
    ]
    assert other == []
    assert "# weighed on Monday" in text
    assert "# a small crucible" in text


@given(
    name=st.text(
        st.characters(categories=("L", "N", "P", "S"), exclude_characters="\x00"), max_size=20
    ).filter(lambda name: name.isprintable() and name.strip() == name and name),
    grams=st.integers(1, 9999).map(lambda n: n / 10),
)
@settings(max_examples=25, deadline=None)
def test_a_lot_put_in_and_taken_out_leaves_the_file_as_it_was(name: str, grams: float) -> None:
    lot: Any = {"name": name, "grams": grams, "recipe": "Au 75 Ag 25"}
    more = changed_shop(SHOP, [Change(key=("lot", 2), value=lot)])
    assert shop_from_text(more).lots[2].name == name
    assert more.startswith(SHOP.rstrip())
    less = changed_shop(more, [Change(key=("lot", 2), value=None)])
    assert less.rstrip() == SHOP.rstrip()


@pytest.mark.parametrize("number", [0, 1])
def test_a_lot_taken_out_keeps_the_remarks_of_the_others(number: int) -> None:
    text = changed_shop(SHOP, [Change(key=("lot", number), value=None)])
    left = tomllib.loads(text)["lot"]
    assert [one["name"] for one in left] == [("buttons", "gold grain")[number]]
    for remark in ("# my own figures", "# a small crucible", "# what came back", "# nothing below"):
        assert remark in text
    none = changed_shop(text, [Change(key=("lot", 0), value=None)])
    assert "lot" not in tomllib.loads(none)
    assert "# nothing below" in none


def test_a_price_list_begins_with_its_currency(page: TestClient) -> None:
    assert changed(page, (["prices", "currency"], "EUR")).status_code == 200
    assert changed(page, (["prices", "date"], "2026-11-20")).status_code == 200
    for symbol, price in (("Au", 2100), ("Ag", 25), ("Cu", 0.3), ("Pd", 950)):
        assert changed(page, (["prices", symbol], price)).status_code == 200
    quoted = page.post("price", json={"text": PLAIN, "on": "2026-11-21"}).json()["told"]
    assert "Au 2100" in quoted[0]["text"]
    odd = changed(page, (["prices", "Au"], 65.0))
    assert "looks like a price per g" in odd.json()["problems"][0]["text"]


def test_a_typed_loss_is_no_longer_one_that_was_learnt() -> None:
    learnt = "[casting]\nmelt_loss_percent = 1.4\nmelt_loss_from = { melts = 3, issued_g = 60.0, "
    text = learnt + "date = 2026-11-20 }\n"
    typed = changed_shop(text, [Change(key=("casting", "melt_loss_percent"), value=2)])
    assert shop_from_text(typed).casting.melt_loss_from is None


def test_without_a_file_a_new_one_is_written_beside_the_designs(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text("# of someone else\n")
    page = client(tmp_path)
    assert the_shop(page)["file"] == ""
    found = changed(page, (["lot", 0], {"name": "gold", "grams": 5, "recipe": "Au 100"})).json()
    assert {path.name for path in tmp_path.iterdir()} == {"shop.toml"}
    saved = page.post("shop_save", json={"text": PLAIN, "turn": found["turn"]}).json()
    assert (saved["file"], saved["is_saved"]) == ("shop-2.toml", True)
    assert saved["option"].startswith("--shop ")
    assert shop_from_text((tmp_path / "shop-2.toml").read_text()).lots[0].name == "gold"
    assert (tmp_path / "shop.toml").read_text() == "# of someone else\n"


def test_line_ends_and_the_mark_of_the_file_stay(tmp_path: Path) -> None:
    path = tmp_path / "windows.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SHOP.replace("\n", "\r\n").encode())
    page = client(tmp_path, shop=path)
    found = changed(page, (["casting", "button_min_g"], 5), (["lot", 1, "grams"], 8.5)).json()
    page.post("shop_save", json={"text": PLAIN, "turn": found["turn"]})
    raw = path.read_bytes()
    assert raw.startswith(b"\xef\xbb\xbf# my own")
    assert raw.count(b"\n") == raw.count(b"\r\n") == SHOP.count("\n") + 1


def test_two_hands_do_not_overwrite_each_other(page: TestClient, file: Path) -> None:
    turn = the_shop(page)["turn"]
    changes = [{"key": ["casting", "button_percent"], "value": 45}]
    sent = {"text": PLAIN, "turn": turn, "changes": changes}
    assert page.post("shop_change", json=sent).status_code == 200
    assert page.post("shop_change", json=sent).status_code == 409
    file.write_text(SHOP + "# by hand\n")
    now = the_shop(page)["turn"]
    assert page.post("shop_save", json={"text": PLAIN, "turn": now}).status_code == 409
    assert file.read_text().endswith("# by hand\n")
    read = page.post("shop_read", json={"text": PLAIN}).json()
    assert read["is_saved"]
    assert read["text"].endswith("# by hand\n")


def test_the_text_by_hand_is_taken_or_refused_whole(page: TestClient) -> None:
    turn = the_shop(page)["turn"]
    bad = page.post("shop_text", json={"text": PLAIN, "turn": turn, "shop": "[casting]\nx = 1\n"})
    assert bad.status_code == 422
    assert bad.json()["problems"][0]["allowed"]
    assert the_shop(page)["text"] == SHOP
    good = page.post("shop_text", json={"text": PLAIN, "turn": turn, "shop": "# new\n"})
    assert good.json()["lots"] == []


def test_every_plain_key_of_the_shop_is_a_field(page: TestClient) -> None:
    found = the_shop(page)
    tables = {one["name"]: {field["key"] for field in one["fields"]} for one in found["tables"]}
    for name, values in Shop().settings().items():
        if name not in ("lot", "prices", "measured"):
            plain = {key for key, value in values.items() if not isinstance(value, dict)}
            assert tables[name] >= plain - {"melt_loss_from"}


def test_a_shop_that_cannot_be_read_does_not_open(tmp_path: Path, run: Callable[..., Any]) -> None:
    path = tmp_path / "shop.toml"
    path.write_text("[casting]\nbutton = 3\n")
    ended = run("bench", "--shop", path, "--no-browser")
    assert ended.code == 2
    assert "unknown key" in ended.err
