"""Random input of every kind, many times over; a report with counts.

    python tests/proof/fuzz.py --count 1000 --seed 1 --report report.txt

`--kind size` tries one kind alone. An input is a defect where it ends in anything but an answer
or a refusal in words, takes more than 2 s of the processor (6 s for the page, which may be asked
for every file of a ring), lets the process grow by more than 300 MB, or leaves a file anywhere
but in the folders it was given.
"""

from __future__ import annotations

import argparse
import os
import resource
import signal
import sys
import tempfile
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path
from random import Random
from typing import Any

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from proof.inputs import KINDS  # noqa: E402

MOST_S = 2.0
MAKE_S = 6.0
"""The page may be asked for every file of a ring, which takes as long as `make`."""

MOST_MB = 300.0
HANGS_S = 30.0


def grown_mb() -> float:
    """The largest that this process ever was [MB]."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def files_beside(folder: Path) -> set[str]:
    """Files around the folder that inputs may write into."""
    inner = str(folder) + os.sep
    return {str(p) for p in folder.parent.rglob("*") if not str(p).startswith(inner)}


def _hangs(*_: Any) -> None:
    raise TimeoutError("it hangs")


def tried(kind: str, seed: int, folder: Path) -> tuple[str, list[str]]:
    """One input: how it ended, and every fault."""
    before, start, there = grown_mb(), time.process_time(), files_beside(folder)
    faults = []
    signal.signal(signal.SIGPROF, _hangs)
    signal.setitimer(signal.ITIMER_PROF, HANGS_S)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            ended = KINDS[kind](Random(seed), folder)
    except Exception as error:
        last = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(last.filename).name}:{last.lineno}"
        ended = "broken"
        faults.append(f"{type(error).__name__} {where} {str(error)[:200]!r}")
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    took, grew = time.process_time() - start, grown_mb() - before
    if took > (MAKE_S if kind == "page" else MOST_S):
        faults.append(f"took {took:.1f} s")
    if grew > MOST_MB:
        faults.append(f"grew by {grew:.0f} MB")
    if new := files_beside(folder) - there:
        faults.append(f"left files outside: {sorted(new)[:3]}")
    return ended, faults


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=100)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--kind", choices=KINDS)
    asked.add_argument("--report", type=Path)
    given = asked.parse_args()
    kinds = list(KINDS) if given.kind is None else [given.kind]
    ended: dict[str, Counter[str]] = {kind: Counter() for kind in kinds}
    slowest = dict.fromkeys(kinds, 0.0)
    faults: list[str] = []
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "inner"
        folder.mkdir()
        os.chdir(folder)
        # what is loaded once shall not count as growth or as time
        for kind in kinds:
            tried(kind, 0, folder)
        first_mb = grown_mb()
        for seed in range(given.seed, given.seed + given.count):
            for kind in kinds:
                start = time.process_time()
                how, wrong = tried(kind, seed, folder)
                slowest[kind] = max(slowest[kind], time.process_time() - start)
                ended[kind][how] += 1
                for one in wrong:
                    faults.append(f"{kind} {seed}: {one}")
                    print(faults[-1], flush=True)
            done = seed - given.seed + 1
            if given.report is not None and (done % 50 == 0 or done == given.count):
                lines = [f"{done} inputs of each kind, seeds {given.seed} to {seed}"]
                for kind, counts in ended.items():
                    said = ", ".join(f"{n} {how}" for how, n in sorted(counts.items()))
                    lines.append(f"  {kind}: {said}; slowest {slowest[kind]:.2f} s of processor")
                lines.append(f"the process grew from {first_mb:.0f} to {grown_mb():.0f} MB")
                lines += [f"faults: {len(faults)}", *(f"  {one}" for one in faults)]
                given.report.write_text("\n".join(lines) + "\n", "utf-8")
        os.chdir(HERE)
    print({kind: dict(counts) for kind, counts in ended.items()}, f"{grown_mb():.0f} MB")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
