"""Files on disk: all or none, the same bytes every time, nothing stale, nothing half."""

from __future__ import annotations

import errno
import json
import os
import re
import resource
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import ringgeom as rg
from ringgeom.errors import OutputError
from ringgeom.output import pack
from ringgeom.output.folder import UNFINISHED

Run = Callable[..., Any]
Tree = dict[str, bytes]


def tree(folder: Path) -> Tree:
    """Every file below a folder, hidden ones too, by its path."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def hidden(name: str) -> bool:
    return any(part.startswith(".") for part in Path(name).parts)


def leftovers(folder: Path) -> list[Path]:
    return list(folder.rglob(".*"))


KNOWN: dict[str, dict[str, Any]] = {}


@pytest.fixture(autouse=True)
def worked_out_once(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the files of a job hold is worked out once: these tests are about the writing."""
    if "anew" in request.keywords:
        return
    works = pack._everything

    def everything(job: rg.Job, pictures: Any, told: Any) -> dict[str, Any]:
        key = f"{job.design!r} {job.shop!r} {pictures!r}"
        if key not in KNOWN:
            KNOWN[key] = works(job, pictures, told)
        return dict(KNOWN[key])

    monkeypatch.setattr(pack, "_everything", everything)


@pytest.fixture
def heron(designs: Path) -> Path:
    return designs / "heron.toml"


@pytest.fixture
def other(heron: Path, tmp_path: Path) -> Path:
    """The same job a little shallower: the same names, every content another."""
    return variant(heron, tmp_path / "other.toml", "depth_mm = 0.8", "depth_mm = 0.7")


@pytest.fixture
def greener(heron: Path, tmp_path: Path) -> Path:
    """The same job with its inlay of another alloy: one wax has another name."""
    return variant(heron, tmp_path / "greener.toml", "gold-750-green", "gold-750-green-20-5")


def variant(heron: Path, path: Path, old: str, new: str) -> Path:
    text = heron.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")
    return path


def write(design: Path, out: Path) -> Tree:
    """Everything of a design written in this process; the folder it went to, read back."""
    rg.write(rg.job(rg.read_design(design)), out)
    return tree(out)


# What is written


def test_what_make_writes(run: Run, heron: Path, tmp_path: Path) -> None:
    ran = run("make", "--no-pictures", heron, "--out", tmp_path)
    written = tree(tmp_path / "heron")
    assert set(written) == {
        "job.json",
        "weights.csv",
        "heron_assembly_mm.3mf",
        "heron_wax-plate_mm.3mf",
        "heron_try-on_mm_not-scaled.stl",
        "heron_bench-sheet_A4.pdf",
        "heron_card_A4.pdf",
        "heron_section.svg",
        "templates/heron_template_outside_mm.svg",
        "templates/heron_template_outside_mm.dxf",
        "templates/heron_template_bore_mm.svg",
        "templates/heron_template_bore_mm.dxf",
        "templates/heron_template_true-scale.pdf",
        "wax/heron_reed_gold-750-green_mm_scaled-1.0127.stl",
        "wax/heron_body_gold-750-yellow-3n_mm_scaled-1.0127.stl",
    }
    assert all(str(tmp_path / "heron" / name) in ran.out for name in written)
    data = json.loads(written["job.json"])
    assert data.pop("files") == sorted(written)
    weighed = json.loads(run("weigh", heron, "--json").out)
    # lines belong to the design file, which may be gone when the job is read
    for finding in weighed["findings"]:
        finding["line"] = None
    assert data == weighed


def test_a_wax_carries_its_names_and_scale(
    design_file: Path, job_of: Callable[[Path], rg.Job], made_of: Callable[[Path], Path]
) -> None:
    """Job, part, alloy, mm, scale to four decimals: derived from the job, part by part."""
    job = job_of(design_file)
    found = sorted(path.name for path in (made_of(design_file) / "wax").iterdir())
    closed = [part for part in job.parts if part.plate is None]
    for part in job.parts:
        name, alloy = (word.lower().replace(" ", "-") for word in (part.name, part.alloy.name))
        guessed = "" if part.scale.known else "-shrink-guessed"
        end = f"scaled-{part.scale.scale:.4f}{guessed}.stl"
        if part in closed:
            assert "_".join([design_file.stem, name, alloy, "mm", end]) in found
            continue
        # inserts: a wax for each pattern, how many of it behind its name
        mine = [one for one in found if one.startswith(f"{design_file.stem}_{name}")]
        assert mine
        assert all(alloy in one and one.endswith(f"_mm_{end}") for one in mine)
        found = [*(one for one in found if one not in mine)]
    assert len(found) == len(closed)


