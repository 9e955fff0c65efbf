"""One design judged from its text to its files, by programs that no one here wrote.

What is looked at: nothing but our own errors; every solid as a reader of the written file gets
it, closed and right side out; parts apart; volumes that add up to the band; meshes within their
stated bound of the exact volume; findings that say what an independent drawing measures.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import traceback
import warnings
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
import trimesh
from form.outlines import asked, circle, is_line, measured, section_edges
from manifold3d import Error, Manifold, Mesh64, OpType
from manifold3d import Mesh as PlainMesh
from proof.designs import Keys, document
from proof.second_section import disagreements

import ringgeom as rg
from ringgeom.engraving.solid import lettered
from ringgeom.errors import InputError, ShapeError
from ringgeom.form.mesh import Mesh
from ringgeom.form.ring import ring
from ringgeom.form.solid import solids
from ringgeom.form.volume import volumes
from ringgeom.making.wax import waxes
from ringgeom.output.pack import job_files
from ringgeom.output.stl import FACET, stl_bytes

OVERLAP_MM3 = 1e-4
"""A ten-thousandth of a milligram or two."""

BAND_MM3 = 1e-6
"""Sums of some dozens of volumes of at most a thousand mm3, quadrature to 1e-12 of each."""

MEANT = r"stock of |rounded by |slant|other pieces with its stock"
"""Refusals for a measure that does not fit; any other says that the program lost its way."""

ADMESH = shutil.which("admesh")


@dataclass(slots=True)
class Verdict:
    """How a design ended, what was looked at, and every fault."""

    ended: str = ""
    faults: list[tuple[str, str]] = field(default_factory=list)
    meshes: int = 0
    rails: int = 0
    findings: int = 0
    worst: dict[str, float] = field(default_factory=dict)

    def at_most(self, what: str, value: float, limit: float, said: str = "") -> None:
        """A value that must not be above its limit; the worst share of it is kept."""
        self.worst[what] = max(self.worst.get(what, 0.0), value)
        if not value <= limit:
            self.faults.append((what, f"{value:.3g} > {limit:.3g} {said}"))


def judged(
    design: Keys,
    shop: Keys,
    folder: Path,
    *,
    meshes: bool = True,
    files: bool = False,
    admesh: bool = False,
) -> Verdict:
    """Read, lay out, mesh and judge a design.

    Parameters
    ----------
    folder : Path
        Where its drawings lie; a scratch place for files.
    meshes : bool
        Make its solids and waxes and judge them; without, volumes and findings only.
    files : bool
        Make every file of the job too, sheets and all.
    admesh : bool
        Ask admesh about every wax.
    """
    found = Verdict()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            _judged(found, design, shop, folder, meshes=meshes, files=files, admesh=admesh)
    except Exception as error:
        last = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(last.filename).name}:{last.lineno}"
        found.ended = "traceback"
        found.faults.append(("traceback", f"{type(error).__name__} {where} {str(error)[:200]}"))
    return found


def _judged(
    found: Verdict,
    design: Keys,
    shop: Keys,
    folder: Path,
    *,
    meshes: bool,
    files: bool,
    admesh: bool,
) -> None:
    path = folder / "proof.toml"
    path.write_text(document(design), "utf-8")
    try:
        settings = rg.shop_from_text(document(shop))
        job = rg.job(rg.read_design(path), settings)
    except InputError as refused:
        found.ended = "refused"
        if not all(problem.text for problem in refused.problems):
            found.faults.append(("words", "a problem without words"))
        return
    for finding in job.findings:
        if finding.code == "cannot-be-laid-out" and not re.search(MEANT, finding.text):
            found.faults.append(("not laid out", finding.text))
    for said in disagreements(job, found):
        found.faults.append(("finding", said))
    if job.stopped:
        found.ended = "stopped"
        if job.parts:
            found.faults.append(("words", "stopped, and has parts"))
        return
    _sums(found, job)
    if not meshes:
        found.ended = "weighed"
        return
    chord = settings.mesh.chord_mm
    try:
        plain = solids(job.ring, chord_mm=chord)
        finished = lettered(plain, job.engraved, job.insets, chord_mm=chord)
        sprues = {
            part.name: sprue
            for casting in job.castings
            for part, sprue in zip(casting.parts, casting.sprues, strict=True)
        }
        cast = waxes(job.ring, job.parts, sprues, settings, job.engraved, job.insets)
    except ShapeError as error:
        found.ended = "no solid"
        if re.search(r"^the sprue of |million facets", str(error)):
            return  # told with a way out: no room for it where the shop wants it, or too steep
        found.faults.append(("no solid", re.sub(r"[\d.]+", "#", str(error))[:160]))
        return
    found.ended = "made"
    for part in job.parts:
        if part.piece not in finished:
            found.faults.append(("mesh", f"{part.name} has no solid"))
            return
    for part in job.parts:
        mesh = finished[part.piece]
        _closed(found, mesh, f"{part.name} finished")
        _bound(found, mesh, part.volume_mm3, job, chord, part.piece)
    exact = volumes(job.ring, with_stock=True)
    for wax in cast:
        _closed(found, wax.mesh, f"{wax.part.name} cast", admesh=folder if admesh else None)
        drawn_in = job.insets or any(one.cast_in for one in job.engraved)
        if not wax.with_sprue and not drawn_in:
            unscaled = wax.mesh.scaled(1 / wax.part.scale.scale)
            volume = exact[wax.part.cast_piece].volume_mm3
            _bound(found, unscaled, volume, job, chord, wax.part.cast_piece, cast=True)
    _apart(found, job, [finished[part.piece] for part in job.parts], chord)
    if files:
        for name, content in job_files(job).items():
            if not content or Path(name).is_absolute() or ".." in Path(name).parts:
                found.faults.append(("files", name))


def _sums(found: Verdict, job: rg.Job) -> None:
    """Parts, gaps and what is engraved are the band; grams are volume times density."""
    # what is raised counts below nothing
    engraved = sum(one.removed_mm3 for one in job.engraved)
    whole = sum(volume.volume_mm3 for _, volume in job.volumes)
    gaps = sum(v.volume_mm3 for p, v in job.volumes if p.owner.kind not in ("part", "body"))
    parts = sum(part.volume_mm3 for part in job.parts)
    form = replace(job.form, proud_mm=0.0)
    if job.form.proud_mm <= 0:
        (band,) = (volume.volume_mm3 for volume in volumes(ring(form, ())).values())
        found.at_most(
            "parts, gaps, engraved - band mm3", abs(parts + gaps + engraved - band), BAND_MM3
        )
        if not form.edge_mm and form.taper is None:
            plain = measured(asked(form)).volume
            share = abs(band - plain) / plain
            # in the second drawing an arc's radius, cubed, is subtracted from itself
            bends = [circle(e).radius for e in section_edges(asked(form)) if not is_line(e)]
            lost = 8 * np.finfo(float).eps * max(bends, default=0.0) ** 3 / plain
            found.at_most("band - second drawing, share", share, max(1e-9, lost))
    else:
        # what stands above the outside is the body's alone
        if job.insets:
            return
        level = ring(form, job.design.parts)
        below = {p: v.volume_mm3 for p, v in volumes(level).items() if p.owner.kind != "body"}
        same = {p: v.volume_mm3 for p, v in job.volumes if p.owner.kind != "body"}
        keys = below.keys() | same.keys()
        most = max((abs(below.get(k, 0.0) - same.get(k, 0.0)) for k in keys), default=0.0)
        found.at_most("parts under a proud body mm3", most, BAND_MM3)
        found.at_most(
            "parts and engraved - volumes mm3", abs(parts + gaps + engraved - whole), BAND_MM3
        )
    grams = sum(p.volume_mm3 * p.alloy.density_g_cm3 / 1000 for p in job.parts)
    found.at_most("grams - volume x density", abs(job.finished_g - grams), 1e-9)


def _bound(
    found: Verdict,
    mesh: Mesh,
    exact: float,
    job: rg.Job,
    chord: float,
    piece: Any,
    cast: bool = False,
) -> None:
    """No point of the surface is further off than the chord; letters have a bound of their own."""
    a, b, c = np.moveaxis(mesh.corners, 1, 0)
    surface = 0.5 * float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum())
    limit = chord * surface
    for one in job.engraved:
        if not cast and piece in dict(one.removed):
            for carved in one.carved:
                limit += chord * sum(
                    2 * s.area_mm2 + s.outline_mm * (carved.relief.depth_mm + 0.2)
                    for s in carved.shapes
                )
    off = abs(mesh.volume_mm3() - exact)
    found.at_most("mesh - exact volume, share of its bound", off / limit, 1.0, str(piece))


def _closed(found: Verdict, mesh: Mesh, name: str, admesh: Path | None = None) -> None:
    """As a reader of the file gets it: 32-bit corners, joined where they are the same."""
    found.meshes += 1
    data = bytes(stl_bytes(mesh, name))
    read = trimesh.load(io.BytesIO(data), file_type="stl")
    for what, good in (
        ("open", read.is_watertight),
        ("turned", read.is_winding_consistent),
        ("inside out", read.volume > 0),
        ("facets lost", len(read.faces) == len(mesh.faces)),
    ):
        if not good:
            found.faults.append(("mesh", f"{what} by trimesh: {name}"))
    corners = np.frombuffer(data, FACET, offset=84)["corners"].reshape(-1, 3)
    rows = np.ascontiguousarray(corners + np.float32(0)).view(np.void(b"\0" * 12).dtype)
    _, first, which = np.unique(rows, return_index=True, return_inverse=True)
    other = Manifold(
        PlainMesh(vert_properties=corners[first], tri_verts=which.reshape(-1, 3).astype("u4"))
    )
    if other.status() != Error.NoError or other.volume() <= 0:
        found.faults.append(("mesh", f"{other.status()} {other.volume():.3g} by manifold: {name}"))
    if admesh is not None and ADMESH is not None:
        for what in mended(data, admesh):
            found.faults.append(("mesh", f"{what} by admesh: {name}"))


FLAT_MM = 2e-5

MENDED = (
    "Degenerate facets", "Edges fixed", "Facets removed", "Facets added", "Facets reversed",
    "Backwards edges", "Normals fixed",
)  # fmt: skip


def mended(data: bytes, folder: Path) -> Iterator[str]:
    """What admesh would mend of a file."""
    path = folder / "proof.stl"
    path.write_bytes(data)
    checks = ["--exact", "--remove-unconnected", "--fill-holes", "--normal-directions"]
    done = subprocess.run(
        [str(ADMESH), *checks, "--normal-values", str(path)],
        capture_output=True, encoding="latin-1", check=True, timeout=120,
    )  # fmt: skip
    corners = np.frombuffer(data, FACET, offset=84)["corners"].reshape(-1, 3, 3).astype(float)
    sides = np.roll(corners, -1, axis=1) - corners
    area = 0.5 * np.linalg.norm(np.cross(sides[:, 0], sides[:, 1]), axis=1)
    # a facet flatter than a step of 32-bit numbers has no normal that two programs agree on
    flat = int((2 * area / np.linalg.norm(sides, axis=2).max(axis=1) < FLAT_MM).sum())
    for what in MENDED:
        (number,) = re.findall(rf"{re.escape(what)}\s*:\s*(-?[\d.]+)", done.stdout)
        if float(number) > (flat if what == "Normals fixed" else 0):
            yield f"{what} {number}"


def _apart(found: Verdict, job: rg.Job, meshes: list[Mesh], chord: float) -> None:
    """All parts together against their union: nothing lies in two, but what is pressed in."""
    parts = [
        Manifold(Mesh64(vert_properties=m.vertices, tri_verts=m.faces.astype("u8"))) for m in meshes
    ]
    twice = sum(m.volume_mm3() for m in meshes) - Manifold.batch_boolean(parts, OpType.Add).volume()
    pressed = -sum(
        v.volume_mm3
        for p, v in job.volumes
        if p.owner.kind not in ("part", "body") and v.volume_mm3 < 0
    )
    if pressed < BAND_MM3:
        if abs(twice) > OVERLAP_MM3:
            # a union of many faces that touch loses slivers between them: pair by pair then
            twice = sum(abs((a ^ b).volume()) for a, b in combinations(parts, 2))
        found.at_most("overlap mm3", abs(twice), OVERLAP_MM3)
        return
    surface = sum(
        0.5 * float(np.linalg.norm(np.cross(c[:, 1] - c[:, 0], c[:, 2] - c[:, 0]), axis=1).sum())
        for c in (m.corners for m in meshes)
    )
    found.at_most(
        "overlap - press fit, share of its bound", abs(twice - pressed) / (chord * surface), 1.0
    )
