"""The commands: what they print, how they end, and that nothing odd makes them stumble."""

from __future__ import annotations

import json
import math
import os
import pty
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from ringgeom.output.start import start_kinds

Run = Callable[..., Any]

COMMANDS = ("make", "weigh", "check", "wax")
NOT_PLAIN = re.compile("[\x1b\u2500-\u259f]")
"""The escape of colour codes, box drawing, block elements."""


@pytest.fixture
def heron(designs: Path) -> Path:
    return designs / "heron.toml"


@pytest.fixture
def stopped(heron: Path, tmp_path: Path) -> Path:
    """A readable design whose channel goes through the band."""
    path = tmp_path / "stopped.toml"
    path.write_text(heron.read_text("utf-8").replace("depth_mm = 0.8", "depth_mm = 3.0"), "utf-8")
    return path


@pytest.fixture
def unreadable(heron: Path, tmp_path: Path) -> Path:
    path = tmp_path / "unreadable.toml"
    path.write_text(heron.read_text("utf-8").replace("width_mm = 6.0", "width_mm = -6"), "utf-8")
    return path


@pytest.mark.parametrize("json_too", [False, True])
@pytest.mark.parametrize("command", COMMANDS)
def test_how_a_command_ends(
    run: Run,
    tmp_path: Path,
    heron: Path,
    stopped: Path,
    unreadable: Path,
    command: str,
    json_too: bool,
) -> None:
    for path, code in ((heron, 0), (stopped, 1), (unreadable, 2)):
        out = tmp_path / f"out-{code}"
        more = ["--json"] if json_too else []
        more += ["--out", str(out)] if command in ("make", "wax") else []
        more += ["--no-pictures"] if command == "make" else []
        ran = run(command, path, *more)
        assert ran.code == code, ran
        assert (ran.err != "") == (code == 2)
        if json_too:
            assert json.loads(ran.out)["schema"] == "ringgeom/1"
        else:
            assert (ran.out != "") == (code < 2)
        assert out.exists() == (command in ("make", "wax") and code == 0)


@pytest.mark.parametrize("json_too", [False, True])
def test_waxes_of_an_earlier_design_are_spoken_of(
    run: Run, tmp_path: Path, heron: Path, stopped: Path, json_too: bool
) -> None:
    """A design that was made once and is stopped now leaves the old waxes where they were."""
    run("make", "--no-pictures", heron, "--out", tmp_path / "out")
    ran = run(
        "make",
        "--no-pictures",
        stopped,
        "--out",
        tmp_path / "out",
        *(["--json"] if json_too else []),
    )
    assert ran.code == 1
    assert str(tmp_path / "out" / "heron") in ran.err
    assert "earlier" in ran.err


@pytest.mark.parametrize("command", ["weigh", "check", "size"])
def test_looking_writes_nothing(ringgeom: Run, tmp_path: Path, heron: Path, command: str) -> None:
    ran = ringgeom(command, "US 7" if command == "size" else heron, cwd=tmp_path)
    assert ran.code == 0
    assert list(tmp_path.iterdir()) == []


def test_check_tells_all_it_finds_as_json(run: Run, stopped: Path) -> None:
    told = json.loads(run("check", stopped, "--json").out)["findings"]
    levels = [finding["level"] for finding in told]
    assert levels == sorted(levels, key=["stop", "warn", "note"].index)
    (deep,) = [f for f in told if f["code"] == "thin-floor"]
    # derived: 1.9 mm of band less 3.0 mm of channel
    assert deep["value"] == pytest.approx(-1.1, abs=1e-12)
    assert deep["where"] == 'part 1 "reed".depth_mm'
    line = stopped.read_text("utf-8").splitlines()[deep["line"] - 1]
    assert line == "depth_mm = 3.0"


def test_weigh_tells_grams_and_where_they_come_from(run: Run, heron: Path) -> None:
    said = run("weigh", heron).out
    data = json.loads(run("weigh", heron, "--json").out)
    for part in data["parts"]:
        (row,) = [line for line in said.splitlines() if line.startswith(f"{part['name']} ")]
        assert f" {part['finished_g']:.2f} " in row
        assert f" {part['volume_mm3']:.2f} " in row
    for casting in data["castings"]:
        (row,) = [x for x in said.splitlines() if re.match(rf"{casting['alloy']} .* \d", x)]
        assert f" {casting['melt_g']:.2f} " in row
    assert f"{data['ring']['inside_diameter_mm']:.2f} mm across" in said


