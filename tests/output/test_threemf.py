"""3MF: lib3mf in strict mode reads every file without a warning, and reads what was meant."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import lib3mf
import numpy as np
import pytest
from judging.checks import judged
from judging.programs import LIB3MF

import ringgeom as rg
from ringgeom.asked import file_word
from ringgeom.colour import colour
from ringgeom.engraving.solid import lettered
from ringgeom.form.mesh import Mesh
from ringgeom.form.solid import solids
from ringgeom.output.threemf import Item, assembly_bytes, laid_out, plate_bytes

JobOf = Callable[[Path], rg.Job]
MadeOf = Callable[[Path], Path]

READ_MM = 2e-6
"""Written to a nanometre, read by lib3mf in 32 bits: half a unit in the last place of 30 mm."""


def model(content: bytes) -> Any:
    """A 3MF as lib3mf reads it, strictly and without a warning."""
    read = lib3mf.get_wrapper().CreateModel()
    reader = read.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromBuffer(content)
    count = reader.GetWarningCount()
    assert [reader.GetWarning(n) for n in range(count)] == []
    judged(LIB3MF, "warnings of a strict reading of every 3MF", count, 0, abs=0, why="none")
    return read


def mesh_objects(read: Any) -> list[Any]:
    found, iterator = [], read.GetMeshObjects()
    while iterator.MoveNext():
        found.append(iterator.GetCurrentMeshObject())
    return found


def vertices(mesh: Any) -> Any:
    return np.array([(*v.Coordinates,) for v in mesh.GetVertices()])


def faces(mesh: Any) -> Any:
    return np.array([(*t.Indices,) for t in mesh.GetTriangleIndices()])


def colours(read: Any) -> dict[str, str]:
    """The display colour of every mesh object by its name, #RRGGBB."""
    found = {}
    for mesh in mesh_objects(read):
        group_id, base, has = mesh.GetObjectLevelProperty()
        assert has
        shown = read.GetBaseMaterialGroupByID(group_id).GetDisplayColor(base)
        assert shown.Alpha == 255
        found[mesh.GetName()] = f"#{shown.Red:02X}{shown.Green:02X}{shown.Blue:02X}"
    return found


def items(read: Any) -> list[Any]:
    found, iterator = [], read.GetBuildItems()
    while iterator.MoveNext():
        found.append(iterator.GetCurrent())
    return found


def metadata(read: Any) -> dict[str, str]:
    group = read.GetMetaDataGroup()
    return {
        group.GetMetaData(n).GetName(): group.GetMetaData(n).GetValue()
        for n in range(group.GetMetaDataCount())
    }


def test_the_assembly(design_file: Path, job_of: JobOf, made_of: MadeOf) -> None:
    """One object of named, coloured components in place, each the solid of its part."""
    job = job_of(design_file)
    word = file_word(job.design.job.name)
    read = model((made_of(design_file) / f"{word}_assembly_mm.3mf").read_bytes())
    assert read.GetUnit() == lib3mf.ModelUnit.MilliMeter
    assert job.design.job.name in metadata(read)["Title"]
    assert "mm" in metadata(read)["Title"]
    (item,) = items(read)
    assert not item.HasObjectTransform()
    whole = read.GetComponentsObjectByID(item.GetObjectResource().GetUniqueResourceID())
    assert whole.GetComponentCount() == len(job.parts)
    in_place = [whole.GetComponent(n) for n in range(len(job.parts))]
    assert not any(component.HasTransform() for component in in_place)
    names = [component.GetObjectResource().GetName() for component in in_place]
    assert names == [f"{part.name} ({part.alloy.name})" for part in job.parts]
    assert colours(read) == {
        f"{part.name} ({part.alloy.name})": colour(part.alloy).hex for part in job.parts
    }
    assert job.ring is not None
    chord = job.shop.mesh.chord_mm
    plain = solids(job.ring, chord_mm=chord)
    finished = lettered(plain, job.engraved, job.insets, chord_mm=chord)
    for mesh, part in zip(mesh_objects(read), job.parts, strict=True):
        assert mesh.IsManifoldAndOriented()
        found = vertices(mesh)
        assert np.abs(found - finished[part.piece].vertices).max() < READ_MM
        assert (faces(mesh) == finished[part.piece].faces).all()
        # rounded as it is written: two corners that became one would open the mesh
        assert len(np.unique(found, axis=0)) == len(found)


