"""Speed and memory as ratios, measured side by side in one run; nothing here can fail a test.

    python tests/bench/ratios.py

Each piece is made by this project and by an exact B-rep kernel from the registries, at the
same chord error: build, exact volume, mesh, binary STL per part. Medians of interleaved
runs. The bore, domes, channel and wave are those of the reference pieces R1 to R3.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections import deque
from collections.abc import Callable
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve()
sys.path.insert(0, str(HERE.parents[1]))

import numpy as np  # noqa: E402
from referees import kernel_pieces  # noqa: E402

from ringgeom.colour import labs  # noqa: E402
from ringgeom.design import Design, read_design  # noqa: E402
from ringgeom.engraving import figures, pockets  # noqa: E402
from ringgeom.engraving.asked import Lettering  # noqa: E402
from ringgeom.engraving.engraved import Engraved, engraved  # noqa: E402
from ringgeom.engraving.row import row  # noqa: E402
from ringgeom.engraving.solid import lettered  # noqa: E402
from ringgeom.form.places import Channel, Gap  # noqa: E402
from ringgeom.form.profiles import Domed  # noqa: E402
from ringgeom.form.ring import ring  # noqa: E402
from ringgeom.form.ring_form import RingForm  # noqa: E402
from ringgeom.form.solid import solids  # noqa: E402
from ringgeom.form.volume import volumes  # noqa: E402
from ringgeom.grid import Grid, grid_asked  # noqa: E402
from ringgeom.jobs import job  # noqa: E402
from ringgeom.output.stl import stl_bytes  # noqa: E402
from ringgeom.shop import Shop  # noqa: E402
from ringgeom.sketch import asking_of, formed_of  # noqa: E402

FORM = RingForm(
    inside_diameter_mm=17.35,
    width_mm=6.0,
    thickness_mm=1.9,
    outside=Domed(form="domed", rise_mm=0.35),
    inside=Domed(form="domed", rise_mm=0.25),
)
GAP = Gap(side=0.02, floor=0.02)
INLAY = {"name": "inlay", "place": "channel", "alloy": "gold-750-green", "width_mm": 2.4}
STRAIGHT = Channel(**INLAY, depth_mm=0.8, gap_mm=GAP)
WAVING = Channel(**INLAY, depth_mm=0.8, gap_mm=GAP, wave={"amplitude_mm": 0.7, "count": 8})
PLACES = {"R1": (), "R2": (STRAIGHT,), "R3": (WAVING,)}
WANTED = {"R1": 20, "R2": 100, "R3": 300}
RUNS = {"R1": 11, "R2": 7, "R3": 3}
OURS_A_RUN = 15
SINGLES = 25
REEDS = ("gold-750-green", "silver-925", "platinum-950-ru", "gold-585-yellow", "gold-750-rose-4n")
BODIES = ("gold-750-yellow-3n", "gold-750-red-5n")
FEW = {"widths": "4..8 by 0.5", "thicknesses": "1.8, 2.0, 2.2", "sizes": "US 4..13 by 1/4"}
WIDE = {"widths": "6..8 by 0.25", "thicknesses": "2.4, 2.6, 2.8", "sizes": "US 4..13 by 1/4"}
MANY = {"widths": "4..8.9 by 0.1", "thicknesses": "1.8..2.7 by 0.1", "sizes": "US 4..13.5 by 1/2"}


def ours(piece: str, folder: Path) -> None:
    """The same job as the kernel's: build, volume, mesh, one STL per part."""
    laid = ring(FORM, PLACES[piece])
    volumes(laid)
    for number, mesh in enumerate(solids(laid, chord_mm=0.005).values()):
        with (folder / f"{piece}-{number}.stl").open("wb") as file:
            file.write(stl_bytes(mesh, piece))


def seconds(work: Callable[..., object], *given: object) -> float:
    begun = time.perf_counter()
    work(*given)
    return time.perf_counter() - begun


def pieces(folder: Path) -> None:
    for piece, runs in RUNS.items():
        ours(piece, folder)
        kernel_pieces.made(piece, folder)
        mine, theirs = [], []
        for _ in range(runs):
            mine += [seconds(ours, piece, folder) for _ in range(OURS_A_RUN)]
            theirs.append(seconds(kernel_pieces.made, piece, folder))
        a, b = statistics.median(mine), statistics.median(theirs)
        print(
            f"{piece}: ours {a * 1e3:8.2f} ms, kernel {b * 1e3:9.1f} ms, "
            f"ratio {b / a:6.0f}  (wanted {WANTED[piece]})"
        )


