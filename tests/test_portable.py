"""The same on Windows and macOS: no call that only one system has, no name that one cannot hold."""

from __future__ import annotations

import ast
import io
import re
import shlex
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import ringgeom as rg
from ringgeom.asked import RESERVED, UNSAFE
from ringgeom.errors import InputError
from ringgeom.making.wax import Wax
from ringgeom.output.pack import wax_names

ROOT = Path(rg.__file__).parent
FILES = sorted(ROOT.rglob("*.py"))

ONE_SYSTEM = {
    # what POSIX has and Windows has not, as the documentation of each module says: os, signal,
    # and the chapter "Unix Specific Services" (docs.python.org, Python 3.11)
    "os.fork", "os.forkpty", "os.kill", "os.killpg", "os.setsid", "os.setpgid", "os.getuid",
    "os.geteuid", "os.getgid", "os.chown", "os.fchown", "os.fchmod", "os.lchown", "os.mkfifo",
    "os.mknod", "os.nice", "os.pipe2", "os.statvfs", "os.sync", "os.uname", "os.wait",
    "os.waitpid", "os.getloadavg", "os.openpty", "signal.alarm", "signal.pause",
    "signal.setitimer", "signal.sigwait", "signal.pthread_sigmask", "signal.SIGKILL",
    "signal.SIGHUP", "signal.SIGALRM", "signal.SIGUSR1", "signal.SIGCHLD",
    # it fails over a file that is there, on Windows
    "os.rename",
}  # fmt: skip

POSIX_MODULES = {
    "fcntl", "grp", "pty", "pwd", "resource", "termios", "tty", "posix", "crypt", "syslog"
}  # fmt: skip

PLACE = re.compile(r"/(tmp|dev|proc|usr|bin|etc)\b")

OTHER_OPEN = ("os.open", "webbrowser.open", "self._open", "tarfile.open", "Image.open")
"""What opens no text."""

HELD = ROOT / "output" / "held.py"
"""The one file that knows both ways to hold a file, each for its own system."""


def nodes(path: Path) -> Iterator[ast.AST]:
    return ast.walk(ast.parse(path.read_text(encoding="utf-8")))


def calls(path: Path) -> Iterator[ast.Call]:
    return (node for node in nodes(path) if isinstance(node, ast.Call))


def keys(call: ast.Call) -> dict[str | None, str]:
    return {key.arg: ast.unparse(key.value) for key in call.keywords}


def faults(path: Path) -> Iterator[str]:
    """Everything in a file that some system would stumble over."""
    for node in nodes(path):
        if isinstance(node, ast.Attribute) and ast.unparse(node) in ONE_SYSTEM:
            yield f"line {node.lineno}: {ast.unparse(node)}"
        if isinstance(node, ast.Import) and path != HELD:
            yield from (f"{one.name}" for one in node.names if one.name in POSIX_MODULES)
        if isinstance(node, ast.Constant) and PLACE.match(str(node.value)):
            yield f"line {node.lineno}: {node.value}"
    for call in calls(path):
        name = ast.unparse(call.func).rpartition(".")[2]
        method = isinstance(call.func, ast.Attribute)
        given = keys(call)
        where = f"line {call.lineno}: {name}"
        if given.get("shell") == "True":
            yield f"{where} through a shell"
        if given.get("text") == "True" and "encoding" not in given:
            yield f"{where} without an encoding"
        if name in ("open", "fdopen") and ast.unparse(call.func) not in OTHER_OPEN:
            mode = given.get("mode", "") + "".join(
                ast.unparse(one) for one in call.args[-1:] if isinstance(one, ast.Constant)
            )
            if "b" not in mode and "encoding" not in given:
                yield f"{where} as text without an encoding"
        if method and name in ("read_text", "write_text") and "encoding" not in given:
            yield f"{where} without an encoding"
        if method and name == "write_text" and "newline" not in given:
            yield f"{where} with the line ends of the system"


def test_no_call_that_only_one_system_has() -> None:
    found = {str(path.relative_to(ROOT)): list(faults(path)) for path in FILES}
    assert {path: words for path, words in found.items() if words} == {}


SPOILT = """
import fcntl, os, signal, subprocess
os.rename("a", "b")
os.kill(1, signal.SIGKILL)
subprocess.run("ls", shell=True, text=True)
open("/tmp/x", "w")
Path("a").read_text()
Path("a").write_text("", encoding="utf-8")
"""


def test_each_of_them_would_be_found(tmp_path: Path) -> None:
    (tmp_path / "spoilt.py").write_text(SPOILT, encoding="utf-8")
    found = " ".join(faults(tmp_path / "spoilt.py"))
    for word in (
        "fcntl", "os.rename", "os.kill", "signal.SIGKILL", "through a shell", "/tmp/x",
        "run without", "as text without", "read_text without", "line ends",
    ):  # fmt: skip
        assert word in found


