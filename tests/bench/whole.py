"""Whole processes: wall time and peak memory, as a shell sees them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from bench.timing import DESIGNS, PROGRAM, ROOT, Line, process

RUNS = 5
HERON = str(DESIGNS / "heron.toml")
KERNEL = (
    "import sys, tomllib; sys.path.insert(0, sys.argv[1]); from referees import kernel; "
    "print(kernel.volumes(tomllib.load(open(sys.argv[2], 'rb')), 17.3228))"
)


def commands(folder: Path) -> dict[str, list[str]]:
    """Every command by its name, into folders of their own."""
    script = [str(ROOT / "tests"), HERON]
    return {
        "weigh": [PROGRAM, "weigh", HERON],
        "make": [PROGRAM, "make", HERON, "--out", str(folder / "heron")],
        "make, figures": [
            PROGRAM,
            "make",
            str(DESIGNS / "linnet.toml"),
            "--out",
            str(folder / "l"),
        ],
        "help": [PROGRAM, "--help"],
        "bare kernel": [sys.executable, "-c", KERNEL, *script],
        "kernel": [sys.executable, "-c", f"import build123d; {KERNEL}", *script],
    }


def processes(folder: Path) -> Iterator[Line]:
    """Interleaved, the least of some runs of each; peaks are the most."""
    asked = commands(folder)
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in asked}
    for _ in range(RUNS):
        for name, command in asked.items():
            taken[name].append(process(command))
    wall = {name: min(t for t, _ in runs) for name, runs in taken.items()}
    peak = {name: max(mb for _, mb in runs) for name, runs in taken.items()}
    yield Line(
        what="`weigh designs/heron.toml`, whole process",
        measured=f"{wall['weigh']:.2f} s, {peak['weigh']:.0f} MB; the same volumes by a script "
        f"on the exact kernel {wall['kernel'] / wall['weigh']:.1f} times that, on its bare "
        f"bindings {wall['bare kernel'] / wall['weigh']:.1f}",
        wanted="6 times, below 70 MB",
    )
    for name, design in (("make", "heron"), ("make, figures", "linnet")):
        yield Line(
            what=f"`make designs/{design}.toml`, whole process",
            measured=f"{wall[name]:.2f} s, {peak[name]:.0f} MB",
        )
    yield Line(what="`--help`", measured=f"{wall['help']:.2f} s", wanted="below 0.25 s")
    yield many(folder)


def many(folder: Path) -> Line:
    """The peak of a grid written to disk, with a hundred times the rows."""
    peaks, rows = {}, {"US 4..13": 19, "US 3..15 by 1/4": 49}
    alloys = (
        "gold-750-green",
        "silver-925",
        "gold-750-red-5n",
        "platinum-950-ru",
        "gold-917-green",
    )
    for sizes, widths in (("US 4..13", "5..6 by 0.1"), ("US 3..15 by 1/4", "4..8 by 0.1")):
        words = [PROGRAM, "grid", HERON, "--sizes", sizes, "--widths", widths]
        words += [word for alloy in alloys for word in ("--alloy", f"reed={alloy}")]
        path = folder / f"{rows[sizes]}.csv"
        _, peaks[sizes] = process([*words, "--out", str(path)])
        with path.open("rb") as file:
            rows[sizes] = sum(1 for _ in file) - 1
    few, most = peaks
    return Line(
        what="peak of `grid` with `--out`",
        measured=f"{rows[few]:,} rows {peaks[few]:.0f} MB, {rows[most]:,} {peaks[most]:.0f} MB",
        wanted="the same",
    )
