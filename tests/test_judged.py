"""The page of what others say: it can say no, and it names no test that is gone."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from judging import checks, page, programs
from judging.checks import BOOK
from judging.page import Row, rows_written, text

TESTS = Path(__file__).parent
WRITTEN = tuple(rows_written())


@pytest.fixture
def row(monkeypatch: pytest.MonkeyPatch) -> Row:
    """A row of the page on a work, its test the one that runs."""
    found = next(row for row in WRITTEN if not row.version and not row.share and row.allowed)
    monkeypatch.setattr(BOOK, "test", found.test)
    monkeypatch.setattr(BOOK, "rows", {})
    return found


def compare(row: Row, ours: str | float) -> None:
    first = float(row.printed.split(", ")[0])
    more = [float(one) for one in row.printed.split(", ")[1:]]
    checks.published(
        row.by,
        row.what,
        [float(ours), *more] if more else float(ours),
        [first, *more] if more else first,
        abs=row.allowed,
        why=row.why,
    )


def test_the_page_is_there() -> None:
    assert sum(not row.version for row in WRITTEN) > 500
    assert sum(bool(row.version) for row in WRITTEN) > 20
    assert len({row.key for row in WRITTEN}) == len(WRITTEN)


def test_text_and_rows_are_the_same() -> None:
    assert text(WRITTEN) == page.PAGE.read_text(encoding="utf-8")


def test_every_test_it_names_is_there() -> None:
    for name in {row.test for row in WRITTEN}:
        file, function = name.split("::")
        assert re.search(rf"^def {function}\(", (TESTS / file).read_text("utf-8"), re.M), name


def test_every_program_it_names_is_known() -> None:
    known = {one.name for one in vars(programs).values() if isinstance(one, programs.Program)}
    assert {row.by for row in WRITTEN if row.version} == known


def test_a_work_is_contradicted(row: Row) -> None:
    printed = float(row.printed.split(", ")[0])
    with pytest.raises(AssertionError, match="off by"):
        compare(row, printed + 1.01 * row.allowed)


def test_a_page_that_tells_another_number_fails(row: Row, monkeypatch: pytest.MonkeyPatch) -> None:
    moved = replace(
        row, ours=page.digits(float(row.ours.split(", ")[0]) + row.allowed, row.allowed)
    )
    monkeypatch.setattr(checks, "_page", lambda: {row.key: row})
    checks.against_the_page(row)
    with pytest.raises(AssertionError, match="says ours is"):
        checks.against_the_page(moved)
    with pytest.raises(AssertionError, match="no such row"):
        checks.against_the_page(replace(row, why="for another reason"))


def test_a_row_that_nothing_records_is_named(row: Row) -> None:
    file = row.test.split("::")[0]
    assert row.key in {one.key for one in checks.gone(file)}


def test_a_program_that_grows_apart_fails(monkeypatch: pytest.MonkeyPatch) -> None:
    found = next(row for row in WRITTEN if row.by == programs.SHAPELY.name and row.share)
    here = programs.SHAPELY.version()
    monkeypatch.setattr(BOOK, "test", found.test)
    monkeypatch.setattr(BOOK, "rows", {})
    apart = 1 + 0.5 * found.allowed

    def compared(version: str, off: float) -> None:
        kept = replace(found, version=version, off=0.0)
        monkeypatch.setattr(checks, "_page", lambda: {found.key: kept})
        checks.judged(programs.SHAPELY, found.what, off, 1.0, rel=found.allowed, why=found.why)

    compared(here, 1.0)
    with pytest.raises(AssertionError, match="says at worst"):
        compared(here, apart)
    compared("another", apart)  # of other versions only what is allowed is held
    with pytest.raises(AssertionError, match="off by"):
        compared("another", 1 + 2 * found.allowed)
