"""Seconds, least of several; how they grow with a number; peaks of whole processes."""

from __future__ import annotations

import math
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve()
ROOT = HERE.parents[2]
DESIGNS = ROOT / "designs"
PROGRAM = str(Path(sys.executable).with_name("ringgeom"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the table: what was measured, what came of it, and what was wanted."""

    what: str
    measured: str
    wanted: str = ""


def seconds(work: Callable[..., object], *given: object) -> float:
    """How long one call takes."""
    begun = time.perf_counter()
    work(*given)
    return time.perf_counter() - begun


def least(work: Callable[..., object], *given: object, runs: int = 5) -> float:
    """The least of some calls: whatever else the machine does only adds to a time."""
    return min(seconds(work, *given) for _ in range(runs))


def exponent(taken: Mapping[int, float]) -> float:
    """The power of n by which seconds grow, fitted to the upper half of the sizes.

    Below lies what every ring costs whatever its n, which would flatter the power.
    """
    sizes = sorted(taken)[len(taken) // 2 :]
    logs = [math.log(n) for n in sizes], [math.log(taken[n]) for n in sizes]
    return statistics.linear_regression(*logs).slope


WATCH = """
import os, subprocess, sys, time
begun = time.perf_counter()
child = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL)
_, status, usage = os.wait4(child.pid, 0)
print(time.perf_counter() - begun, usage.ru_maxrss / 1024, os.waitstatus_to_exitcode(status))
"""


def process(command: list[str]) -> tuple[float, float]:
    """Wall seconds and peak MB of a whole process, watched from a small one.

    A child's peak counts the memory of the process it was forked from, so this one,
    with a kernel in it, cannot watch.
    """
    watched = [sys.executable, "-S", "-c", WATCH, *command]
    told = subprocess.run(watched, capture_output=True, text=True, check=True).stdout.split()
    if told[2] != "0":
        raise SystemExit(f"{command} failed")
    return float(told[0]), float(told[1])
