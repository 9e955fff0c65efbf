"""The page of what others say (tests/judged.md) in a run of the tests: held, or written."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from judging import checks
from judging.checks import BOOK, gone, judged, published
from judging.page import PAGE, rows_written, text

TESTS = Path(__file__).parents[1]
OPTION = "--write-judged"


class Held:
    """What of this run has to be known to tell whether a row is still recorded."""

    def __init__(self, config: pytest.Config) -> None:
        self.config = config
        self.left_out: set[Path] = set()
        self.passed: set[str] = set()

    def whole(self, item: pytest.Item) -> bool:
        """Whether every test of the file was run here, and passed."""
        here = {other.nodeid for other in item.session.items if other.path == item.path}
        picked = any("::" in str(word) for word in self.config.args)
        return not picked and item.path not in self.left_out and here <= self.passed


HELD = pytest.StashKey[Held]()


def test_of(item: pytest.Item) -> str:
    """The file, from the folder of the tests, and the function."""
    path = item.path.relative_to(TESTS) if item.path.is_relative_to(TESTS) else item.path
    return f"{path.as_posix()}::{item.name.split('[')[0]}"


def pytest_addoption(parser: pytest.Parser) -> None:
    """One option, which writes the page instead of holding it."""
    parser.addoption(
        OPTION,
        action="store_true",
        help="run the tests that ask a work or a program, and write tests/judged.md",
    )


def pytest_configure(config: pytest.Config) -> None:
    """Begin a book."""
    config.stash[HELD] = Held(config)
    BOOK.writing = config.getoption(OPTION)


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """To write the page only the files are run that compare and record."""
    if BOOK.writing:
        asking = [i for i in items if _asks(i)]
        config.hook.pytest_deselected(items=[i for i in items if not _asks(i)])
        items[:] = asking


def _asks(item: pytest.Item) -> bool:
    names = vars(item.module) if isinstance(item, pytest.Function) else {}
    return any(value in (judged, published) for value in names.values() if callable(value))


def pytest_deselected(items: list[pytest.Item]) -> None:
    """A file of which something is left out cannot say what is no longer recorded."""
    for item in items:
        item.config.stash[HELD].left_out.add(item.path)


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Rows are recorded under the test that runs."""
    BOOK.test = test_of(item)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Any:
    """Remember what passed."""
    result = yield
    item.config.stash[HELD].passed.add(item.nodeid)
    return result


def pytest_runtest_teardown(item: pytest.Item, nextitem: pytest.Item | None) -> None:
    """After the last test of a file: every row that the page has of it was recorded."""
    last = nextitem is None or nextitem.path != item.path
    if last and not BOOK.writing and item.config.stash[HELD].whole(item):
        file = test_of(item).split("::")[0]
        lost = [f"{row.by}, {row.what} ({row.test})" for row in gone(file)]
        if lost:
            pytest.fail("tests/judged.md has rows that no test records: " + "; ".join(lost))


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """What one of several processes recorded."""
    BOOK.join(getattr(node, "workeroutput", {}).get("judged", ()))


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """Send the rows to the process that writes, or write them."""
    if not BOOK.writing:
        return
    sent = getattr(session.config, "workeroutput", None)
    if sent is not None:
        sent["judged"] = BOOK.plain()


@pytest.hookimpl(trylast=True)
def pytest_terminal_summary(terminalreporter: Any, exitstatus: int) -> None:
    """The page is written only after a run in which everything was asked and nothing failed."""
    if not checks.BOOK.writing:
        return
    if exitstatus != 0 or terminalreporter.stats.get("skipped"):
        terminalreporter.line("tests/judged.md is left as it was: something failed or was skipped")
        return
    config = terminalreporter.config
    if config.option.keyword or any("::" in word for word in config.args):
        terminalreporter.line("tests/judged.md is left as it was: files are asked whole or not")
        return
    asked = [(config.rootpath / word).resolve() for word in config.args]
    kept = [
        row
        for row in rows_written()
        if not any((TESTS / row.test.split("::")[0]).is_relative_to(one) for one in asked)
    ]
    PAGE.write_text(text([*kept, *BOOK.rows.values()]), encoding="utf-8")
    terminalreporter.line(f"tests/judged.md: {len(BOOK.rows)} rows written, {len(kept)} kept")
