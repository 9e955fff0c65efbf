"""Every file of a job, by name: waxes, assembly, plate, try-on ring, weights and the job itself."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from ringgeom.asked import file_word
from ringgeom.engraving.solid import lettered
from ringgeom.errors import StopError
from ringgeom.form.ring import ring
from ringgeom.form.solid import solids
from ringgeom.jobs import Job
from ringgeom.making.wax import Wax, waxes
from ringgeom.output.folder import LIST_NAME, Content, write_files, written_before
from ringgeom.output.json import job_json, json_text
from ringgeom.output.stl import stl_bytes
from ringgeom.output.table import weights_csv
from ringgeom.output.threemf import Item, assembly_bytes, plate_bytes

if TYPE_CHECKING:
    from ringgeom.output.pictures import Pictures

Told = Callable[[str], None]


def _quiet(step: str) -> None:
    """Say nothing."""


def write(
    job: Job,
    out: str | Path = "exports",
    *,
    pictures: Pictures | None = None,
    told: Told = _quiet,
) -> list[Path]:
    """Write everything of a job into its own folder under `out`.

    Parameters
    ----------
    pictures : Pictures, optional
        Made by `ringgeom.output.pictures.pictures`; none are written without.
    told : callable
        Called with the name of every step.

    Raises
    ------
    StopError
        A finding stops the design; nothing is written.
    OutputError
        The folder cannot be written; nothing is changed.
    """
    folder = Path(out) / file_word(job.design.job.name)
    return _written(job, folder, _everything(job, pictures, told), told, keeps=lambda name: False)


def job_files(job: Job, *, told: Told = _quiet) -> dict[str, Content]:
    """Everything of a job by name, the job itself too; StopError as in `write`."""
    return _listed(job, _everything(job, None, told), set())


def _everything(job: Job, pictures: Pictures | None, told: Told) -> dict[str, Content]:
    files: dict[str, Content] = dict(wax_files(job, told=told))
    files.update(_assembly(job, told))
    told("sheet, card, templates")
    files.update(sheet_files(job, pictures=pictures))
    if pictures is not None:
        from ringgeom.output.picture_files import picture_files

        files.update(picture_files(job, pictures))
    told("weights and job")
    files["weights.csv"] = weights_csv(job).encode("utf-8")
    return files


def write_waxes(job: Job, out: str | Path = "exports", *, told: Told = _quiet) -> list[Path]:
    """Write the waxes, their plate and the job; errors as in `write`."""
    files: dict[str, Content] = dict(wax_files(job, told=told))
    folder = Path(out) / file_word(job.design.job.name)
    return _written(job, folder, files, told, keeps=lambda name: not name.startswith("wax/"))


def write_sheets(
    job: Job, out: str | Path = "exports", *, paper: str = "", told: Told = _quiet
) -> list[Path]:
    """Write the bench sheet, the card and the templates; errors as in `write`.

    Parameters
    ----------
    paper : str
        A4 or Letter; the shop's own without.
    """
    told("sheet, card, templates")
    files: dict[str, Content] = dict(sheet_files(job, paper))
    folder = Path(out) / file_word(job.design.job.name)
    return _written(job, folder, files, told, keeps=lambda name: True)


def sheet_files(
    job: Job, paper: str = "", *, pictures: Pictures | None = None
) -> Iterator[tuple[str, Content]]:
    """What is printed: the bench sheet, the card with a picture, templates at true scale."""
    from ringgeom.drawing.section import enlarged_section
    from ringgeom.output.laser_files import laser_files
    from ringgeom.output.svg import drawing_svg
    from ringgeom.output.template_files import template_files
    from ringgeom.sheet.bench import bench_sheet
    from ringgeom.sheet.card import client_card
    from ringgeom.sheet.paper import paper_named

    if job.ring is None:
        raise StopError("a finding stops this design: no sheet is drawn")
    size = paper_named(paper or job.shop.sheet.paper)
    word = short(file_word(job.design.job.name), 200)
    yield f"{word}_bench-sheet_{size.name}.pdf", bench_sheet(job, size)
    shown = None if pictures is None else pictures.pictures[0].png
    yield f"{word}_card_{size.name}.pdf", client_card(job, size, picture=shown)
    title = f"{job.design.job.name}, cut section"
    yield f"{word}_section.svg", drawing_svg(enlarged_section(job), title=title)
    for name, content in template_files(job, size):
        yield f"templates/{word}_{name}", content
    for name, content in laser_files(job):
        yield f"laser/{word}_{name}", content


def _written(
    job: Job,
    folder: Path,
    files: dict[str, Content],
    told: Told,
    *,
    keeps: Callable[[str], bool],
) -> list[Path]:
    """Write files; of those that an earlier run listed, some are kept with them."""
    told("writing")
    return write_files(folder, lambda before: _listed(job, files, set(filter(keeps, before))))


def _listed(job: Job, files: dict[str, Content], others: set[str]) -> dict[str, Content]:
    """The files with the job among them, which lists them all."""
    data = job_json(job)
    data["files"] = sorted({*files, *others, LIST_NAME})
    return files | {LIST_NAME: json_text(data).encode("utf-8")}


def left_from_before(job: Job, out: str | Path) -> Path | None:
    """The job's folder, if an earlier run left its files there."""
    folder = Path(out) / file_word(job.design.job.name)
    return folder if written_before(folder) else None


