"""Many random designs, seed by seed, each judged; a report with counts.

    python tests/proof/many.py --count 10000 --seed 1 --report report.txt

Seeds begin with `--seed`; `--only 4711` judges one and tells its design. Of every hundred
designs `--solids` are meshed and judged as files (the others are weighed and measured only),
`--admesh` of them are shown to admesh too, and of `--files` every file of the job is made.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from proof.designs import document, some_design  # noqa: E402
from proof.engravings import drawings_in  # noqa: E402
from proof.judged import judged  # noqa: E402


class Tally:
    """What came of all designs so far."""

    def __init__(self) -> None:
        self.ended: Counter[str] = Counter()
        self.holds: Counter[str] = Counter()
        self.faults: dict[str, list[str]] = {}
        self.worst: dict[str, tuple[float, int]] = {}
        self.meshes = self.measured = self.findings = self.admesh = self.files = 0
        self.slowest = (0.0, 0)

    def text(self, first: int, count: int, seconds: float) -> str:
        lines = [
            f"{count} designs, seeds {first} to {first + count - 1}, {seconds:.0f} s",
            "ended: " + ", ".join(f"{n} {w}" for w, n in sorted(self.ended.items())),
            "asked for: " + ", ".join(f"{n} {w}" for w, n in sorted(self.holds.items())),
            f"{self.meshes} solids read back; {self.admesh} designs shown to admesh; "
            f"{self.files} with every file",
            f"{self.findings} findings; {self.measured} rails and floors measured again",
            f"slowest: {self.slowest[0]:.1f} s (seed {self.slowest[1]})",
            "worst:",
            *(f"  {value:.3g}  {what} (seed {s})" for what, (value, s) in self.worst.items()),
            f"faults: {sum(map(len, self.faults.values()))}",
        ]
        for what, said in sorted(self.faults.items()):
            lines.append(f"  {what}: {len(said)}")
            lines += [f"    {one}" for one in said]
        return "\n".join(lines) + "\n"


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=200)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--only", type=int)
    asked.add_argument("--solids", type=int, default=100)
    asked.add_argument("--admesh", type=int, default=5)
    asked.add_argument("--files", type=int, default=2)
    asked.add_argument("--report", type=Path)
    given = asked.parse_args()
    first, count = (given.seed, given.count) if given.only is None else (given.only, 1)
    tally, start = Tally(), time.monotonic()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        drawings_in(folder)
        for seed in range(first, first + count):
            design, shop = some_design(Random(seed))
            if given.only is not None:
                print(document(design), document(shop), sep="\n# shop\n")
            admesh, files = seed % 100 < given.admesh, seed % 100 < given.files
            began = time.monotonic()
            meshes = seed % 100 < given.solids
            found = judged(design, shop, folder, meshes=meshes, files=files, admesh=admesh)
            took = time.monotonic() - began
            tally.ended[found.ended] += 1
            tally.holds.update({part["place"] for part in design.get("part", ())})
            tally.holds.update({one["kind"] for one in design.get("engraving", ())})
            tally.holds[f"outside {design['ring'].get('outside', {}).get('form', 'flat')}"] += 1
            tally.holds["tapering"] += "taper" in design["ring"]
            tally.holds["waving"] += any("wave" in part for part in design.get("part", ()))
            tally.meshes += found.meshes
            tally.measured += found.rails
            tally.findings += found.findings
            tally.admesh += admesh and found.ended == "made"
            tally.files += files and found.ended == "made"
            tally.slowest = max(tally.slowest, (took, seed))
            for what, value in found.worst.items():
                tally.worst[what] = max(tally.worst.get(what, (0.0, 0)), (value, seed))
            for what, said in found.faults:
                tally.faults.setdefault(what, []).append(f"seed {seed}: {said}")
                print(f"seed {seed}: {what}: {said}", flush=True)
            done = seed - first + 1
            if given.report is not None and (done % 50 == 0 or done == count):
                text = tally.text(first, done, time.monotonic() - start)
                given.report.write_text(text, "utf-8")
    print(tally.text(first, count, time.monotonic() - start))
    sys.exit(1 if tally.faults else 0)


if __name__ == "__main__":
    main()