def test_the_plate(design_file: Path, job_of: JobOf, made_of: MadeOf) -> None:
    """The scaled waxes side by side on z = 0, named like their STL files, none touching."""
    job = job_of(design_file)
    folder = made_of(design_file)
    (path,) = folder.glob("*_wax-plate_mm.3mf")
    read = model(path.read_bytes())
    assert read.GetUnit() == lib3mf.ModelUnit.MilliMeter
    assert "do not scale again" in metadata(read)["Title"]
    assert set(colours(read)) == {wax.stem for wax in (folder / "wax").iterdir()}
    assert set(colours(read).values()) == {colour(part.alloy).hex for part in job.parts}
    boxes = []
    for item in items(read):
        mesh = read.GetMeshObjectByID(item.GetObjectResource().GetUniqueResourceID())
        assert mesh.IsManifoldAndOriented()
        fields = np.array([list(row) for row in item.GetObjectTransform().Fields])
        assert (fields[:3] == np.eye(3)).all()
        found = vertices(mesh)
        assert len(np.unique(found, axis=0)) == len(found)
        stands = found + fields[3]
        assert stands[:, 2].min() == pytest.approx(0.0, abs=READ_MM)
        boxes.append((stands.min(axis=0), stands.max(axis=0)))
        # the same facets as the STL of that name, moved
        stl = (folder / "wax" / f"{mesh.GetName()}.stl").read_bytes()
        corners = np.frombuffer(
            stl, np.dtype([("n", "<f4", 3), ("c", "<f4", (3, 3)), ("a", "<u2")]), offset=84
        )["c"]
        assert np.abs(found[faces(mesh)] - corners).max() < READ_MM
    assert len(boxes) == sum(part.count for part in job.parts)
    for number, (low, high) in enumerate(boxes):
        for other_low, other_high in boxes[:number]:
            apart = np.maximum(low - other_high, other_low - high)[:2].max()
            # set 4 mm apart: room for a support and a cutter
            assert apart >= 4.0 - 4 * READ_MM


def test_rows_of_a_plate() -> None:
    """Derived: five boxes of 10 x 20 x 3 with 4 mm between make rows of three and two."""
    box = Mesh(
        np.array([[x, y, z] for x in (-5.0, 5) for y in (-10.0, 10) for z in (-1.0, 2)]),
        np.zeros((0, 3), dtype=np.int32),
    )
    assert laid_out([box] * 5, 4.0) == [
        (9, 14, 1),
        (23, 14, 1),
        (37, 14, 1),
        (9, 38, 1),
        (23, 38, 1),
    ]


# By hand

CORNER = Mesh(
    np.array([[0.0, 0, 0], [1, 0, 0], [0, 2, 0], [0, 0, 3]]),
    np.array([[0, 2, 1], [0, 1, 3], [0, 3, 2], [1, 2, 3]], dtype=np.int32),
)


def test_two_parts_by_hand() -> None:
    two = [
        Item(name="one", mesh=CORNER, colour="#D4AF37"),
        Item(name="two", mesh=CORNER.moved((5, 0, 0)), colour="#C0C0C0"),
    ]
    read = model(assembly_bytes(two, title="Both"))
    assert colours(read) == {"one": "#D4AF37", "two": "#C0C0C0"}
    one, other = mesh_objects(read)
    assert vertices(one).tolist() == CORNER.vertices.tolist()
    assert (vertices(other) - vertices(one) == [5, 0, 0]).all()
    assert len(items(model(plate_bytes(two, title="Both")))) == 2


@pytest.mark.parametrize(
    "name",
    [
        'R&D <"Zoë\'s">',
        "кольцо",
        "象嵌",
        "tab\there",
        "line\nbreak",
        "x" * 300,
        # no XML can hold these, escaped or not
        "bell\x07",
        "null\x00",
        "not a letter \ufffe",
    ],
)
def test_any_name(name: str) -> None:
    """An alloy of a recipe may be called anything; the file stays one that opens."""
    some = [Item(name=name, mesh=CORNER, colour="#D4AF37")]
    for content in (assembly_bytes(some, title=name), plate_bytes(some, title=name)):
        with zipfile.ZipFile(io.BytesIO(content)) as package:
            ElementTree.fromstring(package.read("3D/3dmodel.model"))
        (mesh,) = mesh_objects(model(content))
        assert mesh.GetName()
        if name.isprintable():
            assert mesh.GetName() == name


def test_nothing_in_it_tells_when_or_where(design_file: Path, made_of: MadeOf) -> None:
    """No dates, no chance, no paths: the package holds three parts and is the same each time."""
    for path in made_of(design_file).glob("*.3mf"):
        with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as package:
            assert package.testzip() is None
            assert package.namelist() == ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]
            assert {info.date_time for info in package.infolist()} == {(1980, 1, 1, 0, 0, 0)}
            root = ElementTree.fromstring(package.read("3D/3dmodel.model"))
        assert root.attrib["unit"] == "millimeter"
