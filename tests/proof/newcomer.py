"""A newcomer's first minutes, timed: from a clean clone to the first wax file.

    python tests/proof/newcomer.py [FOLDER]

Clones this repository as it is committed into a new folder, then types the README's own lines:
a new virtual environment with nothing from any cache, the main command, then those of "Your own
ring". GL libraries are hidden behind empty files and no browser can be found, as on a machine
that has neither. Every line is printed with the seconds it took, and the moment at which the
first wax lay on the disk. No test measures time; this is a log to read.
"""

from __future__ import annotations

import os
import platform
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]

HIDDEN = ("libEGL.so.1", "libOSMesa.so.8", "libOSMesa.so.6", "libGL.so.1")
"""An empty file of the name in front of the real one cannot be loaded."""


def blocks(readme: str) -> list[str]:
    return re.findall(r"^```sh\n(.*?)^```", readme, flags=re.S | re.M)


def steps(readme: str) -> list[str]:
    """The README's lines, one step each: set-up, main command, then a ring of one's own."""
    (main,) = [block for block in blocks(readme) if "ringgeom make designs/" in block]
    (own,) = [block for block in blocks(readme) if "ringgeom start" in block]
    found = [step.strip() for step in main.split("&&")]
    return found + [f".venv/bin/{line}" for line in own.strip().splitlines()]


def newcomer(folder: Path) -> dict[str, str]:
    """An environment with no GL, no browser, nothing cached, and nobody's own settings."""
    hidden = folder / "hidden"
    hidden.mkdir()
    for name in HIDDEN:
        (hidden / name).touch()
    bins = folder / "bin"
    bins.mkdir()
    for name in ("python3", "git", "sh", "env"):
        (bins / name).symlink_to(f"/usr/bin/{name}")
    kept = {key: value for key, value in os.environ.items() if key.startswith(("PIP_", "SSL"))}
    return kept | {
        "PATH": str(bins),
        "HOME": str(folder),
        "LANG": "C.UTF-8",
        "LD_LIBRARY_PATH": str(hidden),
        "PIP_NO_CACHE_DIR": "1",
    }


def run(line: str, clone: Path, env: dict[str, str], begun: float) -> int:
    before = time.monotonic()
    done = subprocess.run(
        line, shell=True, cwd=clone, env=env, capture_output=True, encoding="utf-8", check=False
    )
    now = time.monotonic()
    print(f"{now - begun:7.1f} s  ({now - before:5.1f} s, exit {done.returncode})  $ {line}")
    if done.returncode:
        print(done.stderr)
    waxes = sorted(clone.glob("exports/*/wax/*.stl"), key=lambda path: path.stat().st_mtime)
    if waxes and not (clone / "told").exists():
        (clone / "told").touch()
        print(f"           first wax: {waxes[0].relative_to(clone)}")
    for word in re.findall(r"^drawn, not rendered.*$", done.stdout, flags=re.M):
        print(f"           {word}")
    return done.returncode


def main(folder: Path) -> int:
    env = newcomer(folder)
    clone = folder / "ringgeom"
    subprocess.run(["git", "clone", "--quiet", str(ROOT), str(clone)], check=True)
    print(f"{platform.platform()}, Python {platform.python_version()}, {os.cpu_count()} cores, ")
    print(f"load {os.getloadavg()[0]:.1f}; no GL, no browser, nothing cached by pip")
    begun = time.monotonic()
    readme = (clone / "README.md").read_text(encoding="utf-8")
    return max(run(line, clone, env, begun) for line in steps(readme))


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="ringgeom-newcomer-") as place:
        sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(place)))
