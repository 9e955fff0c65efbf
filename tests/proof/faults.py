"""Runs ended, starved and disturbed on purpose; what is left is looked at, and counted.

    python tests/proof/faults.py [KILLS] [SEED] [WORD ...]

With words only the faults that have one of them in their name.

Needs Linux, and root for a small disk and for folders that are mounted to be read only; what a
machine does not allow is told and left out. Every fault is judged alike: each file must be the
old one or the new one byte for byte, nothing but the hidden files that the next run takes away
may be beside them, no traceback may be seen, the exit code must be one that the README tells,
and the next run must give exactly the new files. What a killed run left half put in place must
be said in the folder itself. A few of the same faults are tried by the quick tests.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from pathlib import Path

from ringgeom.door import main as main_of_the_program

ROOT = Path(__file__).parents[2]
PROGRAM = Path(sys.executable).with_name("ringgeom")
HERON = ROOT / "designs" / "heron.toml"
PATIENCE_S = 300
UNFINISHED = "unfinished-do-not-print.txt"

SHARES = (("anew", 0.1), ("anywhere", 0.3), ("writing", 0.5), ("pictures", 0.1))
"""Where a run is ended: loading too, computing and writing, while writing, while rendering."""

Tree = dict[str, bytes]


def tree(folder: Path) -> Tree:
    found = {}
    for path in sorted(folder.rglob("*")):
        try:
            if path.is_file():
                found[str(path.relative_to(folder))] = path.read_bytes()
        except FileNotFoundError:
            continue
    return found


def hidden(name: str) -> bool:
    return any(part.startswith(".") for part in Path(name).parts)


def load_what_make_loads(words: list[str]) -> None:
    """Import here what a run imports, and compute nothing: threads do not outlive a fork."""
    code = (
        f"import sys\nsys.argv = {words!r}\nfrom ringgeom.door import main\n"
        "try:\n    main()\nfinally:\n    print('loaded', *sys.modules, file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=False
    )
    for name in done.stderr.splitlines()[-1].split()[1:]:
        if not name.startswith("__"):
            with suppress(ImportError):
                import_module(name)


class Bench:
    """Two designs of one job, and what a whole run writes of each."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.old, self.new = HERON, folder / "other.toml"
        text = HERON.read_text(encoding="utf-8")
        text = text.replace("depth_mm = 0.8", "depth_mm = 0.7")
        text = text.replace('"gold-750-green"', '"gold-750-green-20-5"')
        self.new.write_text(text, encoding="utf-8")
        self.whole: dict[Path, Tree] = {}
        load_what_make_loads(self.command(self.old, folder / "loading"))
        for design in (self.old, self.new):
            out = folder / f"whole-{design.stem}"
            self.took_anew = self.timed(design, out, anew=True)
            self.took = self.timed(design, out, anew=False)
            self.whole[design] = tree(out)

    def command(self, design: Path, out: Path, *more: str) -> list[str]:
        more = more or ("--no-pictures",)
        return [str(PROGRAM), "make", str(design), "--out", str(out), *more]

    def timed(self, design: Path, out: Path, *, anew: bool) -> float:
        begun = time.monotonic()
        wrong = ended(Run(self.command(design, out), anew=anew), (0,))
        assert not wrong, wrong
        return time.monotonic() - begun

    def laid(self, out: Path) -> None:
        """The old files in a folder, as a whole run leaves them."""
        shutil.rmtree(out, ignore_errors=True)
        shutil.copytree(self.folder / f"whole-{self.old.stem}", out)


def judged(bench: Bench, out: Path, fresh: bool) -> str:
    """How a folder was left: old, new, nothing, or half put in place and said so; or a defect."""
    now = tree(out) if out.exists() else {}
    old: Tree = {} if fresh else bench.whole[bench.old]
    new = bench.whole[bench.new]
    shown = {name: content for name, content in now.items() if not hidden(name)}
    said = shown.pop(f"heron/{UNFINISHED}", None)
    for name, content in shown.items():
        if content not in (old.get(name), new.get(name)):
            return f"DEFECT: {name} is neither the old nor the new file"
    if shown == old:
        return "nothing" if fresh else "old files"
    if shown == new:
        return "new files"
    if set(old) <= set(shown) | set(new) and said is not None:
        return "some old, some new, and the folder says so"
    return "DEFECT: some old, some new, without a word"


