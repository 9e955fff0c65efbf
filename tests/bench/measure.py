"""Speed, growth and memory in one command; nothing here can fail a test.

    python tests/bench/measure.py                  everything, printed
    python tests/bench/measure.py pieces growth    some of it
    python tests/bench/measure.py --write          everything, and the table of DEVELOPERS.md

Times are the least of interleaved runs: other work on the machine only adds to them. They are
compared within one run, with an exact B-rep kernel from the registries or with themselves.
"""

from __future__ import annotations

import argparse
import os
import platform
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[1]))

from bench.drag import under_the_hand  # noqa: E402
from bench.growth import growth  # noqa: E402
from bench.many import at_once  # noqa: E402
from bench.pieces import against_the_kernel  # noqa: E402
from bench.timing import ROOT, Line  # noqa: E402
from bench.whole import processes  # noqa: E402

SUBJECTS: dict[str, Callable[[Path], Iterator[Line]]] = {
    "pieces": against_the_kernel,
    "many": at_once,
    "processes": processes,
    "growth": growth,
    "hand": under_the_hand,
}
BEGIN, END = "<!-- measured -->\n", "<!-- end of what was measured -->\n"


def main() -> None:
    """Measure, print, and write where asked to."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("subjects", nargs="*", metavar="SUBJECT", help=", ".join(SUBJECTS))
    asked.add_argument("--write", action="store_true", help="the table of DEVELOPERS.md")
    words = asked.parse_args()
    if unknown := set(words.subjects) - set(SUBJECTS):
        asked.error(f"{', '.join(sorted(unknown))}: subjects are {', '.join(SUBJECTS)}")
    if words.write and words.subjects:
        asked.error("the table is written of everything, so name no subject with --write")
    lines = []
    with tempfile.TemporaryDirectory() as name:
        for subject in words.subjects or SUBJECTS:
            for line in SUBJECTS[subject](Path(name)):
                lines.append(line)
                wanted = f"  (wanted {line.wanted})" if line.wanted else ""
                print(f"{line.what}: {line.measured}{wanted}", flush=True)
    if words.write:
        written(ROOT / "DEVELOPERS.md", lines)


def written(path: Path, lines: list[Line]) -> None:
    """Put the table between its two marks."""
    text = path.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    after = rest.split(END)[1]
    today = datetime.now(tz=UTC).date()
    rows = "".join(f"| {one.what} | {one.measured} | {one.wanted} |\n" for one in lines)
    table = (
        f"Measured on {today} with Python {platform.python_version()} on {os.cpu_count()} "
        f"processors, {os.getloadavg()[2]:.1f} processes waiting over the last quarter of an hour."
        f"\n\n| what | measured | wanted |\n|---|---|---|\n{rows}"
    )
    path.write_text(before + BEGIN + table + END + after, encoding="utf-8")


if __name__ == "__main__":
    main()