# Files that are no design


def unreadable_files(folder: Path) -> dict[str, tuple[Path, str]]:
    """Path, and words that the refusal must hold."""
    loop = folder / "loop.toml"
    loop.symlink_to(loop)
    (folder / "dangling.toml").symlink_to(folder / "nowhere.toml")
    contents = {
        "binary.toml": bytes(range(256)),
        "picture.toml": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
        "utf16.toml": '[job]\nname = "Wren"\n'.encode("utf-16"),
        "null.toml": b'[job]\nname = "a\0b"\n',
        "latin1.toml": '[job]\nname = "Café"\n'.encode("latin-1"),
        "large.toml": b"# a long remark\n" * 70_000,
    }
    for name, content in contents.items():
        (folder / name).write_bytes(content)
    return {
        "missing": (folder / "heron.tmol", "no such"),
        "folder": (folder, "folder"),
        "in a file": (folder / "null.toml" / "heron.toml", "cannot be read"),
        "link to nowhere": (folder / "dangling.toml", "no such"),
        "link to itself": (loop, "cannot be read"),
        "device": (Path("/dev/full"), "not a plain file"),
        # root may read any file, but nobody the first page of a process
        "unreadable": (Path("/proc/self/mem"), "cannot be read"),
        "name too long": (folder / ("w" * 300), "cannot be read"),
        "binary": (folder / "binary.toml", "not text"),
        "picture": (folder / "picture.toml", "not text"),
        "UTF-16": (folder / "utf16.toml", "not text"),
        "null": (folder / "null.toml", "not text"),
        "Latin-1": (folder / "latin1.toml", "UTF-8"),
        "large": (folder / "large.toml", "1,000,000 bytes"),
    }


UNREADABLE = (
    "missing",
    "folder",
    "in a file",
    "link to nowhere",
    "link to itself",
    "device",
    "unreadable",
    "name too long",
    "binary",
    "picture",
    "UTF-16",
    "null",
    "Latin-1",
    "large",
)


@pytest.mark.parametrize("which", UNREADABLE)
def test_a_file_that_cannot_be_read(run: Run, tmp_path: Path, heron: Path, which: str) -> None:
    path, words = unreadable_files(tmp_path)[which]
    for asked, kind in (((path,), "design file"), ((heron, "--shop", path), "shop file")):
        ran = run("weigh", *asked)
        assert ran.code == 2, ran
        assert ran.out == ""
        assert str(path) in ran.err
        assert kind in ran.err or words not in ("no such", "cannot be read")
        assert words in ran.err


def test_a_misspelt_file_has_a_nearest(run: Run, designs: Path) -> None:
    (problem,) = json.loads(run("weigh", designs / "herron.toml", "--json").out)["problems"]
    assert problem["nearest"] == str(designs / "heron.toml")


