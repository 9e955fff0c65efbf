"""How time grows with a ring: parts, waves, segments, letters, copies of a motif, rows of a grid.

A ring is drawn for each number, weighed (the whole job) and meshed as its files are; the power
of the number is fitted to the upper half of the sizes. Linear, or better, is the aim.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from pathlib import Path

from bench.timing import DESIGNS, Line, exponent, least

from ringgeom.design import Design, design_from_text, read_design
from ringgeom.engraving.solid import lettered
from ringgeom.form.solid import solids
from ringgeom.grid import Grid, grid_asked
from ringgeom.jobs import Job, job
from ringgeom.shop import Shop

BAND = """
[job]
name = "Growing"
[ring]
size = "ISO 60"
width_mm = {width}
thickness_mm = 2.4
outside = {{ form = "domed", rise_mm = 0.2 }}
[body]
alloy = "gold-750-yellow-3n"
"""
ALLOYS = ("gold-750-green", "gold-750-red-5n")
LEAF = DESIGNS / "linnet-leaf.svg"


def striped(count: int, _: Path) -> Design:
    """A band of so many stripes, the body between every two."""
    width = 0.4 * (2 * count + 1)
    parts = [
        f'[[part]]\nname = "p{n}"\nplace = "stripe"\nalloy = "{ALLOYS[n % 2]}"\n'
        f"from_mm = {-width / 2 + 0.4 * (2 * n + 1):.6f}\n"
        f"to_mm = {-width / 2 + 0.4 * (2 * n + 2):.6f}\n"
        for n in range(count)
    ]
    return design_from_text(BAND.format(width=width) + "".join(parts))


def waving(count: int, _: Path) -> Design:
    """One inlay with so many crests."""
    return design_from_text(
        BAND.format(width=8)
        + '[[part]]\nname = "creeper"\nplace = "channel"\nalloy = "gold-750-green"\n'
        + "width_mm = 2.0\n"
        + f"depth_mm = 0.8\nwave = {{ amplitude_mm = 0.3, count = {count} }}\n"
    )


def parted(count: int, _: Path) -> Design:
    """So many slanted segments."""
    return design_from_text(
        BAND.format(width=6).split("[body]")[0]
        + '[[part]]\nname = "s"\nplace = "segments"\n'
        + f'alloys = ["{ALLOYS[0]}", "{ALLOYS[1]}"]\ncount = {count}\nslant_deg = 10\n'
    )


def worded(count: int, _: Path) -> Design:
    """So many letters in the bore."""
    text = ("BROWNHEDGE" * (count // 10 + 1))[:count]
    return design_from_text(
        BAND.format(width=6)
        + f'[[engraving]]\nkind = "lettering"\ntext = "{text}"\non = "inside"\nheight_mm = 0.5\n'
        + "depth_mm = 0.1\n"
    )


def figured(count: int, folder: Path) -> Design:
    """So many copies of a leaf, its drawing beside the design."""
    text = (
        BAND.format(width=6)
        + f'[[engraving]]\nkind = "motif"\nfile = "{LEAF.name}"\ncount = {count}\n'
        + "length_mm = 0.5\ndepth_mm = 0.1\n"
    )
    (folder / LEAF.name).write_bytes(LEAF.read_bytes())
    (folder / "figured.toml").write_text(text, encoding="utf-8")
    return read_design(folder / "figured.toml")


KINDS: dict[str, tuple[Callable[[int, Path], Design], tuple[int, ...]]] = {
    "parts": (striped, (2, 4, 8, 16, 32)),
    "crests of a wave": (waving, (2, 4, 8, 16, 32)),
    "segments": (parted, (4, 8, 16, 32, 64)),
    "letters": (worded, (5, 10, 20, 40, 80)),
    "copies of a motif": (figured, (6, 12, 24, 48, 96)),
}


def meshed(found: Job) -> None:
    """The finished ring in solids, with what is engraved."""
    assert found.ring is not None
    lettered(solids(found.ring), found.engraved, chord_mm=0.005)


def growth(folder: Path) -> Iterator[Line]:
    """Every kind, then the rows of a grid."""
    for kind, (drawn, sizes) in KINDS.items():
        weighed, solid = {}, {}
        for count in sizes:
            design = drawn(count, folder)
            made = job(design)
            if made.stopped:
                raise SystemExit(next(f.text for f in made.findings if f.level == "stop"))
            weighed[count] = least(job, design, runs=3)
            solid[count] = least(meshed, made, runs=3)
        few, most = sizes[0], sizes[-1]
        yield Line(
            what=f"{few} to {most} {kind}",
            measured=f"weighed in {weighed[few]:.3f} to {weighed[most]:.3f} s, power "
            f"{exponent(weighed):.2f}; meshed in {solid[few]:.3f} to {solid[most]:.3f} s, power "
            f"{exponent(solid):.2f}",
            wanted="power 1",
        )
    yield rows()


def rows() -> Line:
    """A grid of sizes and widths."""
    design = read_design(DESIGNS / "heron.toml")
    taken = {}
    for step in (1.6, 0.8, 0.4, 0.2, 0.1):
        axes = {"sizes": "US 4..13 by 1/4", "widths": f"5..8.2 by {step}"}
        many = Grid(design=design, shop=Shop(), asked=grid_asked(design, **axes))
        taken[many.asked.rows] = least(lambda many=many: deque(many.rows(), maxlen=0), runs=3)
    few, most = min(taken), max(taken)
    return Line(
        what=f"{few} to {most:,} rows of a grid",
        measured=f"{taken[few]:.3f} to {taken[most]:.3f} s, power {exponent(taken):.2f}",
        wanted="power 1",
    )