def ended(run: Run, codes: tuple[int, ...]) -> str:
    """Empty, or what is wrong with how a run ended."""
    err = run.words()
    if "Traceback" in err:
        return f"DEFECT: a traceback: {err.strip().splitlines()[-1]}"
    if run.code not in codes:
        return f"DEFECT: exit code {run.code}: {err.strip()}"
    return ""


def again(bench: Bench, out: Path, *more: str) -> str:
    """Empty, or what is wrong after the next run over what was left."""
    if wrong := ended(Run(bench.command(bench.new, out, *more)), (0,)):
        return wrong
    now, whole = tree(out), bench.whole[bench.new]
    if more:
        # there are pictures too, and a card with one of them
        now, whole = dict.fromkeys(now, b""), dict.fromkeys(whole, b"")
        now = {name: c for name, c in now.items() if "/pictures/" not in name}
    if now != whole:
        return f"DEFECT: the next run left {sorted(set(now) ^ set(whole)) or 'other contents'}"
    return ""


class Run:
    """The program in a process of its own: begun anew, or forked where all is loaded already.

    A forked one comes to its writing in a second or two, where most of these faults belong.
    """

    def __init__(self, words: list[str], *, anew: bool = False) -> None:
        self.said = tempfile.TemporaryFile()  # noqa: SIM115  closed when it is read
        self.code: int | None = None
        if anew:
            ran = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=self.said)
            self.pid = ran.pid
            self.ran: subprocess.Popen[bytes] | None = ran
            return
        self.ran = None
        self.pid = os.fork()
        if self.pid == 0:
            self._child(words)

    def _child(self, words: list[str]) -> None:
        code: object = 1
        try:
            nowhere = os.open(os.devnull, os.O_RDWR)
            for number, to in ((0, nowhere), (1, nowhere), (2, self.said.fileno())):
                os.dup2(to, number)
            sys.argv = words
            tempfile.tempdir = None
            main_of_the_program()
        except SystemExit as end:
            code = end.code or 0
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(code if isinstance(code, int) else 1)

    def poll(self) -> int | None:
        if self.ran is not None:
            self.code = self.ran.poll()
        elif self.code is None:
            pid, status = os.waitpid(self.pid, os.WNOHANG)
            if pid:
                self.code = os.waitstatus_to_exitcode(status)
        return self.code

    def send(self, number: signal.Signals) -> None:
        if self.poll() is None:
            os.kill(self.pid, number)

    def words(self) -> str:
        """What it said, when it has ended."""
        if not waited(lambda: self.poll() is not None, None):
            os.kill(self.pid, signal.SIGKILL)
            return "Traceback: it hangs"
        self.said.seek(0)
        found = self.said.read().decode("utf-8", "replace")
        self.said.close()
        return found


def killed(bench: Bench, luck: random.Random, out: Path, end: signal.Signals, kind: str) -> str:
    """One run ended at a random moment; half of them while the files are being put in place."""
    fresh = luck.random() < 0.5
    shutil.rmtree(out, ignore_errors=True)
    if not fresh:
        bench.laid(out)
    more = ("--pictures",) if kind == "pictures" else ()
    temporary = out.parent / "temporary"
    temporary.mkdir(exist_ok=True)
    os.environ["TMPDIR"] = str(temporary)
    run = Run(bench.command(bench.new, out, *more), anew=kind == "anew")
    if kind in ("anew", "anywhere"):
        time.sleep(luck.uniform(0, 1.1) * (bench.took_anew if kind == "anew" else bench.took))
    elif kind == "pictures":
        waited(lambda: bool(list(temporary.iterdir())), run)
        time.sleep(luck.uniform(0, 1.5))
    else:
        mark = f"heron/{UNFINISHED}" if luck.random() < 0.6 else "heron/.writing"
        waited(lambda: (out / mark).exists(), run)
        time.sleep(luck.uniform(0, 0.02 if "do-not" in mark else 0.3))
    run.send(end)
    codes = (0, -end) if end == signal.SIGKILL else (0, 128 + end, -end)
    if wrong := ended(run, codes):
        return wrong
    if end != signal.SIGKILL and any(map(hidden, tree(out))):
        return "DEFECT: hidden files are left"
    how = judged(bench, out, fresh)
    if "DEFECT" in how:
        return how
    wrong = again(bench, out, *more)
    cleared = kind != "pictures" or waited(lambda: not list(temporary.iterdir()), None, 5.0)
    if not wrong and not cleared:
        return f"DEFECT: temporary files are left: {list(temporary.rglob('*'))[:3]}"
    return wrong or how


