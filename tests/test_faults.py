"""Runs that are killed, disturbed or meet each other: old files or new ones, and a clear word.

`tests/proof/faults.py` does the same a hundred times at random; every failure it found is a
test here.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import ringgeom as rg
from ringgeom.errors import OutputError
from ringgeom.output import folder as folders
from ringgeom.output import held as holding
from ringgeom.output.folder import HELD, UNFINISHED
from ringgeom.output.one_file import write_file, write_new_file
from ringgeom.output.pack import write_sheets, write_waxes

Run = Callable[..., Any]
Tree = dict[str, bytes]

FILES = 15
"""How many files the heron is."""


def tree(folder: Path) -> Tree:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def jobs(designs: Path) -> tuple[rg.Job, rg.Job]:
    """The heron, and the same with its inlay of another alloy: one wax has another name."""
    text = (designs / "heron.toml").read_text("utf-8")
    greener = text.replace("gold-750-green", "gold-750-green-20-5").replace("= 0.8", "= 0.7")
    return rg.job(rg.design_from_text(text)), rg.job(rg.design_from_text(greener))


@pytest.fixture(scope="module")
def wholes(jobs: tuple[rg.Job, rg.Job], tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """What a whole run of each writes."""
    found = []
    for job in jobs:
        found.append(tmp_path_factory.mktemp("whole"))
        rg.write(job, found[-1])
    return found


@pytest.fixture
def out(wholes: list[Path], tmp_path: Path) -> Path:
    """The files of the heron, whole."""
    place = tmp_path / "out"
    shutil.copytree(wholes[0], place)
    return place


class Killed(BaseException):
    """Stands for the end of the process: nothing that tidies up may run after it."""


def killed_at(
    monkeypatch: pytest.MonkeyPatch, job: rg.Job, out: Path, at: int, what: str = "replace"
) -> None:
    """A run that is killed at its n-th rename: no line of ours comes after it."""
    works, calls = getattr(os, what), [0]
    with monkeypatch.context() as patched:

        def dies(*given: Any, **keys: Any) -> Any:
            calls[0] += 1
            if calls[0] == at:
                # what would tidy up is gone with the process, and so is its hold
                patched.setattr(folders, "_settle", lambda *_: None)
                raise Killed
            return works(*given, **keys)

        patched.setattr(os, what, dies)
        with pytest.raises(Killed):
            rg.write(job, out)


# Killed while the files are put in place


@pytest.mark.parametrize("at", [1, 2, 8, FILES])
def test_a_killed_run_says_so_and_is_taken_back(
    jobs: tuple[rg.Job, rg.Job],
    wholes: list[Path],
    out: Path,
    monkeypatch: pytest.MonkeyPatch,
    at: int,
) -> None:
    """Found: a wax of the killed run stayed in the folder, and no list knew it."""
    killed_at(monkeypatch, jobs[1], out, at)
    note = (out / "heron" / UNFINISHED).read_text("utf-8")
    assert "Do not print" in note
    assert (out / "heron" / HELD).exists()
    rg.write(jobs[0], out)
    assert tree(out) == tree(wholes[0])


def test_a_killed_run_over_nothing_leaves_nothing_for_the_next(
    jobs: tuple[rg.Job, rg.Job], wholes: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    killed_at(monkeypatch, jobs[1], tmp_path / "out", 9)
    rg.write(jobs[0], tmp_path / "out")
    assert tree(tmp_path / "out") == tree(wholes[0])


def test_a_killed_run_is_taken_back_by_a_part_of_one(
    jobs: tuple[rg.Job, rg.Job], wholes: list[Path], out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found: `wax` kept the other files of the killed run, half of them of another design."""
    killed_at(monkeypatch, jobs[1], out, 9)
    write_waxes(jobs[0], out)
    assert tree(out) == tree(wholes[0])