def test_unscaled_is_said_too(heron: Path, tmp_path: Path) -> None:
    shop = rg.shop_from_text("[shrink]\ngold = 0\n")
    rg.write(rg.job(rg.read_design(heron), shop), tmp_path)
    assert all(
        path.name.endswith("_mm_not-scaled.stl") for path in (tmp_path / "heron" / "wax").iterdir()
    )


def test_wax_leaves_the_rest_alone(run: Run, heron: Path, other: Path, tmp_path: Path) -> None:
    """Alone it writes the waxes; after `make` it renews them and still lists the rest."""
    run("wax", heron, "--out", tmp_path / "alone")
    alone = tree(tmp_path / "alone" / "heron")
    assert {name for name in alone if not name.startswith("wax/")} == {
        "job.json",
        "heron_wax-plate_mm.3mf",
    }
    before = write(heron, tmp_path / "both")
    run("wax", other, "--out", tmp_path / "both")
    after = tree(tmp_path / "both")
    assert set(after) == set(before)
    renewed = {name for name in after if after[name] != before[name]}
    assert {name.split("/")[1] for name in renewed} == {"wax", "job.json", "heron_wax-plate_mm.3mf"}
    assert json.loads(after["heron/job.json"])["files"] == sorted(x[6:] for x in after)


# The same bytes


def test_identical_input_gives_identical_bytes(
    designs: Path, made_of: Callable[[Path], Path], tmp_path: Path, environment: dict[str, str]
) -> None:
    """All designs, another process, folder, hash seed, time and place."""
    code = (
        "import sys, ringgeom as rg\n"
        "for path in sys.argv[2:]: rg.write(rg.job(rg.read_design(path)), sys.argv[1])\n"
    )
    changed = {
        "PYTHONHASHSEED": "4242",
        "TZ": "Pacific/Chatham",
        "OMP_NUM_THREADS": "1",
        "LC_ALL": "C",
    }
    out = tmp_path / "out" / "deep"
    out.mkdir(parents=True)
    paths = sorted(designs.glob("*.toml"))
    subprocess.run(
        [sys.executable, "-c", code, str(out), *map(str, paths)],
        env=environment | changed,
        cwd=out,
        check=True,
        timeout=120,
    )
    for path in paths:
        here, there = tree(made_of(path)), tree(out / path.stem)
        assert list(here) == list(there)
        assert [name for name in here if here[name] != there[name]] == []


@pytest.mark.anew
def test_a_second_run_changes_nothing(heron: Path, tmp_path: Path) -> None:
    first = write(heron, tmp_path)
    assert write(heron, tmp_path) == first


# Where nothing can be written


def blocked(folder: Path) -> Iterator[tuple[str, Path, Path]]:
    """Name, the folder to give to --out, and what the error must name."""
    (folder / "file").write_text("in the way")
    yield "a file", folder / "file", folder / "file"
    yield "below a file", folder / "file" / "deep", folder / "file"
    (folder / "job").mkdir()
    (folder / "job" / "heron").write_text("in the way")
    yield "a file named like the job", folder / "job", folder / "job" / "heron"
    (folder / "wax" / "heron").mkdir(parents=True)
    (folder / "wax" / "heron" / "wax").write_text("in the way")
    yield "a file named wax", folder / "wax", folder / "wax" / "heron"
    (folder / "csv" / "heron" / "weights.csv").mkdir(parents=True)
    yield "a folder named like a file", folder / "csv", folder / "csv" / "heron" / "weights.csv"
    yield "the kernel's folder", Path("/proc"), Path("/proc/heron")
    yield "a device", Path("/dev/full"), Path("/dev/full")
    yield "a name too long", folder / ("w" * 300), folder / ("w" * 300)


