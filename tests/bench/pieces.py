"""Reference pieces made by this project and by an exact B-rep kernel, at the same chord.

Build, exact volume, mesh, binary STL per part. R1 to R4 are those of the published volumes;
R5 is R2 with ten letters cut into its bore, down to a flat floor.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bench.timing import Line, least, seconds
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from referees import kernel_pieces
from referees.kernel_letters import letter
from referees.kernel_region import listed

from ringgeom.engraving.asked import Lettering
from ringgeom.engraving.engraved import Engraved, engraved
from ringgeom.engraving.row import row
from ringgeom.engraving.solid import lettered
from ringgeom.form.places import Channel, Gap, Segments
from ringgeom.form.profiles import Domed
from ringgeom.form.ring import RingForm, ring
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes
from ringgeom.output.stl import stl_bytes

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
TWELVE = Segments(name="s", place="segments", alloys=["gold-1000"], count=12)
PLACES = {"R1": (), "R2": (STRAIGHT,), "R3": (WAVING,), "R4": (TWELVE,)}
WORDS = {
    "R1": "plain domed band",
    "R2": "straight channel",
    "R3": "waving channel",
    "R4": "twelve sectors",
}
WANTED = {"R1": 20, "R2": 100, "R3": 300, "R4": None}
RUNS = {"R1": 11, "R2": 7, "R3": 3, "R4": 5}
OURS_A_RUN = 15
CHORD_MM = 0.005


def ours(piece: str, folder: Path) -> dict[Any, Any]:
    """The same job as the kernel's: build, volume, mesh, one STL per part."""
    laid = ring(FORM, PLACES[piece])
    volumes(laid)
    meshes = solids(laid, chord_mm=CHORD_MM)
    for number, mesh in enumerate(meshes.values()):
        with (folder / f"{piece}-{number}.stl").open("wb") as file:
            file.write(stl_bytes(mesh, piece))
    return meshes


def against_the_kernel(folder: Path) -> Iterator[Line]:
    """R1 to R5: our time, the kernel's, their ratio, and how far both meshes lie off."""
    for piece, runs in RUNS.items():
        meshes = ours(piece, folder)
        kernel_pieces.made(piece, folder)
        mine, theirs = [], []
        for _ in range(runs):
            mine += [seconds(ours, piece, folder) for _ in range(OURS_A_RUN)]
            theirs.append(seconds(kernel_pieces.made, piece, folder))
        yield compared(
            f"{piece}, {WORDS[piece]}",
            (min(mine), min(theirs)),
            deviations(meshes, next(iter(kernel_pieces.built(piece).values()))),
            WANTED[piece],
        )
    yield letters(folder)


def compared(
    what: str, times: tuple[float, float], off: tuple[float, float], wanted: int | None
) -> Line:
    """One piece in words."""
    mine, theirs = times
    return Line(
        what=f"{what}: build, volume, mesh, STL",
        measured=f"{mine * 1e3:.2f} ms, exact kernel {theirs * 1e3:.1f} ms: "
        f"{theirs / mine:.0f} times; deviation {off[0]:.4f} and {off[1]:.4f} mm",
        wanted=f"{wanted} times" if wanted else "",
    )


def deviations(meshes: dict[Any, Any], exact: Any) -> tuple[float, float]:
    """Greatest distance of our mesh and of the kernel's from the exact surface [mm].

    Of the largest part; where all are alike, as sectors, of the first.
    """
    kernel_pieces.meshed(exact, CHORD_MM)
    ours_ = max(meshes.values(), key=lambda mesh: len(mesh.faces))
    if len({len(mesh.faces) for mesh in meshes.values()}) == 1:
        ours_ = next(iter(meshes.values()))
    mine = kernel_pieces.measured_deviation_mm(exact, (ours_.vertices, ours_.faces))
    theirs = kernel_pieces.measured_deviation_mm(exact, kernel_pieces.mesh_of(exact))
    return mine, theirs


TEXT = "BROWNHEDGE"
LETTERED = {"kind": "lettering", "height_mm": 1.5, "floor": "flat", "at": "3:00"}


def ours_lettered(folder: Path) -> tuple[Engraved, dict[Any, Any]]:
    """R5: the whole job, its font too."""
    laid = ring(FORM, PLACES["R2"])
    volumes(laid)
    asked = Lettering(**{"text": TEXT, **LETTERED})
    (found,) = engraved(laid, [asked], [row(asked)])
    meshes = lettered(solids(laid, chord_mm=CHORD_MM), [found], chord_mm=CHORD_MM)
    for number, mesh in enumerate(meshes.values()):
        with (folder / f"lettered-{number}.stl").open("wb") as file:
            file.write(stl_bytes(mesh, "lettered"))
    return found, meshes


def kernel_lettered(folder: Path, found: Engraved) -> Any:
    """The same by the kernel, which is given the outlines: build, cut, volume, mesh, STL."""
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
        kernel_pieces.volume_mm3(shape)
        kernel_pieces.meshed(shape)
        kernel_pieces.write_stl(shape, folder / f"lettered-{name}.stl")
    return parts["band"]


def letters(folder: Path) -> Line:
    """R5; one run of the kernel, which takes seconds."""
    found, meshes = ours_lettered(folder)
    mine = least(ours_lettered, folder, runs=OURS_A_RUN)
    begun = time.perf_counter()
    cut = kernel_lettered(folder, found)
    theirs = time.perf_counter() - begun
    return compared("R5, ten letters in R2's bore", (mine, theirs), deviations(meshes, cut), 50)
