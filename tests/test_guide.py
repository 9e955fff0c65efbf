"""The README's guide is walked as it is written: every command run, every line that it prints."""

from __future__ import annotations

import re
import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Run = Callable[..., Any]

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
GUIDE = README.split("## From commission to finished ring\n")[1].split("\n## ")[0]

DESIGN, SHOP, READINGS = "siskin.toml", "siskin-shop.toml", "siskin-read.toml"


def blocks() -> list[tuple[str, str]]:
    """What is set apart: console or plain, and its text."""
    return re.findall(r"^```(\w*)\n(.*?)^```", GUIDE, flags=re.S | re.M)


def edited(text: str, asked: str) -> str:
    """A design with keys set as an editor would: in their table, new ones at the end."""
    lines, places, table = text.splitlines(), {}, ""
    for number, line in enumerate(lines):
        if line.startswith("["):
            table = line.split("#")[0].strip()
        elif found := re.match(r"\w+(?= =)", line):
            places[table, found[0]] = number
    for line in asked.splitlines():
        if line.startswith("["):
            table = line
        elif (place := places.get((table, line.split(" =")[0]))) is not None:
            lines[place] = line
        else:
            lines.append(line)
    return "\n".join([*lines, ""])


def commands(block: str) -> list[tuple[str, list[str]]]:
    """Every command of a block, with the lines that are shown under it."""
    found = []
    for piece in re.split(r"^\$ ", block, flags=re.M)[1:]:
        command, *lines = piece.rstrip("\n").split("\n")
        found.append((command, lines))
    return found


def left(printed: list[str], shown: list[str]) -> list[str]:
    """Lines that are shown and not printed, in this order; `...` stands for any lines."""
    missing, at, skips = [], 0, False
    for line in shown:
        if line == "...":
            skips = True
            continue
        found = next((n for n in range(at, len(printed)) if printed[n] == line), None)
        if found is None or (not skips and found != at):
            missing.append(line)
            continue
        at, skips = found + 1, False
    if not skips and [line for line in printed[at:] if line]:
        missing.append("... in the end")
    return missing


def test_the_guide_is_what_happens(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    ran = 0
    for kind, text in blocks():
        if kind == "console":
            for command, shown in commands(text):
                program, *words = shlex.split(command)
                assert program == "ringgeom"
                done = run(*words)
                assert done.code == 0, f"{command}: {done.err}"
                assert left(done.out.splitlines(), shown) == [], command
                ran += 1
        elif text.startswith(("[ring]", "[[part]]")):
            path = tmp_path / DESIGN
            path.write_text(edited(path.read_text("utf-8"), text), "utf-8")
        else:
            (tmp_path / (SHOP if "[[lot]]" in text else READINGS)).write_text(text, "utf-8")
    assert ran == 8
    assert (tmp_path / "exports" / "siskin" / "siskin_card_A4.pdf").is_file()


@pytest.mark.parametrize("line", re.findall(r"`(ringgeom \w[^`]*)`", GUIDE))
def test_commands_named_in_passing_are_ones(run: Run, line: str) -> None:
    ran = run(shlex.split(line)[1], "--help")
    assert ran.code == 0
    assert all(word in ran.out for word in shlex.split(line) if word.startswith("--"))


def test_the_comparison_can_fail() -> None:
    printed = ["a", "b", "c"]
    assert left(printed, ["a", "...", "c"]) == []
    assert left(printed, ["...", "b", "..."]) == []
    assert left(printed, ["a", "c"]) == ["c", "... in the end"]
    assert left(printed, ["...", "c", "b"]) == ["b"]
    assert left(printed, ["b", "..."]) == ["b"]