TEXT = "BROWNHEDGE"
LETTERED = {"kind": "lettering", "height_mm": 1.5, "floor": "flat", "at": "3:00"}


def ours_lettered(folder: Path) -> tuple[Engraved, dict[Any, Any]]:
    """R2 with a text of ten letters in its bore: the whole job, its font too."""
    laid = ring(FORM, PLACES["R2"])
    volumes(laid)
    asked = Lettering(**{"text": TEXT, **LETTERED})
    (found,) = engraved(laid, [asked], [row(asked)])
    meshes = lettered(solids(laid, chord_mm=0.005), [found], chord_mm=0.005)
    for number, mesh in enumerate(meshes.values()):
        with (folder / f"lettered-{number}.stl").open("wb") as file:
            file.write(stl_bytes(mesh, "lettered"))
    return found, meshes


def kernel_lettered(folder: Path, found: Engraved) -> tuple[float, Any]:
    """The same by the kernel, which is given the outlines: build, cut, volume, mesh, STL."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from referees.kernel_letters import letter
    from referees.kernel_region import listed

    parts = kernel_pieces.built("R2")
    radius = found.face.radius_mm
    tools = [
        solid
        for shape in found.copies[0]
        for solid in letter(
            [[stroke.points for stroke in loop] for loop in shape.loops],
            radius,
            radius - 0.3,
            radius + 0.15,
        )
    ]
    cut = BRepAlgoAPI_Cut()
    cut.SetArguments(listed(parts["band"]))
    cut.SetTools(listed(*tools))
    cut.Build()
    parts["band"] = cut.Shape()
    for name, shape in parts.items():
        volume = kernel_pieces.volume_mm3(shape)
        kernel_pieces.meshed(shape)
        kernel_pieces.write_stl(shape, folder / f"lettered-{name}.stl")
        if name == "band":
            band = volume
    return band, parts["band"]


def letters(folder: Path) -> None:
    """An engraved text against the kernel, at the deviation of both measured."""
    found, meshes = ours_lettered(folder)
    mine = [seconds(ours_lettered, folder) for _ in range(OURS_A_RUN)]
    begun = time.perf_counter()
    _, cut = kernel_lettered(folder, found)
    b, a = time.perf_counter() - begun, statistics.median(mine)
    band = max(meshes.values(), key=lambda mesh: len(mesh.faces))
    off = kernel_pieces.measured_deviation_mm(cut, (band.vertices, band.faces))
    theirs = kernel_pieces.measured_deviation_mm(cut, kernel_pieces.mesh_of(cut))
    print(
        f"ten letters on R2: ours {a * 1e3:8.2f} ms, kernel {b * 1e3:9.1f} ms, "
        f"ratio {b / a:6.0f}  (wanted 50); deviation {off:.4f} and {theirs:.4f} mm"
    )


MOTIF = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="3mm" height="2mm" viewBox="0 0 3 2">'
    '<path d="M0 1 C0.5 0 2 0 3 1 C2 2 0.5 2 0 1 Z"/></svg>'
)
COPIES = 24
MOTIF_RING = f"""
[job]
name = "Motif"
[ring]
size = "17.35 mm across"
width_mm = 6.0
thickness_mm = 1.9
outside = {{ form = "domed", rise_mm = 0.35 }}
inside = {{ form = "domed", rise_mm = 0.25 }}
[body]
alloy = "gold-750-yellow-3n"
[[part]]
name = "leaves"
place = "motif"
file = "motif.svg"
alloy = "gold-750-green"
count = {COPIES}
height_mm = 1.0
mirrored = "across"
depth_mm = 0.6
gap_mm = {{ side = 0.03, floor = 0.02 }}
cutter_mm = 0.2
"""


def motifs(folder: Path) -> None:
    """A motif inlay of 24 copies, laid out and weighed anew: its drawing read, nothing kept."""
    (folder / "motif.svg").write_text(MOTIF, "utf-8")
    (folder / "motif.toml").write_text(MOTIF_RING, "utf-8")
    design = read_design(folder / "motif.toml")
    empty = design.model_copy(update={"parts": ()})

    def anew(one: Design) -> None:
        figures._read.cache_clear()
        pockets._pockets.cache_clear()
        formed_of(asking_of(one, Shop()))

    both = [(seconds(anew, design), seconds(anew, empty)) for _ in range(OURS_A_RUN)]
    full, plain = (statistics.median(some) for some in zip(*both, strict=True))
    print(
        f"a motif inlaid {COPIES} times: laid out and weighed in {full * 1e3:.0f} ms "
        f"(wanted below 300), its ring alone in {plain * 1e3:.0f} ms"
    )


def stl_against_raw(folder: Path) -> None:
    mesh = max(solids(ring(FORM, (WAVING,))).values(), key=lambda m: len(m.faces))
    content = bytes(stl_bytes(mesh, "x"))
    path = folder / "raw.stl"

    def raw(data: bytes) -> None:
        with path.open("wb") as file:
            file.write(data)

    full = [seconds(lambda: raw(stl_bytes(mesh, "x"))) for _ in range(60)]
    bare = [seconds(lambda: raw(content)) for _ in range(60)]
    a, b = statistics.median(full), statistics.median(bare)
    print(
        f"STL: {len(content):,} bytes in {a * 1e3:.2f} ms, raw write {b * 1e3:.2f} ms, "
        f"ratio {a / b:.2f}  (wanted below 3)"
    )


def recipes() -> None:
    """Colours of 10 000 recipes of eight metals, against a tenth of them asked one by one."""
    shares = np.random.default_rng(1).dirichlet([4, 2, 2, 0.3, 0.3, 0.1, 0.1, 0.1], 10_000)
    labs(shares[:10])
    together = statistics.median(seconds(labs, shares) for _ in range(5))
    single = 10 * seconds(lambda: [labs(row) for row in shares[:1000]])
    print(
        f"10 000 recipes: {together:.2f} s (wanted below 1), one by one {single:.2f} s, "
        f"ratio {single / together:.0f}"
    )


def rings() -> None:
    """Grids of about 10 000 rings, of few sections and of many, against single rings."""
    in_alloys = {
        inlay: [f"{inlay}={name}" for name in REEDS] + [f"body={name}" for name in BODIES]
        for inlay in ("reed", "creeper")
    }
    grids: tuple[tuple[str, str, dict[str, Any]], ...] = (
        ("heron", "27 sections", FEW | {"alloys": in_alloys["reed"]}),
        ("alder, waving", "27 sections", WIDE | {"alloys": in_alloys["creeper"]}),
        ("heron", "500 sections", MANY),
    )
    for name, sections, axes in grids:
        design = read_design(HERE.parents[2] / "designs" / f"{name.split(',')[0]}.toml")
        many = Grid(design=design, shop=Shop(), asked=grid_asked(design, **axes))
        numbers = range(1, many.asked.rows, many.asked.rows // SINGLES)
        singles = [many.design_of(number) for number in numbers]
        job(singles[0])
        alone, count = statistics.mean(seconds(job, one) for one in singles), many.asked.rows
        together = seconds(lambda many=many: deque(many.rows(), maxlen=0))
        print(
            f"grid of {name}, {sections}: {count:,} rows in {together:.2f} s (wanted below 2 for "
            f"few), one by one {alone * count:.0f} s, ratio {alone * count / together:.0f}"
        )


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


def processes(folder: Path) -> None:
    program = str(Path(sys.executable).with_name("ringgeom"))
    design = HERE.parents[2] / "designs" / "heron.toml"
    script = (
        "import sys, tomllib; sys.path.insert(0, sys.argv[1]); from referees import kernel; "
        "print(kernel.volumes(tomllib.load(open(sys.argv[2], 'rb')), 17.3228))"
    )
    commands = {
        "weigh": [program, "weigh", str(design)],
        "bare kernel": [sys.executable, "-c", script, str(HERE.parents[1]), str(design)],
        "kernel": [
            sys.executable,
            "-c",
            f"import build123d; {script}",
            str(HERE.parents[1]),
            str(design),
        ],
        "help": [program, "--help"],
    }
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in commands}
    for _ in range(7):
        for name, command in commands.items():
            taken[name].append(process(command))
    wall = {name: statistics.median(t for t, _ in runs) for name, runs in taken.items()}
    peak = {name: max(mb for _, mb in runs) for name, runs in taken.items()}
    print(
        f"whole process: weigh {wall['weigh']:.3f} s, kernel script {wall['kernel']:.3f} s, "
        f"ratio {wall['kernel'] / wall['weigh']:.1f}  (wanted 6)"
    )
    print(
        f"  against the kernel's bare bindings {wall['bare kernel']:.3f} s, "
        f"ratio {wall['bare kernel'] / wall['weigh']:.1f}"
    )
    print(f"weigh peak {peak['weigh']:.1f} MB  (wanted below 70)")
    print(f"--help {wall['help']:.3f} s  (wanted below 0.25)")


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pieces(folder)
        letters(folder)
        motifs(folder)
        stl_against_raw(folder)
        recipes()
        rings()
        processes(folder)


if __name__ == "__main__":
    main()