def waited(until: Callable[[], bool], run: Run | None, patience_s: float = PATIENCE_S) -> bool:
    begun = time.monotonic()
    while not until():
        if (run is not None and run.poll() is not None) or time.monotonic() - begun > patience_s:
            return False
        time.sleep(0.001)
    return True


@contextmanager
def mounted(place: Path, *options: str) -> Iterator[None]:
    place.mkdir(exist_ok=True)
    subprocess.run(["mount", *options, str(place)], check=True, capture_output=True)
    try:
        yield
    finally:
        subprocess.run(["umount", str(place)], check=True)


def full(bench: Bench, luck: random.Random, out: Path) -> str:
    """A disk of a random size that is too small, over nothing or over the old files."""
    fresh = luck.random() < 0.5
    size = sum(map(len, bench.whole[bench.new].values()))
    room = luck.uniform(0.02, 0.95) * size + (0 if fresh else 1.05 * size)
    disk = out.parent / "disk"
    with mounted(disk, "-t", "tmpfs", "-o", f"size={int(room) // 4096 * 4}k", "tmpfs"):
        if not fresh:
            bench.laid(disk / "out")
        wrong = ended(Run(bench.command(bench.new, disk / "out")), (2,))
        how = judged(bench, disk / "out", fresh)
        left = [name for name in tree(disk) if hidden(name)]
        return wrong or (f"DEFECT: left {left}" if left else how)


def read_only(bench: Bench, luck: random.Random, out: Path) -> str:
    """A folder that is mounted to be read only, or that becomes so while it is written."""
    bench.laid(out)
    subprocess.run(["mount", "--bind", str(out), str(out)], check=True)
    try:
        early = luck.random() < 0.5
        lock = ["mount", "-o", "remount,ro,bind", str(out)]
        if early:
            subprocess.run(lock, check=True)
        run = Run(bench.command(bench.new, out))
        if not early:
            waited(lambda: (out / "heron" / ".writing").exists(), run)
            time.sleep(luck.uniform(0, 0.1))
            # while a file is open for writing it is refused, so it is tried until it is not
            waited(lambda: subprocess.run(lock, capture_output=True).returncode == 0, run)
        wrong = ended(run, (2,) if early else (0, 2))
        how = judged(bench, out, fresh=False)
    finally:
        subprocess.run(["umount", str(out)], check=True)
    return wrong or ("" if "DEFECT" in how else again(bench, out)) or how


def kept_from_change(bench: Bench, luck: random.Random, out: Path) -> str:
    """One file of the old run that even root may not change."""
    bench.laid(out)
    file = out / luck.choice(sorted(bench.whole[bench.old]))
    subprocess.run(["chattr", "+i", str(file)], check=True, capture_output=True)
    try:
        wrong = ended(Run(bench.command(bench.new, out)), (2,))
        how = judged(bench, out, fresh=False)
        left = [name for name in tree(out) if hidden(name)]
    finally:
        subprocess.run(["chattr", "-i", str(file)], check=True)
    return wrong or (f"DEFECT: left {left}" if left else "") or again(bench, out) or how


