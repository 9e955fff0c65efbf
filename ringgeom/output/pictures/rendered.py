"""Rendered frames from a process of its own, that may fail in any way without harm to the job.

Without a GL library the renderer does not complain, it crashes; so it is never run in this
process. What is missing is told as far as it can be known.
"""

from __future__ import annotations

import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Timer

import numpy as np

from ringgeom.output.held import held, taken
from ringgeom.output.pictures.film import PAPER, Dots, developed, write_scene
from ringgeom.scene.shown import Shown
from ringgeom.scene.view import View

CHILD = Path(__file__).with_name("child.py")

WAYS = ("EGL", "OSMesa") if sys.platform.startswith("linux") else ("screen",)
"""How the renderer comes to GL, in the order that is tried: without a screen where it can."""

FAILED, NO_LIBRARY, NO_PROGRAM = 1, 3, 4
"""Exit codes of the child: it told an error, such as a full disk; the others are its own."""

PATIENCE_S, PATIENCE_PER_FRAME_S = 120.0, 20.0
"""A renderer that takes longer is ended: a frame takes about a second, the first a few."""

PLACE, HELD = "ringgeom-picture-", "held"
"""A folder for one rendering, and the file in it that its process holds."""

ENDED = ("SIGKILL", "SIGTERM", "SIGINT", "SIGHUP")
"""Signals that come from outside."""


Taken = Callable[[int, Dots], None]
"""Is handed every frame with its number, while the next is rendered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Try:
    """How one run of the renderer ended."""

    way: str
    code: int
    late: bool
    said: str

    @property
    def signal(self) -> str:
        """Name of the signal that ended it, empty for none."""
        try:
            return signal.Signals(-self.code).name
        except ValueError:
            return ""


def rendered(shown: Shown, views: Sequence[View], taken: Taken) -> str:
    """Render views that are all of one size, in any number of runs.

    Parameters
    ----------
    taken : callable
        Is handed the number of every view that is rendered, once, and its frame.

    Returns
    -------
    str
        Why others are missing, in words; empty when none is.
    """
    done: set[int] = set()

    def take(number: int, frame: Dots) -> None:
        if number not in done:
            taken(number, frame)
            done.add(number)

    tries: list[_Try] = []
    try:
        _clear_dead()
        with tempfile.TemporaryDirectory(prefix=PLACE) as place, held(Path(place) / HELD):
            folder = Path(place)
            write_scene(folder / "scene.npz", shown, views)
            for way in WAYS:
                tries.append(_run(folder, way, len(views), take))
                if len(done) == len(views):
                    return ""
                if tries[-1].late or tries[-1].signal in ENDED:
                    break
    except OSError as error:
        return f"the renderer could not be run: {error.strerror or error}"
    return _why(tries)


def _clear_dead() -> None:
    """Take away what runs that were killed have left among the temporary files."""
    for left in Path(tempfile.gettempdir()).glob(f"{PLACE}*"):
        with suppress(OSError), (left / HELD).open("r+b") as file:
            if taken(file.fileno()):
                shutil.rmtree(left, ignore_errors=True)


def _run(folder: Path, way: str, wanted: int, take: Taken) -> _Try:
    """One run of the renderer; frames are taken as they come."""
    late: list[bool] = []
    empty = False
    with (folder / "said").open("w+", encoding="utf-8", errors="replace") as said:
        process = subprocess.Popen(
            # neither its folder nor this one is searched for what it loads
            [sys.executable, "-P", str(CHILD), str(folder), way],
            # it ends when this end of the pipe is gone, and takes its folder with it
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=said,
            encoding="utf-8",
            errors="replace",
        )

        def end() -> None:
            late.append(True)
            process.kill()

        timer = Timer(PATIENCE_S + PATIENCE_PER_FRAME_S * wanted, end)
        timer.start()
        assert process.stdout is not None
        try:
            for line in process.stdout:
                file = folder / f"frame-{line.strip()}.npy"
                if line.strip().isdigit() and file.is_file():
                    frame = developed(np.load(file, allow_pickle=False))
                    file.unlink()
                    empty = not _is_picture(frame)
                    if empty:
                        break
                    take(int(line), frame)
            else:
                process.wait()
        finally:
            timer.cancel()
            process.kill()
            process.wait()
            assert process.stdin is not None
            process.stdin.close()
            process.stdout.close()
        said.seek(0)
        lines = [line.strip() for line in said if line.strip()]
    code = 0 if empty else process.returncode
    return _Try(way=way, code=code, late=bool(late), said=lines[-1] if lines else "")


def _is_picture(frame: Dots) -> bool:
    """Whether there is something on paper: a driver that fails may leave all black or nothing."""
    corners = frame[[0, 0, -1, -1], [0, -1, 0, -1]]
    return bool((corners == PAPER).all() and (frame != PAPER).any())


def _why(tries: Sequence[_Try]) -> str:
    """Why nothing, or not all, was rendered, and which Debian package helps."""
    last = tries[-1]
    if last.late:
        return "the renderer was stopped because it took too long"
    if last.signal in ENDED:
        return f"the renderer was stopped from outside ({last.signal}), perhaps for want of memory"
    if any(one.code == NO_PROGRAM for one in tries):
        return (
            f"the renderer cannot be loaded ({last.said}); "
            "on Debian the packages libgl1 and libxrender1 bring what it needs"
        )
    missing = [one.way for one in tries if one.code == NO_LIBRARY]
    if len(missing) == len(tries):
        return (
            "no GL library was found, neither libEGL.so.1 nor libOSMesa.so.8; on Debian the "
            "package libegl1, or libosmesa6, brings rendered pictures"
        )
    failed = next(one for one in tries if one.code != NO_LIBRARY)
    if failed.code == FAILED:
        return f"the renderer failed ({failed.said})"
    how = f"crashed ({failed.signal})" if failed.signal else "gave no picture"
    package = "libosmesa6" if "OSMesa" in missing else "libegl1"
    return (
        f"GL by {failed.way} is there, but rendering with it {how}; on Debian the package "
        f"libgl1-mesa-dri brings its drivers, and {package} another way"
    )