def test_a_pipe_is_not_waited_for(ringgeom: Run, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    ran = ringgeom("weigh", tmp_path / "pipe.toml")
    assert ran.code == 2
    assert "not a plain file" in ran.err


def test_windows_line_ends_and_a_byte_order_mark(run: Run, heron: Path, tmp_path: Path) -> None:
    """A design saved by an editor of another system weighs the same."""
    odd = tmp_path / "odd.toml"
    odd.write_bytes(b"\xef\xbb\xbf" + heron.read_bytes().replace(b"\n", b"\r\n"))
    assert run("weigh", odd, "--json").out == run("weigh", heron, "--json").out


# Sizes

US_7_MM = 25.4 * (0.458 + 0.032 * 7)
"""Published: Wikipedia, "Ring size"; the slope is that of the standard US stick."""

SIZES = {
    ("US", "7"): US_7_MM,
    ("us7",): US_7_MM,
    ("7", "US"): US_7_MM,
    ("US", "7", "1/4"): US_7_MM + 0.8128 / 4,
    ("US 7¼",): US_7_MM + 0.8128 / 4,
    ("US", "7,25"): US_7_MM + 0.8128 / 4,
    # derived: circumference in mm, by definition of the scale (ISO 8653)
    ("ISO", "54"): 54 / math.pi,
    ("CH", "14"): 54 / math.pi,
    ("54.4", "mm", "around"): 54.4 / math.pi,
    # BS 6820:1987, from memory: A is 37.5 mm around, 1.25 mm a letter
    ("UK", "N½"): (37.5 + 1.25 * 13.5) / math.pi,
    ("N", "1/2"): (37.5 + 1.25 * 13.5) / math.pi,
    ("JP", "14"): 13 + 13 / 3,
    ("17,32", "mm", "across"): 17.32,
    ("ø17.32",): 17.32,
    ("0.682", "in", "across"): 0.682 * 25.4,
}


@pytest.mark.parametrize(("typed", "across_mm"), SIZES.items(), ids=map(" ".join, SIZES))
def test_size_in_every_spelling(run: Run, typed: tuple[str, ...], across_mm: float) -> None:
    data = json.loads(run("size", *typed, "--json").out)
    # binary arithmetic only
    assert data["inside_diameter_mm"] == pytest.approx(across_mm, abs=1e-9)
    assert data["circumference_mm"] == pytest.approx(math.pi * across_mm, abs=1e-9)
    assert f"{across_mm:.2f} mm across" in run("size", *typed).out


def test_size_labels_read_back(run: Run) -> None:
    """Every mark that is named can be typed again, and lies as far off as was said."""
    data = json.loads(run("size", "US", "7", "--json").out)
    assert {"ISO 8653", "North America"} <= set(data["labels"])
    assert data["labels"]["North America"] == "US 7"
    for scale, label in data["labels"].items():
        again = json.loads(run("size", label, "--json").out)
        off = data["circumference_mm"] - again["circumference_mm"]
        assert data["residuals_mm"][scale] == pytest.approx(off, abs=1e-9)


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("7",), "US 7"),
        (("banana",), "ISO 41 to ISO 76"),
        (("US", "99"), "US 0 to US 16"),
        (("17.3", "mm"), "across"),
        (("",), "size"),
        (("US 7", "and", "ISO 54"), "size"),
        (("--", "-7"), "size"),
    ],
)
def test_no_size(run: Run, typed: tuple[str, ...], words: str) -> None:
    ran = run("size", *typed)
    assert ran.code == 2
    assert ran.out == ""
    assert words in ran.err


# Designs to begin from


@pytest.mark.parametrize("kind", start_kinds())
def test_every_start_is_made(run: Run, tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"my-{kind}.toml"
    assert run("start", path, "--kind", kind).code == 0
    assert run("make", "--no-pictures", path, "--out", tmp_path / "out").code == 0
    assert (tmp_path / "out" / f"my-{kind}" / "weights.csv").is_file()


def test_start_never_overwrites(run: Run, tmp_path: Path) -> None:
    old = tmp_path / "old.toml"
    old.write_text("mine")
    (tmp_path / "link.toml").symlink_to(tmp_path / "nowhere.toml")
    for path in (old, tmp_path / "link.toml", tmp_path):
        ran = run("start", path)
        assert ran.code == 2
        assert "nothing was written" in ran.err
    assert old.read_text() == "mine"
    assert {path.name for path in tmp_path.iterdir()} == {"old.toml", "link.toml"}


def test_start_of_no_such_kind(run: Run, tmp_path: Path) -> None:
    ran = run("start", tmp_path / "x.toml", "--kind", "chanel")
    assert ran.code == 2
    assert "nearest: channel" in ran.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "name",
    [
        "con.toml",
        ".toml",
        "a..toml",
        "my:ring.toml",
        'a "ring".toml',
        "back\\slash.toml",
        "no-ending",
        "---.toml",
        "½.toml",
        "кольцо.toml",
        f"{'w' * 59}-and-more.toml",
        os.fsdecode(b"ring-\xff.toml"),
    ],
)
def test_start_writes_what_can_be_read(run: Run, tmp_path: Path, name: str) -> None:
    """Whatever the file is called, the design in it is a good one."""
    assert run("start", tmp_path / name).code == 0
    ran = run("check", tmp_path / name)
    assert ran.code == 0, ran.err


def test_start_into_no_folder(run: Run, tmp_path: Path) -> None:
    for path in (tmp_path / "no" / "x.toml", Path("/proc/x.toml")):
        ran = run("start", path)
        assert ran.code == 2
        assert str(path) in ran.err


# What a pipe sees


