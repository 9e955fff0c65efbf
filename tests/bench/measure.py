"""Speed, growth and memory in one command; nothing here can fail a test.

    python tests/bench/measure.py                  everything, printed
    python tests/bench/measure.py pieces growth    some of it
    python tests/bench/measure.py --write          everything, into the table of DEVELOPERS.md

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
HEAD = f"""Python {platform.python_version()}, {os.cpu_count()} processors; busy is how many \
processes wanted one over the last five minutes.

| subject | what | measured | wanted | day, busy |
|---|---|---|---|---|
"""


def main() -> None:
    """Measure, print, and write where asked to."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("subjects", nargs="*", metavar="SUBJECT", help=", ".join(SUBJECTS))
    asked.add_argument("--write", action="store_true", help="into the table of DEVELOPERS.md")
    words = asked.parse_args()
    if unknown := set(words.subjects) - set(SUBJECTS):
        asked.error(f"{', '.join(sorted(unknown))}: subjects are {', '.join(SUBJECTS)}")
    for subject in words.subjects or SUBJECTS:
        rows = []
        with tempfile.TemporaryDirectory() as name:
            for line in SUBJECTS[subject](Path(name)):
                wanted = f"  (wanted {line.wanted})" if line.wanted else ""
                print(f"{line.what}: {line.measured}{wanted}", flush=True)
                rows.append(row(subject, line))
        if words.write:
            write(ROOT / "DEVELOPERS.md", subject, rows)


def row(subject: str, line: Line) -> str:
    """A line of the table, with the day and how busy the machine was."""
    today, busy = datetime.now(tz=UTC).date(), os.getloadavg()[1]
    return f"| {subject} | {line.what} | {line.measured} | {line.wanted} | {today}, {busy:.1f} |\n"


def write(path: Path, subject: str, rows: list[str]) -> None:
    """Put the rows of a subject into the table between its two marks, in place of the old."""
    text = path.read_text(encoding="utf-8")
    before, rest = text.split(BEGIN)
    old, after = rest.split(END)
    found = {one: [] for one in SUBJECTS} | {subject: rows}
    for line in old.splitlines(keepends=True):
        kept = line.removeprefix("| ").split(" |")[0]
        if kept in found and kept != subject:
            found[kept].append(line)
    table = "".join(line for lines in found.values() for line in lines)
    path.write_text(before + BEGIN + HEAD + table + END + after, encoding="utf-8")


if __name__ == "__main__":
    main()