@pytest.mark.parametrize("number", range(8))
def test_a_folder_that_cannot_be_written(
    run: Run, heron: Path, tmp_path: Path, number: int
) -> None:
    _, out, named = list(blocked(tmp_path))[number]
    before = tree(tmp_path), sorted(tmp_path.rglob("*"))
    for command in ("make", "wax"):
        if command == "wax" and out.name == "csv":
            continue
        more = ["--no-pictures"] if command == "make" else []
        ran = run(command, heron, "--out", out, *more)
        assert ran.code == 2, ran
        assert ran.out == ""
        assert ran.err.startswith("nothing was written: ")
        assert str(named) in ran.err
        assert (tree(tmp_path), sorted(tmp_path.rglob("*"))) == before


def fresh_or_old(heron: Path, out: Path, fresh: bool) -> Tree:
    """The state before a run that fails: nothing at all, or the files of an earlier run."""
    return {} if fresh else write(heron, out)


@pytest.mark.parametrize("fresh", [True, False], ids=["fresh", "over old files"])
def test_a_disk_that_fills_up(
    program: Path,
    environment: dict[str, str],
    heron: Path,
    other: Path,
    tmp_path: Path,
    fresh: bool,
) -> None:
    """Really: no file may grow beyond 200 kB, and the waxes are 100 and 600 kB."""
    out = tmp_path / "out"
    before = fresh_or_old(heron, out, fresh)
    done = subprocess.run(
        [str(program), "make", "--no-pictures", str(other), "--out", str(out)],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000)),
    )
    assert done.returncode == 2, done
    assert "Traceback" not in done.stderr
    assert done.stderr.startswith("nothing was written: ")
    assert tree(out) == before
    assert leftovers(tmp_path) == []
    assert out.exists() != fresh


class Failing:
    """A function of `os` that fails at its n-th call and works at all others."""

    def __init__(self, works: Callable[..., Any], at: int, error: BaseException) -> None:
        self.works, self.at, self.error, self.calls = works, at, error, 0

    def __call__(self, *args: Any, **keys: Any) -> Any:
        self.calls += 1
        if self.calls == self.at:
            raise self.error
        return self.works(*args, **keys)


FULL = OSError(errno.ENOSPC, "No space left on device")
FILES = 15
"""How many files the heron is."""


@pytest.mark.parametrize("fresh", [True, False], ids=["fresh", "over old files"])
@pytest.mark.parametrize("at", range(1, FILES + 1))
def test_no_space_at_any_file(
    heron: Path, other: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int, fresh: bool
) -> None:
    out = tmp_path / "out"
    before = fresh_or_old(heron, out, fresh)
    job = rg.job(rg.read_design(other))
    monkeypatch.setattr(os, "fsync", Failing(os.fsync, at, FULL))
    with pytest.raises(OutputError, match="No space left"):
        rg.write(job, out)
    assert tree(out) == before
    assert leftovers(tmp_path) == []
    assert out.exists() != fresh


@pytest.mark.parametrize("at", range(1, FILES + 1))
@pytest.mark.parametrize("error", [FULL, KeyboardInterrupt()], ids=["failure", "interruption"])
def test_every_file_is_the_old_or_the_new(
    heron: Path,
    other: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    at: int,
    error: BaseException,
) -> None:
    """Stopped between two renames, by the disk or by a hand on the keyboard."""
    new = write(other, tmp_path / "whole")
    old = write(heron, tmp_path / "out")
    job = rg.job(rg.read_design(other))
    monkeypatch.setattr(os, "replace", Failing(os.replace, at, error))
    with pytest.raises((OutputError, KeyboardInterrupt)):
        rg.write(job, tmp_path / "out")
    now = tree(tmp_path / "out")
    assert set(now) == set(old)
    assert all(now[name] in (old[name], new[name]) for name in now)
    assert leftovers(tmp_path) == []