@pytest.mark.parametrize(
    "words",
    [
        "--help",
        "make --help",
        "--version",
        "weigh HERON",
        "check HERON",
        "make HERON --out OUT",
        "size US 7",
        "start OUT/new.toml",
        "weigh STOPPED",
        "weigh UNREADABLE",
        "weigh HERON --json",
        # mistakes in the command itself
        "wiegh HERON",
        "weigh",
        "weigh HERON --jsno",
    ],
)
def test_a_pipe_gets_plain_text(
    ringgeom: Run, tmp_path: Path, heron: Path, stopped: Path, unreadable: Path, words: str
) -> None:
    (tmp_path / "out").mkdir()
    for word, path in (
        ("HERON", heron),
        ("STOPPED", stopped),
        ("UNREADABLE", unreadable),
        ("OUT", tmp_path / "out"),
    ):
        words = words.replace(word, str(path))
    ran = ringgeom(*words.split(" "))
    assert NOT_PLAIN.search(ran.out + ran.err) is None
    assert "Traceback" not in ran.err
    assert ran.out + ran.err


def test_a_screen_gets_a_table(program: Path, heron: Path, environment: dict[str, str]) -> None:
    """The same words as in a pipe, set by `rich`."""
    leader, follower = pty.openpty()
    env = environment | {"TERM": "xterm-256color", "COLUMNS": "160"}
    with subprocess.Popen([str(program), "weigh", str(heron)], stdout=follower, env=env) as shown:
        os.close(follower)
        said = b""
        # the end of a terminal is an error, of any other stream an empty read
        try:
            while piece := os.read(leader, 65536):
                said += piece
        except OSError:
            pass
    os.close(leader)
    assert shown.returncode == 0
    assert b"\x1b[" in said
    assert b"gold-750-green" in said


def ended(
    program: Path, environment: dict[str, str], words: list[str], shell: str
) -> subprocess.CompletedProcess[str]:
    """Run a command through the shell, `$@` being the command."""
    return subprocess.run(
        ["bash", "-c", shell, "bash", str(program), *words],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )


UNBUFFERED = [{}, {"PYTHONUNBUFFERED": "1"}]


@pytest.mark.parametrize("how", UNBUFFERED, ids=["buffered", "unbuffered"])
@pytest.mark.parametrize("words", ["weigh HERON", "weigh HERON --json", "size US 7", "--help"])
def test_a_reader_that_leaves(
    program: Path, environment: dict[str, str], heron: Path, words: str, how: dict[str, str]
) -> None:
    """`ringgeom ... | head -1`: no word on the error stream, and no exit code of a stop."""
    asked = words.replace("HERON", str(heron)).split()
    for reader in ("head -1", "true"):
        done = ended(
            program,
            environment | how,
            asked,
            f'"$@" | {reader} > /dev/null; exit "${{PIPESTATUS}}"',
        )
        assert done.stderr == ""
        assert done.returncode == 0


@pytest.mark.parametrize("how", UNBUFFERED, ids=["buffered", "unbuffered"])
@pytest.mark.parametrize("words", ["weigh HERON", "weigh HERON --json", "size US 7"])
def test_a_full_disk_under_the_output(
    program: Path, environment: dict[str, str], heron: Path, words: str, how: dict[str, str]
) -> None:
    """What could not be told must not look as if it was."""
    asked = words.replace("HERON", str(heron)).split()
    done = ended(program, environment | how, asked, '"$@" > /dev/full')
    assert "Traceback" not in done.stderr
    assert "Exception ignored" not in done.stderr
    assert "No space left" in done.stderr
    assert done.returncode == 2


@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-"])
def test_closed_streams(
    program: Path, environment: dict[str, str], heron: Path, unreadable: Path, closed: str
) -> None:
    for path, code in ((heron, 0), (unreadable, 2)):
        done = ended(program, environment, ["weigh", str(path)], f'"$@" {closed}')
        assert "Traceback" not in done.stderr
        assert done.returncode == code


def test_a_narrow_encoding_loses_no_data(ringgeom: Run, designs: Path, tmp_path: Path) -> None:
    """Words may be replaced on such a screen, JSON for scripts may not."""
    odd = tmp_path / "odd.toml"
    text = (designs / "heron.toml").read_text("utf-8")
    odd.write_text(text.replace('"Heron"', '"Кольцо ½"'), "utf-8")
    assert ringgeom("weigh", odd, PYTHONIOENCODING="ascii").code == 0
    ran = ringgeom("weigh", odd, "--json", PYTHONIOENCODING="ascii")
    assert json.loads(ran.out)["job"]["name"] == "Кольцо ½"


def test_version(run: Run) -> None:
    import ringgeom as package

    assert run("--version").out == f"ringgeom {package.__version__}\n"


def test_help_names_every_command(run: Run) -> None:
    said = run("--help").out
    assert all(f" {command} " in said for command in (*COMMANDS, "size", "start"))