def test_a_run_killed_before_it_moves_anything_changes_nothing(
    jobs: tuple[rg.Job, rg.Job], wholes: list[Path], out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    killed_at(monkeypatch, jobs[1], out, 9, what="fsync")
    shown = {n: c for n, c in tree(out).items() if not any(p[0] == "." for p in Path(n).parts)}
    assert shown == tree(wholes[0])
    rg.write(jobs[0], out)
    assert tree(out) == tree(wholes[0])


@pytest.mark.parametrize(
    "noted",
    [
        b"",
        b'{"stage": ".part-x", "fi',
        b"null",
        b'{"stage": 7, "files": [], "gone": []}',
        b'{"stage": ".", "files": [], "gone": ["keep.txt"]}',
        b'{"stage": ".part-x", "files": ["../../keep.txt"], "gone": ["../../keep.txt"]}',
        b'{"stage": ".part-x", "files": [], "gone": ["../../keep.txt"]}',
        b'{"stage": "../../.part-y", "files": [], "gone": []}',
        b"\xff\xfe",
    ],
)
def test_a_note_that_was_tampered_with_takes_nothing_away(
    jobs: tuple[rg.Job, rg.Job], out: Path, noted: bytes
) -> None:
    keep = [out.parent / "keep.txt", out / "heron" / "keep.txt", out.parent / ".part-y" / "keep"]
    (out / "heron" / ".part-x").mkdir()
    keep[-1].parent.mkdir()
    for path in keep:
        path.write_text("mine")
    (out / "heron" / HELD).write_bytes(noted)
    rg.write(jobs[0], out)
    assert all(path.read_text() == "mine" for path in keep)
    assert not (out / "heron" / HELD).exists()


def test_killed_for_good_while_it_writes(
    program: Path, environment: dict[str, str], designs: Path, wholes: list[Path], out: Path
) -> None:
    """The program itself, ended by the system between two renames, and begun again."""
    code = (
        "import os, sys, signal\n"
        "works, calls = os.replace, []\n"
        "def dies(*given):\n"
        "    calls.append(given)\n"
        "    if len(calls) == 6: os.kill(os.getpid(), signal.SIGKILL)\n"
        "    works(*given)\n"
        "os.replace = dies\n"
        f"sys.argv = ['ringgeom', 'make', '--no-pictures', {str(out / 'other.toml')!r}, "
        f"'--out', {str(out)!r}]\n"
        "from ringgeom.door import main\nmain()\n"
    )
    text = (designs / "heron.toml").read_text("utf-8").replace("= 0.8", "= 0.7")
    (out / "other.toml").write_text(text, "utf-8")
    done = subprocess.run([sys.executable, "-c", code], env=environment, check=False, timeout=120)
    assert done.returncode == -signal.SIGKILL
    assert (out / "heron" / UNFINISHED).exists()
    (out / "other.toml").unlink()
    again = [str(program), "make", "--no-pictures", str(designs / "heron.toml"), "--out", str(out)]
    subprocess.run(again, env=environment, check=True, capture_output=True, timeout=120)
    assert tree(out) == tree(wholes[0])


# A hand on the keyboard, the system shutting down


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_what_ends_the_program_waits_until_the_files_are_in_place(
    jobs: tuple[rg.Job, rg.Job],
    wholes: list[Path],
    out: Path,
    monkeypatch: pytest.MonkeyPatch,
    name: str,
) -> None:
    def end(number: int, frame: object) -> None:
        raise KeyboardInterrupt

    works, number = os.replace, getattr(signal, name)
    before = signal.signal(number, end)

    def pressed(*given: Any) -> None:
        signal.raise_signal(number)
        works(*given)

    monkeypatch.setattr(os, "replace", pressed)
    try:
        with pytest.raises(KeyboardInterrupt):
            rg.write(jobs[1], out)
        assert signal.getsignal(number) is end
    finally:
        signal.signal(number, before)
    assert tree(out) == tree(wholes[1])


def test_told_to_end_it_leaves_nothing_behind(
    program: Path, environment: dict[str, str], designs: Path, tmp_path: Path
) -> None:
    """Found: a run that the system ended left some megabytes in a hidden folder."""
    words = [str(program), "make", "--no-pictures", str(designs / "heron.toml"), "--out", "out"]
    run = subprocess.Popen(
        words, env=environment, cwd=tmp_path, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    while run.poll() is None and not list(tmp_path.rglob(".part-*")):
        pass
    run.terminate()
    _, err = run.communicate(timeout=120)
    assert err == b""
    assert run.returncode in (0, 128 + signal.SIGTERM)
    assert not [path for path in tmp_path.rglob("*") if path.name.startswith(".")]


# Two at once


def at_once(*work: Callable[[], object]) -> None:
    runs = [threading.Thread(target=one) for one in work]
    for run in runs:
        run.start()
    for run in runs:
        run.join()


def test_two_designs_into_one_folder_are_one_of_them(
    jobs: tuple[rg.Job, rg.Job], wholes: list[Path], out: Path
) -> None:
    """Found: files of both lay side by side, waxes that do not fit each other."""
    at_once(*[lambda job=job: rg.write(job, out) for job in (*jobs, *jobs)])
    assert tree(out) in [tree(whole) for whole in wholes]


def test_waxes_and_sheets_at_once_are_both_listed(
    jobs: tuple[rg.Job, rg.Job], tmp_path: Path
) -> None:
    """Found: the later list did not know the files of the earlier run, so they stayed for ever."""
    at_once(lambda: write_waxes(jobs[0], tmp_path), lambda: write_sheets(jobs[0], tmp_path))
    listed = json.loads((tmp_path / "heron" / "job.json").read_text("utf-8"))["files"]
    assert listed == sorted(name[6:] for name in tree(tmp_path))
    assert {name.split("/")[0] for name in listed} >= {"wax", "templates", "heron_card_A4.pdf"}


def test_a_run_that_does_not_end_is_told_of(
    jobs: tuple[rg.Job, rg.Job], out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(holding, "PATIENCE_S", 0.1)
    before = tree(out)
    with (
        holding.held(out / "heron" / HELD),
        pytest.raises(OutputError, match=r"another run is writing to .*heron"),
    ):
        rg.write(jobs[1], out)
    assert tree(out) == before


# The folder and its files


@pytest.mark.parametrize("at", [1, FILES])
@pytest.mark.parametrize("what", ["fsync", "replace"])
def test_a_folder_taken_away_under_it(
    jobs: tuple[rg.Job, rg.Job],
    wholes: list[Path],
    out: Path,
    monkeypatch: pytest.MonkeyPatch,
    at: int,
    what: str,
) -> None:
    works, calls = getattr(os, what), [0]

    def without(*given: Any) -> None:
        calls[0] += 1
        if calls[0] == at:
            shutil.rmtree(out)
        works(*given)

    with monkeypatch.context() as patched:
        patched.setattr(os, what, without)
        with pytest.raises(OutputError, match="cannot be written: No such file"):
            rg.write(jobs[1], out)
    assert not out.exists() or tree(out) == {}
    rg.write(jobs[1], out)
    assert tree(out) == tree(wholes[1])


def test_a_file_kept_from_being_changed_stops_it(
    jobs: tuple[rg.Job, rg.Job], wholes: list[Path], out: Path
) -> None:
    """Found: it was replaced all the same, where the system lets a file be renamed away."""
    (out / "heron" / "weights.csv").chmod(0o444)
    with pytest.raises(OutputError, match=r"weights.csv is kept from being changed"):
        rg.write(jobs[1], out)
    assert tree(out) == tree(wholes[0])


def test_a_file_that_cannot_be_moved_over_is_no_reason_to_leave_the_rest(
    jobs: tuple[rg.Job, rg.Job], wholes: list[Path], out: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found with a file that even root may not change: it cannot be put back either."""
    works = os.replace

    def not_this(source: Path, target: Path) -> None:
        if target.name == "weights.csv":
            raise PermissionError(1, "Operation not permitted")
        works(source, target)

    monkeypatch.setattr(os, "replace", not_this)
    with pytest.raises(OutputError, match="not permitted"):
        rg.write(jobs[1], out)
    assert tree(out) == tree(wholes[0])


# One file by itself


def test_what_a_killed_run_left_beside_a_file_goes(tmp_path: Path) -> None:
    """Found: every run killed while it wrote left a hidden file beside the design for ever."""
    (tmp_path / ".shop.toml.part-dead").write_bytes(b"half")
    (tmp_path / ".other.toml.part-dead").write_bytes(b"of another file")
    living = tmp_path / ".shop.toml.part-alive"
    with living.open("wb") as file:
        assert holding.taken(file.fileno())
        write_file(tmp_path / "shop.toml", b"new")
        assert living.exists()
    assert tree(tmp_path) == {
        "shop.toml": b"new",
        ".other.toml.part-dead": b"of another file",
        ".shop.toml.part-alive": b"",
    }


def test_many_writers_of_one_file_leave_one_whole(tmp_path: Path) -> None:
    place, contents = tmp_path / "shop.toml", [bytes([n]) * 300_000 for n in range(8)]
    at_once(*[lambda content=content: write_file(place, content) for content in contents])
    assert place.read_bytes() in contents
    assert list(tmp_path.iterdir()) == [place]


def test_a_new_file_on_a_disk_without_second_names_is_whole_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found: there it was written in its place, and could be left half."""

    def fails(*given: Any) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", fails)
    write_new_file(tmp_path / "ring.toml", "whole")
    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", fails)
        with pytest.raises(OutputError, match="not permitted"):
            write_new_file(tmp_path / "other.toml", "whole")
    with pytest.raises(OutputError, match="exists already"):
        write_new_file(tmp_path / "ring.toml", "another")
    assert tree(tmp_path) == {"ring.toml": b"whole"}


@pytest.mark.parametrize("name", ["ж" * 120, os.fsdecode(b"ring-\xff"), "a" * 250])
def test_a_file_of_any_name_is_written_beside(tmp_path: Path, name: str) -> None:
    """Found: a name that is no text, or is longer than a hidden name beside it may be."""
    write_file(tmp_path / name, b"whole")
    write_new_file(tmp_path / name[1:], "whole")
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {
        name: b"whole",
        name[1:]: b"whole",
    }


def test_told_to_end_while_a_page_is_set(monkeypatch: pytest.MonkeyPatch) -> None:
    """Found: the library that sets pages wrote into the exit code, and it became 1, a stop."""
    from reportlab.lib.utils import annotateException

    from ringgeom import cli, door

    def setting() -> None:
        try:
            signal.raise_signal(signal.SIGTERM)
        except BaseException:
            annotateException("\nraised by a page")

    monkeypatch.setattr(cli, "main", setting)
    before = {number: signal.getsignal(number) for number in (signal.SIGTERM, signal.SIGHUP)}
    try:
        for number in before:
            signal.signal(number, signal.SIG_DFL)
        with pytest.raises(SystemExit) as ended:
            door.main()
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
    assert ended.value.code == 128 + signal.SIGTERM