@pytest.mark.parametrize("fresh", [True, False], ids=["fresh", "over old files"])
@pytest.mark.parametrize("at", [1, 4, FILES])
def test_a_failed_rename_changes_nothing(
    run: Run,
    heron: Path,
    other: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    at: int,
    fresh: bool,
) -> None:
    """It says "nothing was written": waxes of two designs side by side would not fit."""
    before = fresh_or_old(heron, tmp_path / "out", fresh)
    monkeypatch.setattr(os, "replace", Failing(os.replace, at, FULL))
    ran = run("make", "--no-pictures", other, "--out", tmp_path / "out")
    assert ran.code == 2
    assert "nothing was written" in ran.err
    assert tree(tmp_path / "out") == before


# Interrupted runs


def test_killed_at_any_moment(
    program: Path, environment: dict[str, str], heron: Path, other: Path, tmp_path: Path
) -> None:
    """kill -9 at four moments of a run: every file is whole, of one design or the other."""
    begun = time.monotonic()
    sizes = {"heron": write(heron, tmp_path / "a"), "other": write(other, tmp_path / "b")}
    command = [str(program), "make", "--no-pictures", str(other), "--out", str(tmp_path / "out")]
    write(heron, tmp_path / "out")
    begun = time.monotonic()
    subprocess.run(command, env=environment, check=True, capture_output=True, timeout=60)
    took = time.monotonic() - begun
    write(heron, tmp_path / "out")
    killed = 0
    for share in (0.6, 0.8, 0.9, 0.95):
        run = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL)
        time.sleep(share * took)
        run.send_signal(signal.SIGKILL)
        killed += run.wait() == -signal.SIGKILL
        now = {n: c for n, c in tree(tmp_path / "out").items() if not hidden(n)}
        assert set(now) - {f"heron/{UNFINISHED}"} == set(sizes["heron"])
        assert now in sizes.values() or f"heron/{UNFINISHED}" in now
        now.pop(f"heron/{UNFINISHED}", None)
        for name, content in now.items():
            assert content in (sizes["heron"][name], sizes["other"][name]), name
    assert killed, "no run was caught at work"
    subprocess.run(command, env=environment, check=True, capture_output=True, timeout=60)
    assert tree(tmp_path / "out") == sizes["other"]


def test_what_a_killed_run_left_is_taken_away(heron: Path, tmp_path: Path) -> None:
    """Its hidden folder is of no use to anyone, and some megabytes each time."""
    left = tmp_path / "heron" / ".part-killed" / "wax"
    left.mkdir(parents=True)
    (left / "half.stl").write_bytes(b"half")
    # no run takes a day
    for path in (left / "half.stl", left, left.parent):
        os.utime(path, (time.time() - 86400,) * 2)
    write(heron, tmp_path)
    assert leftovers(tmp_path) == []