def removed(bench: Bench, luck: random.Random, out: Path) -> str:
    """The folder taken away while it is written, once or again and again."""
    bench.laid(out)
    run = Run(bench.command(bench.new, out))
    waited(lambda: (out / "heron" / ".writing").exists(), run)
    time.sleep(luck.uniform(0, 0.4))
    shutil.rmtree(out, ignore_errors=True)
    if wrong := ended(run, (0, 2)):
        return wrong
    now = tree(out) if out.exists() else {}
    # what was not taken away yet may be put back: the old file or the new one
    whole = [bench.whole[design] for design in (bench.old, bench.new)]
    bad = [
        name
        for name, content in now.items()
        if not hidden(name)
        and UNFINISHED not in name
        and content not in [files.get(name) for files in whole]
    ]
    return f"DEFECT: {bad}" if bad else again(bench, out) or f"ended with {run.code}"


def two_at_once(bench: Bench, luck: random.Random, out: Path) -> str:
    """Two designs of one job, made at the same time into one folder: the files of one of them."""
    shutil.rmtree(out, ignore_errors=True)
    runs = []
    for design in luck.sample([bench.old, bench.new, bench.new, bench.old], 2):
        runs.append(Run(bench.command(design, out)))
        time.sleep(luck.uniform(0, 0.1))
    for run in runs:
        if wrong := ended(run, (0,)):
            return wrong
    for design, whole in bench.whole.items():
        if tree(out) == whole:
            return "the files of the " + ("first" if design == bench.old else "second") + " design"
    return "DEFECT: files of both designs"


def allowed(words: list[str]) -> bool:
    return subprocess.run(words, capture_output=True, check=False).returncode == 0


def told(name: str, found: Counter[str]) -> int:
    print(f"{name}: {sum(found.values())}")
    for how, count in sorted(found.items()):
        print(f"  {count:4d}  {how}")
    sys.stdout.flush()
    return sum(count for how, count in found.items() if "DEFECT" in how)


def main(kills: int, seed: int, words: list[str]) -> int:
    luck = random.Random(seed)
    defects = 0
    with tempfile.TemporaryDirectory(prefix="ringgeom-faults-") as place:
        folder = Path(place)
        bench = Bench(folder)
        out = folder / "out"
        print(
            f"{kills} kills, seed {seed}; a whole run takes {bench.took_anew:.1f} s "
            f"here, {bench.took:.1f} s when all is loaded"
        )
        few = max(1, kills // 5)
        work: list[tuple[str, int, Callable[[], str]]] = []
        for end, times in ((signal.SIGKILL, kills), (signal.SIGINT, few), (signal.SIGTERM, few)):
            word = re.sub("^SIG", "", end.name).lower()
            for kind, share in SHARES:
                if end == signal.SIGTERM and kind == "pictures":
                    continue
                work.append(
                    (
                        f"{word}, {kind}",
                        max(1, round(times * share)),
                        lambda end=end, kind=kind: killed(bench, luck, out, end, kind),
                    )
                )
        work.append(("folder removed", few, lambda: removed(bench, luck, out)))
        work.append(("two at once", few, lambda: two_at_once(bench, luck, out)))
        if allowed(["unshare", "--mount", "true"]):
            work.append(("full disk", few, lambda: full(bench, luck, out)))
            work.append(("read only", few, lambda: read_only(bench, luck, out)))
        else:
            print("left out: this machine lets nobody mount a disk")
        probe = folder / "probe"
        probe.touch()
        if allowed(["chattr", "+i", str(probe)]):
            subprocess.run(["chattr", "-i", str(probe)], check=True)
            work.append(("kept from change", few, lambda: kept_from_change(bench, luck, out)))
        else:
            print("left out: this disk keeps no file from being changed")
        for name, times, fault in work:
            if words and not any(word in name for word in words):
                continue
            defects += told(name, Counter(fault() for _ in range(times)))
    print(f"{defects} defects")
    return min(defects, 1)


if __name__ == "__main__":
    given = sys.argv[1:]
    kills, seed = [*given[:2], *("100", "20261129")[len(given[:2]) :]]
    sys.exit(main(int(kills), int(seed), given[2:]))
