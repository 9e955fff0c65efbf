"""In a notebook: jobs, parts, castings, melts and findings are tables, a section is a picture."""

from __future__ import annotations

from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

import ringgeom as rg
from ringgeom.errors import StopError
from ringgeom.notebook import Rows, table_html

ROOT = Path(__file__).parents[1]


class Tables(HTMLParser):
    """Rows of every table, and every element that is there."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self.elements: set[str] = set()
        self.open: list[str] = []
        self.feed(html)
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert not attrs
        self.elements.add(tag)
        self.open.append(tag)
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1] in ("td", "th"):
            self.tables[-1][-1][-1] += data


def shown(thing: object) -> Tables:
    return Tables(thing._repr_html_())  # type: ignore[attr-defined]


@pytest.fixture(scope="module")
def heron() -> rg.Job:
    shop = rg.read_shop(ROOT / "designs/shop/drawer.toml")
    return rg.job(rg.read_design(ROOT / "designs/heron.toml"), shop)


def test_a_job_is_its_parts_its_melts_and_what_is_found(heron: rg.Job) -> None:
    found = shown(heron)
    assert [len(table) - 1 for table in found.tables] == [
        len(heron.parts),
        len(heron.castings),
        len(heron.findings),
    ]
    assert found.elements == {"p", "table", "caption", "tr", "th", "td"}
    assert all(len(row) == len(table[0]) for table in found.tables for row in table)


def test_the_grams_are_those_of_the_job(heron: rg.Job) -> None:
    head, *rows = shown(heron.parts).tables[0]
    for part, row in zip(heron.parts, rows, strict=True):
        told = dict(zip(head, row, strict=True))
        assert told["part"] == part.name
        assert float(told["finished g"]) == pytest.approx(part.finished_g, abs=0.005)
        assert float(told["cast g"]) == pytest.approx(part.as_cast_g, abs=0.005)
    head, *rows = shown(heron.castings).tables[0]
    for casting, row in zip(heron.castings, rows, strict=True):
        told = dict(zip(head, row, strict=True))
        assert float(told["melt g"]) == pytest.approx(casting.flask.melt_g, abs=0.005)


def test_the_melts_say_what_to_weigh_out(heron: rg.Job) -> None:
    (table,) = shown(heron.melts).tables
    portions = [one for melt in heron.melts.melts for one in melt.take]
    assert len(table) - 1 == len(portions)
    assert {row[2] for row in table[1:]} == {one.source.name for one in portions}


def test_a_melt_that_cannot_be_made_says_what_is_missing(heron: rg.Job) -> None:
    shop = rg.shop_from_text('[[lot]]\nname = "a"\ngrams = 1.0\nrecipe = { Ag = 100 }\n')
    (table,) = shown(rg.job(heron.design, shop).melts).tables
    assert "MISSING: fine Au" in {row[2] for row in table[1:]}


def test_words_of_others_are_escaped(heron: rg.Job) -> None:
    """A name may hold what a page would take for its own."""
    text = (ROOT / "designs/heron.toml").read_text("utf-8")
    odd = text.replace('"gold-750-green"', "{ name = '</td><script>&amp;', Au = 75, Ag = 25 }")
    job = rg.job(rg.design_from_text(odd))
    for thing in (job, job.parts, job.castings, job.findings, job.melts):
        assert "script" not in shown(thing).elements
    assert any("</td><script>&amp;" in row for row in shown(job.parts).tables[0])


def test_a_stopped_job_says_so(heron: rg.Job) -> None:
    text = (ROOT / "designs/heron.toml").read_text("utf-8").replace("= 0.8", "= 3.0")
    job = rg.job(rg.design_from_text(text))
    assert "cannot be made as designed" in job._repr_html_()
    assert len(shown(job).tables) == 1
    assert job.parts._repr_html_() == ""
    with pytest.raises(StopError, match="no section"):
        rg.section(job)


def test_the_section_is_the_drawing_that_make_writes(heron: rg.Job, tmp_path: Path) -> None:
    drawn = rg.section(heron)
    assert ElementTree.fromstring(drawn._repr_svg_()).tag.endswith("svg")
    rg.write(heron, tmp_path)
    assert (tmp_path / "heron" / "heron_section.svg").read_text("utf-8") == drawn


def test_rows_are_a_tuple_still() -> None:
    assert Rows() == ()
    assert isinstance(Rows(), tuple)
    assert table_html([]) == ""
