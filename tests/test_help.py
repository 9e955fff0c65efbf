"""Every command's `--help` ends with an example, and every example runs as it is printed."""

from __future__ import annotations

import inspect
import re
import shlex
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import typer

from ringgeom.cli import app

Run = Callable[..., Any]

COMMANDS = {str(one.callback.__name__): one.callback for one in app.registered_commands}

WAITS = ("bench",)
"""Commands that serve until they are ended: their examples are read, not run."""


def examples(command: str) -> list[list[str]]:
    """The words of every example of a command, without the program's name."""
    told = inspect.getdoc(COMMANDS[command]) or ""
    found = re.search(r"^Examples?: (.+?)(\n\n|\Z)", told, flags=re.S | re.M)
    said = " ".join(found[1].split()) if found else ""
    return [shlex.split(one) for one in re.findall(r"\bringgeom ((?:\"[^\"]*\"|[^;])+)", said)]


def empty(size: tuple[int, int]) -> np.ndarray:
    """A picture of nothing, as wide and high as is asked."""
    return np.full((size[1], size[0], 3), 255, dtype=np.uint8)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_shows_an_example(run: Run, command: str) -> None:
    said = " ".join(run(command, "--help").out.split())
    assert examples(command)
    for words in examples(command):
        assert words[0] == command
        assert f"ringgeom {command}" in said


@pytest.mark.parametrize(
    ("command", "words"),
    [(command, words) for command in COMMANDS for words in examples(command)],
    ids=lambda given: given if isinstance(given, str) else "-".join(given[1:])[:40],
)
def test_the_example_runs(
    run: Run, designs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str,
    words: list[str],
) -> None:  # fmt: skip
    """In a folder that has the example designs, as a clone has."""
    if command in WAITS:
        asked = typer.main.get_command(app)
        context = asked.make_context("ringgeom", list(words), resilient_parsing=False)
        with context:
            name, found, rest = asked.resolve_command(context, list(words))  # type: ignore[attr-defined]
            assert name == command
            found.make_context(name, rest)
        return
    shutil.copytree(designs, tmp_path / "designs")
    monkeypatch.chdir(tmp_path)
    if "pictures" in words or command in ("make", "picture"):
        # how pictures are rendered and drawn is tried elsewhere; here one is empty
        from ringgeom.output.pictures import album

        monkeypatch.setattr(album, "views_meant", lambda names: ["front"])
        monkeypatch.setattr(album, "rendered", lambda *_: "not in this test")
        monkeypatch.setattr(album, "drawn", lambda view, parts: empty(view.size))
    ran = run(*words)
    assert ran.code == 0, ran.err
    assert ran.out
