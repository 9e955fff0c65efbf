"""The README is true: its commands run, its tables list what there is."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from ringgeom.cli import app
from ringgeom.findings.on_melts import HABITS
from ringgeom.marks import MarkDoubt
from ringgeom.metal import Recipe, recipe_faults
from ringgeom.output.start import start_kinds
from ringgeom.shop import Shop

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
BIN = Path(sys.executable).parent


def shell_blocks() -> list[str]:
    return re.findall(r"^```sh\n(.*?)^```", README, flags=re.S | re.M)


def codes_in_source() -> set[str]:
    found: set[str] = set()
    paths = [*(ROOT / "ringgeom" / "findings").glob("*.py"), ROOT / "ringgeom" / "sketch.py"]
    for path in paths:
        for words in re.findall(r"code=(.*?),\n", path.read_text(encoding="utf-8")):
            found.update(re.findall(r'"([a-z-]+)"', words))
    harmful = {"Au": 18, "Cd": 5, "Pb": 5, "Ni": 5, "Be": 5, "Ag": 5}
    found |= {*HABITS, *get_args(get_type_hints(MarkDoubt)["code"])}
    return found | {f.code for f in recipe_faults(Recipe.of("all at once", harmful))}


def test_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph, rest = README.split("\n\n", 2)
    assert title == "# ringgeom"
    assert "\n" not in paragraph
    assert "goldsmith" in paragraph
    assert rest.startswith("## ")


def test_main_command_makes_the_example(tmp_path: Path) -> None:
    """The command after its own set-up, with the program of this environment."""
    (command,) = [b for b in shell_blocks() if "ringgeom make designs/" in b]
    setup, made = command.strip().rsplit("&&", 1)
    assert setup.startswith("python3 -m venv .venv && .venv/bin/pip install")
    words = made.split()
    assert words[0] == ".venv/bin/ringgeom"
    done = subprocess.run(
        [str(BIN / "ringgeom"), *words[1:], "--out", str(tmp_path)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "heron" / "job.json").is_file()


def test_commands_of_your_own_ring_run(tmp_path: Path) -> None:
    (block,) = [b for b in shell_blocks() if "ringgeom start" in b]
    for line in block.strip().splitlines():
        words = line.split()
        assert words[0] == "ringgeom"
        done = subprocess.run(
            [str(BIN / "ringgeom"), *words[1:]],
            cwd=tmp_path,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, f"{line}: {done.stderr}"


@pytest.mark.parametrize(
    "line",
    [
        line
        for block in shell_blocks()
        for line in block.splitlines()
        if line.startswith("ringgeom")
    ],
)
def test_every_other_command_runs(line: str, tmp_path: Path) -> None:
    """Metals and melts; what begins from a start is run in its order above."""
    for written in ("map.png", "form.toml"):
        line = line.replace(f" {written}", f" {tmp_path / written}")
    words = shlex.split(line)
    if "my-ring.toml" in words:
        return
    done = subprocess.run(
        [str(BIN / "ringgeom"), *words[1:]], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{line}: {done.stderr}"
    assert done.stdout


def test_every_command_is_documented() -> None:
    documented = set(re.findall(r"^\| `(\w+) ", README, flags=re.M))
    assert {command.callback.__name__ for command in app.registered_commands} <= documented


def test_every_finding_is_documented_and_no_other() -> None:
    section = README.split("## Findings")[1].split("## ")[0]
    documented = set(re.findall(r"`([a-z-]+)`", section)) - {"stop", "warn", "note"}
    assert documented == codes_in_source()


def test_every_start_is_documented() -> None:
    for kind in start_kinds():
        assert kind in README


@pytest.mark.parametrize("table", list(Shop.model_fields))
def test_every_shop_table_is_documented(table: str) -> None:
    assert f"[{Shop.model_fields[table].alias or table}" in README


def test_the_notebook_example_runs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (code,) = re.findall(r"^```python\n(.*?)^```", README, flags=re.S | re.M)
    monkeypatch.chdir(ROOT)
    space: dict[str, object] = {}
    exec(code.replace('"exports/"', repr(str(tmp_path))), space)
    assert (tmp_path / "heron" / "weights.csv").is_file()


def test_the_design_in_the_readme_is_read() -> None:
    from ringgeom import design_from_text, job, shop_from_text

    design, shop = re.findall(r"^```toml\n(.*?)^```", README, flags=re.S | re.M)
    found = job(design_from_text(design), shop_from_text(shop))
    assert not found.stopped
    # the lot in the example is one of yellow returns: the melts need more than that
    assert not found.melts.possible
