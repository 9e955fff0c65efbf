"""Random input of every kind that a person or a page can hand in, and who reads it.

Each kind is a function of a random number generator and a folder. It answers what became of the
input: ``read`` or ``refused``. Whatever else comes out of it is a defect.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from io import StringIO
from pathlib import Path
from random import Random
from typing import Any
from unittest.mock import patch

import httpx2 as httpx
from engraving.svg_files import svg
from page.pages import PLAIN, client
from proof.designs import document, some_design
from proof.spoiled import ODD_NUMBERS, ODD_WORDS, some_value, spoiled_bytes, spoiled_text

import ringgeom as rg
from ringgeom.asked import file_word
from ringgeom.engraving.svg import drawn
from ringgeom.engraving.typeface import typeface
from ringgeom.errors import InputError, RinggeomError
from ringgeom.finger import read_size
from ringgeom.fonts import LETTERING, font_path
from ringgeom.grid import grid_asked
from ringgeom.metal import alloy_from_text
from ringgeom.metal.portion_text import portion_from_text
from ringgeom.output.pack import write_waxes
from ringgeom.page import papers, shop_answers
from ringgeom.readings import read_readings

ROOT = Path(__file__).resolve().parents[2]
READ, REFUSED = "read", "refused"
TEXTS = tuple(path.read_text("utf-8") for path in sorted((ROOT / "designs").glob("*.toml")))
SHOPS = tuple(
    path.read_text("utf-8")
    for path in sorted((ROOT / "designs" / "shop").glob("*.toml"))
    if "readings" not in path.name
)
READINGS = (ROOT / "designs" / "shop" / "heron-readings.toml").read_text("utf-8")


def refused(error: RinggeomError) -> str:
    """A refusal must say something for every problem."""
    if isinstance(error, InputError):
        assert error.problems
        assert all(problem.text for problem in error.problems)
    assert str(error)
    return REFUSED


def design_text(random: Random, folder: Path) -> str:
    """A design file, spoiled; what can still be read is laid out."""
    text = random.choice(TEXTS) if random.random() < 0.7 else document(some_design(random)[0])
    try:
        design = rg.design_from_text(spoiled_text(random, text))
    except RinggeomError as error:
        return refused(error)
    plain = design.model_copy(update={"engravings": ()})
    job = rg.job(plain)
    assert bool(job.parts) != job.stopped
    return READ


@cache
def _asked() -> rg.Design:
    return rg.read_design(ROOT / "designs" / "heron.toml")


def shop_text(random: Random, folder: Path) -> str:
    """A shop file with lots, prices and limits, spoiled; a ring is made in what can be read."""
    try:
        shop = rg.shop_from_text(spoiled_text(random, random.choice(SHOPS)))
        job = rg.job(_asked(), shop)
    except RinggeomError as error:
        return refused(error)
    assert bool(job.parts) != job.stopped
    return READ


def lots(random: Random, folder: Path) -> str:
    """Many lots of any recipe, and every rule of the melt set to anything."""
    kinds = ["fine", "master", "returns", "scrap"]
    metals = ["Au", "Ag", "Cu", "Zn", "Pd", "Pt", "Ni", "Cd", "Xx"]
    rows = []
    for number in range(random.choice([1, 3, 12])):
        some = random.sample(
            metals[:6] if random.random() < 0.9 else metals, random.choice([1, 2, 3])
        )
        cuts = sorted(random.uniform(0, 100) for _ in some[1:])
        shares = [b - a for a, b in zip([0.0, *cuts], [*cuts, 100.0], strict=True)]
        lot: dict[str, Any] = {
            "name": f"lot {number}",
            "grams": random.choice([1e-3, 0.5, 3.0, 40.0, 99_999.0]),
            "recipe": dict(zip(some, shares, strict=True)),
            "kind": random.choice(kinds),
        }
        if random.random() < 0.2:
            lot["flags"] = random.sample(["solder", "nickel", "dirty", "plated"], 2)
        if random.random() < 0.2:
            lot["uncertainty_permille"] = random.choice([0.0, 3.0, 50.0, 100.0])
        rows.append(lot)
    melt = {
        "aim": random.choice(["least new gold", "use up"]),
        "margin_permille": random.choice([0.0, 1.0, 20.0]),
        "balance_g": random.choice([0.001, 0.01, 0.1, 1.0]),
        "remelt_percent": random.choice([0.0, 50.0, 100.0]),
        "buy": random.choice([[], ["Au"], ["Au", "Ag", "Cu"]]),
    }
    if melt["aim"] == "use up":
        melt["use_up"] = random.choice(["lot 0", "none"])
    text = document({"melt": melt, "lot": rows})
    try:
        shop = rg.shop_from_text(text if random.random() < 0.8 else spoiled_text(random, text))
        # a lot to use up that is not there is told by who plans the melts
        job = rg.job(_asked(), shop)
    except RinggeomError as error:
        return refused(error)
    assert bool(job.parts) != job.stopped
    return READ


FIGURES = (
    '<path d="M0 1 C0.5 0 2 0 3 1 C2 2 0.5 2 0 1 Z"/>', '<rect width="2" height="1" rx="0.3"/>',
    '<g transform="rotate(30) scale(2)"><circle cx="3" cy="3" r="2"/></g>',
    '<path fill="none" stroke="black" stroke-width="0.3" d="M1 1 L4 4 Q6 2 8 4"/>',
    '<style>.a{fill:none;stroke:red}</style><polyline class="a" points="1,1 4,5 6,2"/>',
    '<ellipse cx="5" cy="4" rx="3" ry="1"/><polygon points="1,1 4,5 6,2"/>',
    '<path d="M2 2 A2 1 30 1 0 6 2 a1 1 0 0 1 -2 2 z"/>',
    '<use href="#b"/><rect id="b" width="1" height="2"/>',
)  # fmt: skip


def drawing(random: Random, folder: Path) -> str:
    """A drawing file, spoiled as text or as bytes."""
    some = "".join(random.choice(FIGURES) for _ in range(random.choice([1, 1, 2, 5])))
    words = (
        "NaN",
        "url(#x)",
        "M0 0",
        "z",
        "1e400",
        "matrix(1 0 0 0 0 0)",
        "%",
        "mm",
        "A0 0 0 0 0 1 1",
    )
    data = (
        svg(spoiled_text(random, some, words))
        if random.random() < 0.7
        else spoiled_bytes(random, svg(some))
    )
    try:
        drawn(data)
    except RinggeomError as error:
        return refused(error)
    return READ


def font(random: Random, folder: Path) -> str:
    """A font file, spoiled; letters of what can be opened are drawn."""
    from ringgeom.engraving.asked import Lettering
    from ringgeom.engraving.row import row

    data = font_path(LETTERING[random.choice(sorted(LETTERING))]).read_bytes()
    # most of a font is outlines; its tables stand in front
    if random.random() < 0.6:
        data = spoiled_bytes(random, data[:1200]) + data[1200:]
    else:
        data = spoiled_bytes(random, data)
    path = folder / f"spoiled-{random.randrange(3)}.ttf"
    path.write_bytes(data)
    try:
        typeface(path.name, folder).glyphs("Ab ﬁ")
        asked = Lettering(kind="lettering", text="Ag1ﬁÅ", font=path.name, height_mm=1.5)
        row(asked.beside(folder))
    except RinggeomError as error:
        return refused(error)
    return READ


SIZES = ("US 7 1/4", "ISO 54", "UK N½", "JP 14", "CH 14", "54.4 mm around", "0.68 in across", "Z+3")

RANGES = ("US 5..12 by 1/2", "ISO 50, 52, 54", "4..8 by 0.5")


def size(random: Random, folder: Path) -> str:
    """A finger size, spoiled, and a list or range of them."""
    text = spoiled_text(
        random, random.choice(SIZES), ("±", "1/0", "½¾", "mm mm", "US UK", "/", "..", "by")
    )
    try:
        read_size(text)
        found = READ
    except RinggeomError as error:
        found = refused(error)
    ranges = spoiled_text(random, random.choice(RANGES), ("..", "by 1e-9", "by 0", ",", "1/0"))
    try:
        grid_asked(_asked(), sizes=ranges, widths=random.choice(["", ranges, "5, 6"]))
    except RinggeomError as error:
        refused(error)
    return found


RECIPES = (
    "gold-750-yellow-3n", "Au 75 Ag 25", "Au", "1 cm3 gold-750-green", "18 g Au 75 Ag 25", "18k",
    "750 gold", "Ag925", "2 dwt Pt", "Au=75,Cu=25",
)  # fmt: skip


def alloy(random: Random, folder: Path) -> str:
    """An alloy or a portion, spoiled."""
    text = spoiled_text(
        random, random.choice(RECIPES), ("Au", "Xx", "%", "‰", "kt", "g", "oz", "=", ",")
    )
    found = READ
    for reader in (alloy_from_text, portion_from_text):
        try:
            reader(text)
        except RinggeomError as error:
            found = refused(error)
    return found


def readings(random: Random, folder: Path) -> str:
    """A file of readings, spoiled."""
    path = folder / "readings.toml"
    path.write_text(spoiled_text(random, READINGS), "utf-8", "surrogatepass")
    try:
        read_readings(path)
    except RinggeomError as error:
        return refused(error)
    return READ


COMMANDS = (
    ("size", "US 7"), ("alloy", "gold-750-green"), ("alloy", "Au 75 Ag 25"),
    ("contrast", "Au", "Ag"),
    ("mix", "1 g Au", "1 cm3 Ag"), ("fineness", "7 g Au 41.667 Ag 58.333", "--to", "585"),
    ("assay", "--air", "9.85", "--water", "9.1"), ("assay", "--air", "9.85", "--volume", "0.675"),
    ("melt", "--alloy", "Au 75 Ag 25", "--grams", "20"), ("start", "x.toml", "--kind", "waves"),
    ("weigh", "no.toml"), ("resize", "no.toml", "--to", "US 8"), ("forms", "x.svg"),
    ("recipe", "--fineness", "750", "--towards", "greener", "--than", "gold-750-yellow-3n"),
)  # fmt: skip


def command(random: Random, folder: Path) -> str:
    """A command line with a word or two spoiled; it ends with 0, 1 or 2 and with words."""
    from ringgeom.cli import main

    words = list(random.choice(COMMANDS))
    for _ in range(random.choice([1, 1, 2])):
        at = random.randrange(1, len(words))
        words[at] = random.choice(
            [random.choice(ODD_NUMBERS), random.choice(ODD_WORDS), spoiled_text(random, words[at])]
        )
    # a word with a zero byte cannot be typed, and paths stay within the folder
    words = [w.replace("\0", "").replace("/", "_").replace("..", "_") for w in words]
    if words[0] in ("start", "forms"):
        words[1] = str(folder / "out" / file_word(words[1])[:80])
    if random.random() < 0.5:
        words.append("--json")
    said, shown = StringIO(), StringIO()
    with (
        patch.object(sys, "argv", ["ringgeom", *words]),
        redirect_stdout(shown),
        redirect_stderr(said),
    ):
        try:
            main()
            code: Any = 0
        except SystemExit as end:
            code = end.code or 0
    assert code in (0, 1, 2), (code, words)
    told = said.getvalue() + shown.getvalue()
    assert told.strip() or words[0] == "start", words
    assert "Traceback" not in told
    return READ if code == 0 else REFUSED


PAPERS = tuple(answer.__name__ for _, answer in (*papers.ASKED, *shop_answers.ASKED))
POSTS = ("look", "ring", "keep", "forget", "save", "take", "alloys", *PAPERS)
SLOW = {"pictures", "to_send"}
"""Answered by a process of its own that renders: a whole ring is sent to them now and then."""

SENT = (
    "text", "changes", "quick", "name", "turn", "undo", "redo", "when", "stamp", "what", "part",
    "to", "on", "region", "paper", "sizes", "widths", "alloys", "places", "kind", "shop", "trying",
    "together",
)  # fmt: skip


@cache
def _page(folder: Path) -> Any:
    (folder / "desk").mkdir(exist_ok=True)
    (folder / "desk" / "plain.toml").write_text(PLAIN, "utf-8")
    return client(folder / "desk")


def page(random: Random, folder: Path) -> str:
    """A question to the page with anything in it, or the body of one spoiled."""
    post = random.choice(POSTS)
    sent: dict[str, Any] = {}
    if random.random() < 0.8:
        text = random.choice([PLAIN, TEXTS[0]])
        spoiled = random.random() < (0.98 if post in SLOW else 0.5)
        sent["text"] = spoiled_text(random, text) if spoiled else text
    for key in random.sample(SENT[1:], random.choice([0, 1, 2, 3])):
        sent[key] = some_value(random)
    if post in ("save", "keep", "forget") and random.random() < 0.8:
        sent["name"] = random.choice([*ODD_WORDS, "plain.toml", "../x.toml", "x/y.toml", ".toml"])
        sent |= {"save": {"stamp": ""}, "keep": {"turn": 0}}.get(post, {})
    body = json.dumps(sent).encode("utf-8", "surrogatepass")
    if random.random() < 0.2:
        body = spoiled_bytes(random, body)
    answer = _page(folder).post(post, content=body, headers={"content-type": "application/json"})
    assert answer.status_code in (200, 400, 409, 413, 422), (post, answer.status_code)
    if answer.status_code == 200:
        return READ
    assert answer.json()["problems"][0]["text"]
    return REFUSED


def address(random: Random, folder: Path) -> str:
    """An address of the page, spoiled; nothing but its own files and designs is answered."""
    path, asked = random.choice(
        [("static/bench.js", {}), ("fonts/BenchSans-Regular.ttf", {}), ("state", {"name": "x"})]
    )
    if asked:
        word = random.choice([*ODD_WORDS, "../plain.toml", "/etc/passwd", "plain.toml", "a" * 9000])
        key = random.choice(["name", "kind", "list", "x"])
        asked = {key: word.encode("utf-8", "surrogatepass").decode("utf-8", "replace")}
    else:
        words = ("../", "%2e%2e%2f", "..%5c", "%00", "?", "#", "/etc/passwd")
        path = spoiled_text(random, path, words).encode("utf-8", "replace").decode()
    try:
        answer = _page(folder).get(path, params=asked)
    except httpx.InvalidURL:
        return REFUSED  # no browser sends it
    assert answer.status_code in (200, 400, 404, 405, 409, 413, 414, 422), answer.status_code
    assert b"root:" not in answer.content
    return READ if answer.status_code == 200 else REFUSED


def names(random: Random, folder: Path) -> str:
    """Names of jobs and parts that would leave the folder; a ring is written all the same."""
    name, part = (
        random.choice(ODD_WORDS)
        if random.random() < 0.5
        else spoiled_text(random, random.choice(["Heron", "reed", "Ü 1", "a.b"]))
        for _ in "np"
    )
    keys = {
        "job": {"name": name},
        "ring": {"size": "US 7", "width_mm": 5.0, "thickness_mm": 2.0},
        "body": {"alloy": {"name": part, "Au": 75, "Ag": 25}},
        "part": [
            {
                "name": part,
                "place": "channel",
                "alloy": "silver-925",
                "width_mm": 2.0,
                "depth_mm": 0.8,
            }
        ],
    }
    if random.random() < 0.3:
        del keys["part"]
    out = folder / "out"
    try:
        written = write_waxes(rg.job(rg.design_from_text(document(keys))), out)
    except RinggeomError as error:
        return refused(error)
    for path in written:
        assert path.resolve().is_relative_to(out.resolve()), path
        assert path.resolve() != out.resolve()
        for word in path.relative_to(out).parts:
            assert len(word.encode()) <= 255
            assert word.split(".")[0].casefold() not in (
                "con",
                "nul",
                "aux",
                "prn",
                "lpt1",
                "com1",
            ), word
            assert not set(word) & set('<>:"/\\|?*'), word
            assert word.isprintable(), word
            assert word == word.strip(". "), word
    return READ


KINDS: dict[str, Callable[[Random, Path], str]] = {
    kind.__name__: kind
    for kind in (
        design_text, shop_text, lots, drawing, font, size, alloy, readings, command, page, address,
        names,
    )
}  # fmt: skip
