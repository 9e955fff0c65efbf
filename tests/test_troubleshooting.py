"""Every error in the README's troubleshooting can happen: each is provoked, its words compared."""

from __future__ import annotations

import re
import shutil
import socket
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from ringgeom.output import folder as folders
from ringgeom.output import held as holding

Run = Callable[..., Any]
ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SECTION = README.split("## When something does not go\n")[1].split("\n## ")[0]
TOLD = re.findall(r"^\| `([^`]+)`", SECTION, flags=re.M)

HERON = (ROOT / "designs" / "heron.toml").read_text(encoding="utf-8")


class Bench:
    """A folder with a good design, in which something is about to go wrong."""

    def __init__(self, run: Run, folder: Path, patch: pytest.MonkeyPatch) -> None:
        self.run, self.folder, self.patch = run, folder, patch
        (folder / "my-ring.toml").write_text(HERON, "utf-8")

    def says(self, *words: str) -> str:
        ran = self.run(*words)
        return str(ran.out + ran.err)

    def changed(self, old: str, new: str, *words: str) -> str:
        assert HERON.count(old) == 1
        (self.folder / "my-ring.toml").write_text(HERON.replace(old, new), "utf-8")
        return self.says(*(words or ("weigh", "my-ring.toml")))

    def made(self) -> str:
        return self.says("wax", "my-ring.toml")


def shop(name: str) -> str:
    return str(ROOT / "designs" / "shop" / name)


def earlier(bench: Bench) -> str:
    bench.made()
    return bench.changed("depth_mm = 0.8", "depth_mm = 3.0", "wax", "my-ring.toml")


def no_right(bench: Bench) -> str:
    (bench.folder / "exports").write_text("a file in the way")
    return bench.made()


def kept(bench: Bench) -> str:
    bench.made()
    (bench.folder / "exports" / "heron" / "heron_wax-plate_mm.3mf").chmod(0o444)
    return bench.made()


def hangs(bench: Bench) -> str:
    bench.patch.setattr(holding, "PATIENCE_S", 0.1)
    (bench.folder / "exports" / "heron").mkdir(parents=True)
    with holding.held(bench.folder / "exports" / "heron" / folders.HELD):
        return bench.made()


def killed(bench: Bench) -> str:
    """Ended between two renames, so that nothing is tidied up."""
    works, calls = folders.os.replace, []

    def dies(*given: Any) -> None:
        calls.append(given)
        if len(calls) == 2:
            patched.setattr(folders, "_settle", lambda *_: None)
            raise MemoryError
        works(*given)

    with bench.patch.context() as patched:
        patched.setattr(folders.os, "replace", dies)
        with pytest.raises(MemoryError):
            bench.made()
    return " ".join(path.name for path in (bench.folder / "exports" / "heron").iterdir())


def accepted_twice(bench: Bench) -> str:
    shutil.copy(shop("heron-readings.toml"), bench.folder / "read.toml")
    (bench.folder / "shop.toml").write_text("# ours\n")
    words = ("measured", "my-ring.toml", "read.toml", "--shop", "shop.toml", "--accept")
    bench.says(*words)
    return bench.says(*words)


def no_gl(bench: Bench) -> str:
    """The process of the renderer says what it says without a GL library."""
    from ringgeom.output.pictures import rendered

    child = bench.folder / "child.py"
    child.write_text(f"import sys\nsys.exit({rendered.NO_LIBRARY})\n")
    bench.patch.setattr(rendered, "CHILD", child)
    return bench.says("picture", "my-ring.toml", "--view", "front")


@contextmanager
def taken_port() -> Iterator[int]:
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        yield listening.getsockname()[1]


def port_taken(bench: Bench) -> str:
    with taken_port() as port:
        return bench.says("bench", "my-ring.toml", "--no-browser", "--port", str(port))


def letter(bench: Bench) -> str:
    """A terminal of western letters, and a job with a Cyrillic name."""
    return bench.changed('name = "Heron"', 'name = "Цапля"')


PROVOKED: dict[str, Callable[[Bench], str]] = {
    "there is no such design file": lambda b: b.says("weigh", "my-rign.toml"),
    "this is not TOML": lambda b: b.changed("depth_mm = 0.8", "depth_mm = 0,8"),
    "unknown key": lambda b: b.changed("depth_mm = 0.8", "deepth_mm = 0.8"),
    "a number alone names no size": lambda b: b.changed('"US 7"', '"7"'),
    "no alloy of this name": lambda b: b.changed('"gold-750-green"', '"gold-750-gren"'),
    "cannot be made as designed": lambda b: b.changed("depth_mm = 0.8", "depth_mm = 3.0"),
    "the files in": earlier,
    "exists already": lambda b: b.says("start", "my-ring.toml"),
    "cannot be written": no_right,
    "is kept from being changed": kept,
    "another run is writing to": hangs,
    "unfinished-do-not-print.txt": killed,
    "cannot be made from the stock": lambda b: b.says(
        "melt", "my-ring.toml", "--shop", shop("short.toml")
    ),
    "no metal prices in [prices]": lambda b: b.says("price", "my-ring.toml"),
    "figures are taken into a shop file": lambda b: b.says(
        "measured", "my-ring.toml", shop("heron-readings.toml"), "--accept"
    ),
    "these readings were taken in on": accepted_twice,
    "drawn, not rendered": no_gl,
    "the page cannot answer on port": port_taken,
    "?": letter,
}
"""The beginning of each word in the README, and how it comes about."""


@pytest.fixture
def bench(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Bench:
    monkeypatch.chdir(tmp_path)
    return Bench(run, tmp_path, monkeypatch)


def test_every_word_is_provoked_and_no_other() -> None:
    assert len(TOLD) == len(PROVOKED)
    assert all(any(told.startswith(begun) for begun in PROVOKED) for told in TOLD), (
        "a word of the README that nothing here brings about"
    )


@pytest.mark.parametrize("told", [one for one in TOLD if one != "?"])
def test_it_is_said(bench: Bench, told: str) -> None:
    (how,) = [work for begun, work in PROVOKED.items() if told.startswith(begun)]
    said = " ".join(how(bench).split())
    pattern = ".*".join(re.escape(piece.strip()) for piece in told.split("..."))
    assert re.search(pattern, said), said


def test_a_letter_that_the_terminal_has_not(ringgeom: Run, bench: Bench, tmp_path: Path) -> None:
    letter(bench)
    ran = ringgeom("weigh", "my-ring.toml", cwd=tmp_path, PYTHONIOENCODING="cp1252")
    assert ran.code == 0
    assert ran.out.startswith("?????: US 7")
    wide = ringgeom("weigh", "my-ring.toml", cwd=tmp_path, PYTHONUTF8="1")
    assert wide.out.startswith("Цапля: US 7")
