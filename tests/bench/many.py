"""Many of one kind at once: bytes of an STL, colours of recipes, inserts, rings of a grid."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from bench.pieces import FORM, WAVING
from bench.timing import DESIGNS, Line, least, seconds

from ringgeom.colour import labs
from ringgeom.design import read_design
from ringgeom.engraving import figures, pockets
from ringgeom.form.ring import ring
from ringgeom.form.solid import solids
from ringgeom.grid import Grid, grid_asked
from ringgeom.jobs import job
from ringgeom.output.stl import stl_bytes
from ringgeom.shop import Shop
from ringgeom.sketch import asking_of, formed_of

REEDS = ("gold-750-green", "silver-925", "platinum-950-ru", "gold-585-yellow", "gold-750-rose-4n")
BODIES = ("gold-750-yellow-3n", "gold-750-red-5n")
FEW = {"widths": "4..8 by 0.5", "thicknesses": "1.8, 2.0, 2.2", "sizes": "US 4..13 by 1/4"}
WIDE = {"widths": "6..8 by 0.25", "thicknesses": "2.4, 2.6, 2.8", "sizes": "US 4..13 by 1/4"}
MANY = {"widths": "4..8.9 by 0.1", "thicknesses": "1.8..2.7 by 0.1", "sizes": "US 4..13.5 by 1/2"}
SINGLES = 25


def at_once(folder: Path) -> Iterator[Line]:
    """All of them."""
    yield stl_against_raw(folder)
    yield recipes()
    yield inserts(folder)
    yield from rings()


def stl_against_raw(folder: Path) -> Line:
    """An STL written, against the same bytes written."""
    mesh = max(solids(ring(FORM, (WAVING,))).values(), key=lambda m: len(m.faces))
    content = bytes(stl_bytes(mesh, "x"))
    path = folder / "raw.stl"

    def raw(data: bytes) -> None:
        with path.open("wb") as file:
            file.write(data)

    full = least(lambda: raw(stl_bytes(mesh, "x")), runs=60)
    bare = least(lambda: raw(content), runs=60)
    return Line(
        what=f"an STL of {len(content):,} bytes",
        measured=f"{full * 1e3:.2f} ms, {full / bare:.2f} times a raw write of its bytes",
        wanted="below 3 times",
    )


def recipes() -> Line:
    """Colours of 10 000 recipes of eight metals, against a tenth of them asked one by one."""
    shares = np.random.default_rng(1).dirichlet([4, 2, 2, 0.3, 0.3, 0.1, 0.1, 0.1], 10_000)
    labs(shares[:10])
    together = least(labs, shares)
    single = 10 * least(lambda: [labs(row) for row in shares[:1000]], runs=2)
    return Line(
        what="colours of 10 000 recipes",
        measured=f"{together:.2f} s, one by one {single / together:.0f} times that",
        wanted="below 1 s",
    )


LEAF = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="3mm" height="2mm" viewBox="0 0 3 2">'
    '<path d="M0 1 C0.5 0 2 0 3 1 C2 2 0.5 2 0 1 Z"/></svg>'
)
COPIES = 24
INLAID = f"""
[job]
name = "Leaves"
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
file = "inlaid.svg"
alloy = "gold-750-green"
count = {COPIES}
height_mm = 1.0
mirrored = "across"
depth_mm = 0.6
gap_mm = {{ side = 0.03, floor = 0.02 }}
cutter_mm = 0.2
"""


def inserts(folder: Path) -> Line:
    """A motif inlay laid out and weighed anew: its drawing read, nothing kept."""
    (folder / "inlaid.svg").write_text(LEAF, "utf-8")
    (folder / "inlaid.toml").write_text(INLAID, "utf-8")
    design = read_design(folder / "inlaid.toml")

    def anew() -> None:
        figures._read.cache_clear()
        pockets._pockets.cache_clear()
        formed_of(asking_of(design, Shop()))

    return Line(
        what=f"a motif inlaid {COPIES} times, laid out and weighed",
        measured=f"{least(anew, runs=15) * 1e3:.0f} ms",
        wanted="below 300 ms",
    )


def rings() -> Iterator[Line]:
    """Grids of about 10 000 rings, of few sections and of many, against single rings."""
    in_alloys = {
        inlay: [f"{inlay}={name}" for name in REEDS] + [f"body={name}" for name in BODIES]
        for inlay in ("reed", "creeper")
    }
    grids: tuple[tuple[str, str, dict[str, Any], str], ...] = (
        ("heron", "27 sections", FEW | {"alloys": in_alloys["reed"]}, "below 2 s"),
        ("alder, waving", "27 sections", WIDE | {"alloys": in_alloys["creeper"]}, "below 2 s"),
        ("heron", "500 sections", MANY, ""),
    )
    for name, sections, axes, wanted in grids:
        design = read_design(DESIGNS / f"{name.split(',')[0]}.toml")
        many = Grid(design=design, shop=Shop(), asked=grid_asked(design, **axes))
        numbers = range(1, many.asked.rows, many.asked.rows // SINGLES)
        singles = [many.design_of(number) for number in numbers]
        job(singles[0])
        count = many.asked.rows
        alone = sum(seconds(job, one) for one in singles) / len(singles) * count
        together = least(lambda many=many: deque(many.rows(), maxlen=0), runs=2)
        yield Line(
            what=f"grid of {name}, {sections}, {count:,} rings",
            measured=f"{together:.2f} s, one by one {alone / together:.0f} times that",
            wanted=wanted,
        )
