"""What all tests share: the example designs, the command line, and the rule on skipping."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Generator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

import pytest
from hypothesis import settings

pytest_plugins = ["judging.plugin"]

# a slow machine is no fault of the program
settings.register_profile("patient", deadline=None)
settings.load_profile("patient")

ROOT = Path(__file__).parents[1]
DESIGNS = tuple(sorted((ROOT / "designs").glob("*.toml")))
PROGRAM = Path(sys.executable).with_name("ringgeom")

Report = TypeVar("Report", pytest.TestReport, pytest.CollectReport)

PATIENCE_S = 120
"""No command takes a second; one that hangs shall fail, not wait for ever."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """How a command ended, and what it said."""

    code: int
    out: str
    err: str


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that asks for `design_file` runs once for every example design."""
    if "design_file" in metafunc.fixturenames:
        metafunc.parametrize("design_file", DESIGNS, ids=[path.stem for path in DESIGNS])


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Nothing may be skipped where the environment variable CI is set."""
    return _no_skip((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(
    collector: pytest.Collector,
) -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """The same for a whole file, such as one whose `importorskip` finds nothing."""
    return _no_skip((yield))


def _no_skip(report: Report) -> Report:
    if report.skipped and os.environ.get("CI") and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"nothing may be skipped where CI is set: {report.longrepr}"
    return report


@pytest.fixture(scope="session")
def designs() -> Path:
    """The folder of example designs."""
    return ROOT / "designs"


@pytest.fixture(scope="session")
def job_of() -> Callable[[Path], Any]:
    """The job of a design file, computed once in a session."""
    import ringgeom as rg

    return cache(lambda path: rg.job(rg.read_design(path)))


@pytest.fixture(scope="session")
def made_of(
    job_of: Callable[[Path], Any], tmp_path_factory: pytest.TempPathFactory
) -> Callable[[Path], Path]:
    """The folder with everything `make` writes of a design, written once; read it only."""
    import ringgeom as rg

    @cache
    def folder(path: Path) -> Path:
        out = tmp_path_factory.mktemp("made")
        rg.write(job_of(path), out)
        (written,) = out.iterdir()
        return written

    return folder


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Ran]:
    """Run a command in this process. What it does not catch itself comes out as it would."""
    from ringgeom.cli import main

    def ran(*words: str | Path) -> Ran:
        monkeypatch.setattr(sys, "argv", ["ringgeom", *map(str, words)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main()
        code = ended.value.code
        said = capsys.readouterr()
        return Ran(code=code if isinstance(code, int) else 0, out=said.out, err=said.err)

    return ran


@pytest.fixture(scope="session")
def program() -> Path:
    """The installed program, to be started as a shell would."""
    return PROGRAM


@pytest.fixture(scope="session")
def environment() -> dict[str, str]:
    """The environment without what changes how a program writes."""
    odd = ("PYTHONUNBUFFERED", "FORCE_COLOR", "NO_COLOR", "CLICOLOR_FORCE", "TTY_COMPATIBLE")
    return {key: value for key, value in os.environ.items() if key not in odd}


@pytest.fixture(scope="session")
def ringgeom(program: Path, environment: dict[str, str]) -> Callable[..., Ran]:
    """Run the installed program, its output piped."""

    def ran(*words: str | Path, cwd: Path | None = None, **changed: str) -> Ran:
        done = subprocess.run(
            [str(program), *map(str, words)],
            cwd=cwd,
            env=environment | changed,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            errors="replace",
            timeout=PATIENCE_S,
            check=False,
        )
        return Ran(code=done.returncode, out=done.stdout, err=done.stderr)

    return ran