@pytest.mark.parametrize("when", [0.15, 0.3])
def test_a_hand_on_the_keyboard(
    program: Path, environment: dict[str, str], heron: Path, tmp_path: Path, when: float
) -> None:
    """Ctrl-C ends it quietly, with neither the code of "done" nor that of a stop."""
    out = tmp_path / "out"
    run = subprocess.Popen(
        [str(program), "make", "--no-pictures", str(heron), "--out", str(out)],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # a shell that starts the tests in the background has them ignore the interrupt
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    time.sleep(when)
    run.send_signal(signal.SIGINT)
    _, err = run.communicate(timeout=60)
    assert "Traceback" not in err
    assert run.returncode in (130, -signal.SIGINT)
    assert not out.exists()


# Nothing stale, nothing of others


def test_a_wax_of_a_part_that_is_gone_is_taken_away(
    heron: Path, greener: Path, tmp_path: Path
) -> None:
    out = tmp_path / "out"
    before = write(heron, out)
    (out / "heron" / "note.txt").write_text("mine")
    (out / "heron" / "wax" / "mine.stl").write_text("mine")
    after = write(greener, out)
    assert set(before) - set(after) == {"heron/wax/heron_reed_gold-750-green_mm_scaled-1.0127.stl"}
    assert set(after) - set(before) == {
        "heron/wax/heron_reed_gold-750-green-20-5_mm_scaled-1.0127.stl",
        "heron/note.txt",
        "heron/wax/mine.stl",
    }


@pytest.mark.parametrize("at", range(1, FILES + 1))
def test_a_wax_of_an_interrupted_run_is_taken_away_too(
    heron: Path, greener: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at: int
) -> None:
    """Or else the next run leaves a wax in the folder that no list knows."""
    out = tmp_path / "out"
    old = write(heron, out)
    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", Failing(os.replace, at, KeyboardInterrupt()))
        with pytest.raises(KeyboardInterrupt):
            write(greener, out)
    assert write(heron, out) == old


@pytest.mark.parametrize(
    "listed",
    [
        b"",
        b"not json",
        b"\xff\xfe",
        b"[]",
        b"null",
        b'{"files": null}',
        b'{"files": 7}',
        b'{"files": [7, null, ["a"], {"b": 1}]}',
        b'{"files": ["../keep.txt", "../../keep.txt", "OUTSIDE", "", ".", "..", "wax", "wax/.."]}',
        b'{"files": ["link/keep.txt", "nul\\u0000l", "' + b"w" * 5000 + b'"]}',
    ],
)
def test_a_list_that_was_tampered_with_takes_nothing_away(
    heron: Path, tmp_path: Path, listed: bytes
) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    folder = tmp_path / "out" / "heron"
    folder.mkdir(parents=True)
    keep = [tmp_path / "keep.txt", tmp_path / "out" / "keep.txt", outside / "keep.txt"]
    for path in keep:
        path.write_text("mine")
    (folder / "link").symlink_to(outside)
    listed = listed.replace(b"OUTSIDE", str(outside / "keep.txt").encode())
    (folder / "job.json").write_bytes(listed)
    write(heron, tmp_path / "out")
    assert all(path.read_text() == "mine" for path in keep)
    assert len(json.loads((folder / "job.json").read_text())["files"]) == FILES


# Names


@pytest.mark.parametrize(
    ("job", "part", "alloy"),
    [
        ("Ring ½ für Zoë", "nº 1", "Weide"),
        ("кольцо", "вставка", "Ива"),
        ("指輪", "象嵌", "柳"),
        ("a.b", "c.d", "e.f"),
        ("-x", "_y", "=1+1"),
        # the longest that may be asked for; a file name holds 255 bytes
        ("ж" * 60, "ш" * 40, "щ" * 60),
    ],
    ids=["accents", "Cyrillic", "Japanese", "full stops", "signs", "longest"],
)
def test_names_of_any_script(run: Run, tmp_path: Path, job: str, part: str, alloy: str) -> None:
    design = tmp_path / "any.toml"
    design.write_text(
        f'[job]\nname = "{job}"\n[ring]\nsize = "US 7"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        f'[body]\nalloy = "silver-925"\n[[part]]\nname = "{part}"\nplace = "channel"\n'
        f'alloy = {{ name = "{alloy}", Au = 75, Ag = 25 }}\nwidth_mm = 2.0\ndepth_mm = 0.8\n',
        "utf-8",
    )
    ran = run("make", "--no-pictures", design, "--out", tmp_path / "out")
    assert ran.code == 0, ran.err
    (folder,) = (tmp_path / "out").iterdir()
    assert json.loads((folder / "job.json").read_text("utf-8"))["job"]["name"] == job
    assert len(list((folder / "wax").iterdir())) == 2


@pytest.mark.parametrize("alloy", ["///", "..", "a/b", "con", "***", " "])
def test_an_alloy_leaves_a_word_in_the_name_of_its_wax(
    run: Run, heron: Path, tmp_path: Path, alloy: str
) -> None:
    """Or is refused: a wax whose alloy cannot be told from its name is poured wrongly."""
    design = variant(
        heron,
        tmp_path / "odd.toml",
        '"gold-750-green"',
        f'{{ name = "{alloy}", Au = 75, Ag = 25 }}',
    )
    ran = run("make", "--no-pictures", design, "--out", tmp_path / "out")
    assert ran.code in (0, 2)
    if ran.code == 0:
        names = [path.name for path in (tmp_path / "out" / "heron" / "wax").iterdir()]
        assert all(re.fullmatch(r"heron_\w+_[^_/]+_mm_scaled-[\d.]+\.stl", n) for n in names), names