@pytest.mark.parametrize(
    "word", ["Con ring", "Ring / 2", "Ärmel ½", "Nul", "aux.", "LPT1", "a" * 60, "ж" * 60]
)
def test_names_that_every_disk_takes(word: str) -> None:
    """Or the name is refused; two that differ in large and small letters only are told apart."""
    text = (
        f'[job]\nname = "{word}"\n[ring]\nsize = "US 7"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[body]\nalloy = { name = "Willow", Au = 75, Ag = 25 }\n[[part]]\nname = "Inlay"\n'
        'place = "channel"\nwidth_mm = 2.0\ndepth_mm = 0.8\n'
        'alloy = { name = "WILLOW", Au = 75, Ag = 24, Cu = 1 }\n'
    )
    if word in ("Ring / 2", "Nul", "aux.", "LPT1"):
        with pytest.raises(InputError, match="cannot name a file"):
            rg.design_from_text(text)
        return
    job = rg.job(rg.design_from_text(text))
    waxes = [Wax(part=part, mesh=None, with_sprue=False) for part in job.parts]  # type: ignore[arg-type]
    names = [f"{name}.stl" for name in wax_names(job.design.job.name, waxes)]
    assert len({name.casefold() for name in names}) == len(names) == 2
    for name in names:
        assert UNSAFE.search(name) is None
        assert len(name.encode()) <= 255
        assert name.split(".")[0] not in RESERVED
        assert name == name.strip(" .")
        assert name == name.casefold()


def test_parts_that_differ_in_large_letters_only_are_refused() -> None:
    """Their waxes would be one file on Windows and macOS."""
    part = (
        '[[part]]\nname = "{}"\nplace = "stripe"\nalloy = "silver-925"\nfrom_mm = {}\nto_mm = {}\n'
    )
    text = (
        '[job]\nname = "Wren"\n[ring]\nsize = "US 7"\nwidth_mm = 6.0\nthickness_mm = 2.0\n'
        '[body]\nalloy = "gold-750-green"\n'
    )
    with pytest.raises(InputError, match="name"):
        rg.design_from_text(text + part.format("Rim", -3, -2) + part.format("rim", 2, 3))


NARROW = (
    "weigh designs/heron.toml",
    "check designs/tideline.toml",
    "check designs/heron.toml --json",
    "size US 7 1/2",
    "size UK N½ --json",
    "alloy gold-750-green",
    "mark designs/heron.toml --why",
    "grid designs/heron.toml --sizes 'US 5..7' --json",
    "price designs/heron.toml --shop designs/shop/priced.toml --on 2026-11-21",
    "resize designs/heron.toml --to 'US 8'",
    "recipe --fineness 750 --towards greener --than gold-750-yellow-3n",
    "weigh designs/nowhere-½-Ж.toml",
    "--help",
)


@pytest.mark.parametrize(
    ("words", "letters"),
    [*((words, "cp1252") for words in NARROW), (NARROW[1], "cp437"), (NARROW[4], "ascii")],
)
def test_a_console_of_few_letters(
    words: str, letters: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Strict, as Windows opens a pipe: what it cannot hold becomes a question mark."""
    from ringgeom.cli import main

    streams = [io.TextIOWrapper(io.BytesIO(), encoding=letters, errors="strict") for _ in "oe"]
    monkeypatch.setattr(sys, "stdout", streams[0])
    monkeypatch.setattr(sys, "stderr", streams[1])
    monkeypatch.setattr(sys, "argv", ["ringgeom", *shlex.split(words)])
    monkeypatch.chdir(ROOT.parent)
    with pytest.raises(SystemExit) as ended:
        main()
    said, err = (stream.buffer.getvalue() for stream in streams)  # type: ignore[attr-defined]
    assert (ended.value.code or 0) == (2 if "nowhere" in words else 0), err
    streams[1].flush()
    assert said or streams[1].buffer.getvalue()  # type: ignore[attr-defined]


def test_a_shop_on_another_drive_is_named_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Found by reading: from one drive to another there is no relative path on Windows."""
    from ringgeom.page import shop_desk

    def no_way(path: Path) -> str:
        raise ValueError("path is on mount 'D:', start on mount 'C:'")

    (tmp_path / "my shop.toml").write_text("", encoding="utf-8")
    desk = shop_desk.ShopDesk(tmp_path / "my shop.toml", tmp_path)
    monkeypatch.setattr(shop_desk.os.path, "relpath", no_way)
    assert shlex.split(desk.option) == ["--shop", str((tmp_path / "my shop.toml").resolve())]