def wax_files(job: Job, *, told: Told = _quiet) -> Iterator[tuple[str, Content]]:
    """One STL per part and one plate of all; scaled, as cast, in mm."""
    if job.ring is None:
        raise StopError("a finding stops this design: no waxes are made")
    told("solids with stock")
    sprues = {
        part.name: sprue
        for casting in job.castings
        for part, sprue in zip(casting.parts, casting.sprues, strict=True)
    }
    found = waxes(job.ring, job.parts, sprues, job.shop, job.engraved, job.insets)
    name = job.design.job.name
    names = wax_names(name, found)
    for wax, word in zip(found, names, strict=True):
        told(f"wax of {wax.part.name}")
        yield f"wax/{word}.stl", stl_bytes(wax.mesh, _title(name, wax))
    told("plate")
    colours = swatches(job)
    items = [
        Item(name=word, mesh=wax.mesh, colour=colours[wax.part.alloy.name], count=wax.count)
        for wax, word in zip(found, names, strict=True)
    ]
    title = f"{name}: waxes in mm, already scaled, do not scale again"
    yield f"{short(file_word(name), 200)}_wax-plate_mm.3mf", plate_bytes(items, title=title)


def swatches(job: Job) -> dict[str, str]:
    """#RRGGBB of every alloy's predicted colour, by its name."""
    return {alloy.name: found.hex for alloy, found in job.colours}


def wax_name(job_name: str, wax: Wax) -> str:
    """Name of a wax: job, part, alloy, mm, the scale it already carries, and what is special."""
    part, scale = wax.part, wax.part.scale
    words = [
        short(file_word(job_name), 70),
        short(file_word(part.name), 80),
        short(file_word(part.alloy.name), 45) or "alloy",
    ]
    if wax.number:
        words.append(f"pattern-{wax.number}")
    if wax.count > 1:
        words.append(f"{wax.count}-of-it")
    told = f"scaled-{scale.scale:.4f}" if scale.scale != 1 else "not-scaled"
    if not scale.known:
        told += "-shrink-guessed"
    if wax.with_sprue:
        told += "_with-sprue"
    return "_".join([*words, "mm", told])


def short(word: str, most_bytes: int) -> str:
    """A word cut so that its UTF-8 fits: file systems take 255 bytes in a name."""
    return word.encode()[:most_bytes].decode(errors="ignore").rstrip("-.")


def wax_names(job_name: str, found: Sequence[Wax]) -> list[str]:
    """Names of all waxes, told apart by a number where cutting made two alike."""
    names: list[str] = []
    for wax in found:
        name, number = wax_name(job_name, wax), 1
        while name in names:
            number += 1
            name = f"{wax_name(job_name, wax)}_{number}"
        names.append(name)
    return names


def _title(job_name: str, wax: Wax) -> str:
    size, plate = wax.part.wax, wax.part.plate
    if plate is not None:
        low, high = wax.mesh.bounds_mm()
        long, wide, thick = (high - low).tolist()
        return (
            f"{wax.part.name} x{wax.part.scale.scale:.4f} {wax.count}pcs "
            f"{long:.2f}/{wide:.2f}/{thick:.2f} {job_name}"
        )
    return (
        f"{wax.part.name} x{wax.part.scale.scale:.4f} "
        f"{size.bore_mm:.2f}/{size.outside_mm:.2f}/{size.width_mm:.2f} {job_name}"
    )


def _assembly(job: Job, told: Told) -> Iterator[tuple[str, Content]]:
    assert job.ring is not None
    word, chord = short(file_word(job.design.job.name), 200), job.shop.mesh.chord_mm
    told("solids as finished")
    plain = solids(job.ring, chord_mm=chord)
    meshes = lettered(plain, job.engraved, job.insets, chord_mm=chord)
    told("assembly")
    colours = swatches(job)
    items = [
        Item(
            name=f"{part.name} ({part.alloy.name})",
            mesh=meshes[part.piece],
            colour=colours[part.alloy.name],
        )
        for part in job.parts
    ]
    title = f"{job.design.job.name}, finished size in mm, bore {job.made.inside_diameter_mm:.2f}"
    yield f"{word}_assembly_mm.3mf", assembly_bytes(items, title=title)
    told("try-on ring")
    whole = replace(job.form, proud_mm=max(0.0, job.form.proud_mm))
    (band,) = solids(ring(whole, ()), chord_mm=chord).values()
    label = f"{job.design.job.name} try-on, one piece, bore {job.made.inside_diameter_mm:.2f}"
    yield f"{word}_try-on_mm_not-scaled.stl", stl_bytes(band, label)
