"""The papers of the page: the words, numbers and files of the commands, none worked out anew."""

from __future__ import annotations

import json
import re
import threading
import zlib
from base64 import b64decode
from collections.abc import Callable, Iterable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from page.pages import PLAIN, client

import ringgeom as rg
import ringgeom.report as report
from ringgeom.errors import OutputError
from ringgeom.output.file_words import file_words
from ringgeom.output.pack import sheet_files
from ringgeom.output.printed_pages import printed_pages
from ringgeom.page.build import STATIC
from ringgeom.page.long import Long, Overtaken
from ringgeom.page.many import MOST_ROWS, SHOWN
from ringgeom.page.sent import sent_html
from ringgeom.shop import shop_from_text
from ringgeom.terminal import MARKS, Line, Table, heard, say, table

ON = "2026-11-21"


@pytest.fixture(scope="module")
def shop_file(designs: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop of the examples: prices of one file, stock of the other."""
    path = tmp_path_factory.mktemp("shop") / "my-shop.toml"
    both = [(designs / "shop" / f"{name}.toml").read_text() for name in ("priced", "drawer")]
    path.write_text("\n".join(both))
    return path


@pytest.fixture(scope="module")
def page(shop_file: Path) -> Any:
    return client(shop_file.parent, shop=shop_file)


@pytest.fixture(scope="module")
def text(designs: Path) -> str:
    return (designs / "heron.toml").read_text(encoding="utf-8")


def words_of(told: Iterable[dict[str, Any]]) -> list[str]:
    """What was told as the command prints it, word by word."""
    said: list[str] = []
    for one in told:
        if one["is"] == "line":
            said.append(one["text"])
        elif one["is"] == "table":
            said += [" ".join(row) for row in (one["head"], *one["rows"])]
        else:
            where = f"[{one['where']}]" if one["where"] else ""
            said.append(f"{MARKS[one['level']]} {one['code']}: {one['text']} {where} {one['fix']}")
    return " ".join(said).split()


def asked(page: Any, address: str, **sent: Any) -> Any:
    answer = page.post(address, json=sent)
    assert answer.status_code == 200, answer.text
    return answer.json()


@pytest.mark.parametrize(
    ("address", "sent", "command"),
    [
        ("melts", {}, ["melt"]),
        ("price", {"on": ON}, ["price", "--on", ON]),
        ("resize", {"to": "US 8"}, ["resize", "--to", "US 8"]),
        ("marks", {"region": "uk"}, ["mark", "--region", "uk", "--why"]),
        ("swap", {"part": "reed"}, ["swap", "--part", "reed"]),
    ],
)
def test_the_page_tells_what_the_command_tells(
    page: Any,
    text: str,
    shop_file: Path,
    designs: Path,
    run: Callable[..., Any],
    address: str,
    sent: dict[str, Any],
    command: list[str],
) -> None:
    found = asked(page, address, text=text, **sent)
    first, *rest = command
    said = run(first, designs / "heron.toml", *rest, "--shop", shop_file).out
    assert words_of(found["told"]) == said.split()
    assert len(said.split()) > 40  # there was something to compare


def test_how_it_goes_together_is_told_as_by_make(
    page: Any,
    text: str,
    shop_file: Path,
    designs: Path,
    tmp_path: Path,
    run: Callable[..., Any],
) -> None:
    told = [asked(page, address, text=text)["told"] for address in ("castings", "making")]
    words = ["make", designs / "heron.toml", "--shop", shop_file, "--out", tmp_path]
    said = " ".join(run(*words, "--no-pictures").out.split())
    for one in told:
        assert " ".join(words_of(one)) in said
    tables = {one["head"][0] for one in told[1] if one["is"] == "table"}
    assert tables >= {"part", "joint", "heat", "turn", "stack-up", "blank for"}


def test_the_grams_are_those_of_the_json(
    page: Any, text: str, shop_file: Path, designs: Path, run: Callable[..., Any]
) -> None:
    data = json.loads(run("melt", designs / "heron.toml", "--shop", shop_file, "--json").out)
    told = asked(page, "melts", text=text)["told"]
    shown = [one for one in told if one["is"] == "table" and "weigh out" in one["head"]]
    assert len(shown) == len(data["melts"]) == 2
    for one, melt in zip(shown, data["melts"], strict=True):
        rows = [(float(row[1]), row[2].removeprefix("BUY ")) for row in one["rows"]]
        assert rows == [(take["grams"], take["from"]) for take in melt["take"]]


def test_a_quote_is_that_of_the_json(
    page: Any, text: str, shop_file: Path, designs: Path, run: Callable[..., Any]
) -> None:
    words = ["price", designs / "heron.toml", "--shop", shop_file, "--on", ON, "--json"]
    quote = json.loads(run(*words).out)["quote"]
    told = asked(page, "price", text=text, on=ON)["told"]
    (sums,) = [one for one in told if one["is"] == "table" and one["head"][0].startswith("sums")]
    total = {row[0]: row[1] for row in sums["rows"]}["total"]
    assert total == f"{quote['total']:.2f}"


def test_a_day_that_is_none_or_before_its_prices_is_refused(page: Any, text: str) -> None:
    for day in ("2026-13-01", "", "2026-11-19"):
        answer = page.post("price", json={"text": text, "on": day})
        assert answer.status_code == 422
        assert answer.json()["problems"][0]["allowed"]


def test_a_stopped_ring_says_why(page: Any) -> None:
    stopped = PLAIN.replace("depth_mm = 0.8", "depth_mm = 1.9")
    for address in ("melts", "making", "castings"):
        found = asked(page, address, text=stopped)
        assert found["stopped"]
        assert "thin-floor" in {one.get("code") for one in found["told"]}
    for address in ("sheet", "listed", "to_send", "pictures"):
        assert page.post(address, json={"text": stopped}).status_code == 422


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_printed_page_is_shown_with_all_its_words(
    page: Any, text: str, paper: str, job_of: Callable[[Path], Any], designs: Path
) -> None:
    """Referee: pypdf reads the same pages; sizes by ISO 216, and 8.5 x 11 inch."""
    pypdf = pytest.importorskip("pypdf")
    found = asked(page, "sheet", text=text, paper=paper)
    size = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}[paper]
    files = dict(sheet_files(job_of(designs / "heron.toml"), paper))
    assert [one["file"] for one in found["papers"]] == [n for n in files if n.endswith(".pdf")]
    for one in found["papers"]:
        answer = page.post("file", json={"text": text, "name": one["file"], "paper": paper})
        read = pypdf.PdfReader(BytesIO(answer.content)).pages
        assert len(read) == len(one["pages"])
        for printed, shown in zip(read, one["pages"], strict=True):
            # PDF measures to 1/10000 point
            assert sorted((shown["width_mm"], shown["height_mm"])) == pytest.approx(size, abs=1e-3)
            svg = re.findall(r"<text[^>]*>([^<]*)</text>", shown["svg"])
            letters = "".join(svg).replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">")
            assert sorted(re.sub(r"\s", "", letters)) == sorted(
                re.sub(r"\s", "", printed.extract_text())
            )


def test_the_bar_on_a_shown_page_is_50_mm(job_of: Callable[[Path], Any], designs: Path) -> None:
    """Derived: 50 mm are 141.732 points, from the margin of 12 mm."""
    files = dict(sheet_files(job_of(designs / "heron.toml")))
    first = printed_pages(bytes(files["heron_bench-sheet_A4.pdf"]))[0].svg
    lines = re.findall(r'd="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', first)
    lengths = [float(c) - float(a) for a, b, c, d in lines if b == d]
    # written to six digits
    assert any(length == pytest.approx(50 * 72 / 25.4, abs=1e-3) for length in lengths)


def test_what_a_page_cannot_show_is_never_left_out() -> None:
    body = b"1 0 obj\n<</Contents 2 0 R /MediaBox [ 0 0 9 9 ]>>\nendobj\n"
    drawn = zlib.compress(b"q 1 0 0 1 0 0 cm /Im1 Do Q")
    body += b"2 0 obj\n<</Filter [ /FlateDecode ]>>\nstream\n" + drawn + b"endstream\nendobj\n"
    with pytest.raises(OutputError, match="Do"):
        printed_pages(body)


def test_every_file_is_listed_and_is_the_one_that_make_writes(
    designs: Path, made_of: Callable[[Path], Path], tmp_path: Path
) -> None:
    path = designs / "heron.toml"
    page, text = client(tmp_path), path.read_text(encoding="utf-8")
    rows = asked(page, "listed", text=text)["files"]
    folder = made_of(path)
    written = {str(one.relative_to(folder)): one for one in folder.rglob("*.*")}
    assert {one["name"]: one["bytes"] for one in rows} == {
        name: one.stat().st_size for name, one in written.items()
    }
    assert all(one["words"] for one in rows)
    for name, file in written.items():
        answer = page.post("file", json={"text": text, "name": name})
        assert answer.content == file.read_bytes()
    for name in ("../heron.toml", "/etc/passwd", "", "wax/none.stl"):
        assert page.post("file", json={"text": text, "name": name}).status_code == 422


def test_a_file_nobody_knows_has_no_words() -> None:
    assert file_words("notes.txt") == ""


GRID = {"sizes": "US 5..12 by 1/2", "widths": "5, 6", "alloys": ["reed=Au 75 Ag 25"]}


def test_all_rows_are_those_of_the_command(
    page: Any, text: str, shop_file: Path, designs: Path, tmp_path: Path, run: Callable[..., Any]
) -> None:
    out = tmp_path / "rows.csv"
    words = ["grid", designs / "heron.toml", "--shop", shop_file, "--out", out]
    words += ["--sizes", GRID["sizes"], "--widths", GRID["widths"], "--alloy", *GRID["alloys"]]
    run(*words)
    answer = page.post("grid_file", json={"text": text, **GRID})
    assert answer.content == out.read_bytes()
    found = asked(page, "grid", text=text, **GRID)
    (rows,) = [one for one in found["told"] if one["is"] == "table"]
    assert (found["rows"], found["shown"], len(rows["rows"])) == (30, 30, 30)
    csv = [line.split(",") for line in out.read_text().splitlines()[1:]]
    assert [row[:2] for row in rows["rows"]] == [line[:2] for line in csv]
    said = " ".join(run(*words[:4], *words[6:]).out.split())
    assert " ".join(words_of([rows])) in said


def test_only_the_first_rows_are_shown_and_too_many_are_refused(page: Any) -> None:
    found = asked(page, "grid", text=PLAIN, sizes="US 5..12 by 1/2", thicknesses="1.5..3.5 by 0.1")
    assert (found["rows"], found["shown"]) == (15 * 21, SHOWN)
    sent = {"text": PLAIN, "sizes": "US 1..13 by 1/8", "widths": "3..12 by 0.01"}
    answer = page.post("grid", json=sent | {"thicknesses": "1.8, 2"})
    assert answer.status_code == 422
    assert f"{MOST_ROWS:,}" in answer.json()["problems"][0]["allowed"]


def test_pictures_and_the_file_to_send(page: Any, job_of: Callable[[Path], Any]) -> None:
    found = asked(page, "pictures", text=PLAIN, views=["front"])
    (one,) = found["pictures"]
    assert b64decode(one["png"]).startswith(b"\x89PNG")
    assert (one["view"], one["file"]) == ("front", "plain_front.png")
    plain = rg.job(rg.design_from_text(PLAIN), page_shop(page))
    assert page.post("to_send", json={"text": PLAIN}).content == sent_html(plain)


def page_shop(page: Any) -> Any:
    return shop_from_text(asked(page, "shop", text=PLAIN)["text"])


def test_long_work_is_overtaken_by_the_same_asked_anew() -> None:
    long, begun, ended = Long(), threading.Event(), []

    def first() -> None:
        try:
            with long.work("pictures") as told:
                told("one")
                begun.set()
                while True:
                    told("two")
        except Overtaken:
            ended.append("overtaken")

    thread = threading.Thread(target=first)
    thread.start()
    assert begun.wait(20)
    assert long.step("pictures") in ("one", "two")
    with long.work("files") as told:
        told("others go on")
    with long.work("pictures") as told:
        told("mine")
        assert long.step("pictures") == "mine"
    thread.join(20)
    assert ended == ["overtaken"]
    assert long.step("pictures") == ""


def test_what_is_heard_is_not_printed(capsys: pytest.CaptureFixture[str]) -> None:
    with heard() as told:
        say("a word")
        table(("part", "g"), [["reed", "1.70"]], total=True)
    assert capsys.readouterr().out == ""
    assert told == [
        Line(text="a word"),
        Table(head=("part", "g"), rows=(("reed", "1.70"),), right=(False, True), total=True),
    ]
    say("aloud")
    assert capsys.readouterr().out == "aloud\n"


def test_columns_of_lengths_are_columns_of_the_reports() -> None:
    """What the page turns into inches is a head that a command prints."""
    script = (STATIC / "told-lines.js").read_text(encoding="utf-8")
    listed = re.search(r"new Set\(\[(.*?)\]\)", script, re.S)
    assert listed is not None
    heads = re.findall(r'"([^"]+)"', listed[1])
    source = "".join(p.read_text(encoding="utf-8") for p in Path(report.__path__[0]).glob("*.py"))
    verbs = {"to let in, mm", "to cut out, mm"}  # printed with the verb that fits
    assert [one for one in heads if f'"{one}"' not in source and one not in verbs] == []
    assert len(heads) > 10


def test_places_for_other_alloys_are_those_that_the_commands_take(
    design_file: Path, run: Callable[..., Any], tmp_path: Path
) -> None:
    text = design_file.read_text(encoding="utf-8")
    page = client(tmp_path)
    found = asked(page, "metals", text=text)
    alloys = [f"{name}=gold-750-green" for name in found["roles"]]
    assert asked(page, "grid", text=text, alloys=alloys)["rows"] == 1
    refused = run("grid", design_file, "--alloy", "nowhere=gold-750-green").err
    assert ", ".join(found["roles"]) in refused
    answer = page.post("swap", json={"text": text, "part": "nowhere"}).json()
    for name in found["seats"]:
        assert name in answer["problems"][0]["allowed"]
