"""3MF: an assembly of named, coloured components, or a plate of parts set apart for printing.

Core specification 1.4.0 (read): unit millimetre, meshes closed and outward, no property on
an object of components, overlapping build items united by the receiver; so an assembly is
one object and a plate has its parts apart. No dates and no random numbers: identical input
gives identical bytes.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

import numpy as np

from ringgeom.form.mesh import Mesh

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
RELATIONS = "http://schemas.openxmlformats.org/package/2006"
EPOCH = (1980, 1, 1, 0, 0, 0)
DIGITS = 6
"""Decimals of a coordinate: a nanometre, so that no two corners fall together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A mesh with its name and its colour for display, #RRGGBB; on a plate so many times."""

    name: str
    mesh: Mesh
    colour: str
    count: int = 1


def assembly_bytes(items: Sequence[Item], *, title: str) -> bytes:
    """All parts in place as the components of one object."""
    components = "".join(f'<component objectid="{n + 2}"/>' for n in range(len(items)))
    whole = len(items) + 2
    grouped = (
        f'<object id="{whole}" type="model" name={_quoted(title)}>'
        f"<components>{components}</components></object>"
    )
    return _package(items, grouped, f'<item objectid="{whole}"/>', title)


def plate_bytes(items: Sequence[Item], *, title: str, apart_mm: float = 4.0) -> bytes:
    """The parts laid out side by side on z = 0, each its own item, like ones of one object."""
    each = [n for n, item in enumerate(items) for _ in range(item.count)]
    places = laid_out([items[n].mesh for n in each], apart_mm)
    build = "".join(
        f'<item objectid="{n + 2}" transform="1 0 0 0 1 0 0 0 1 {x:.{DIGITS}f} {y:.{DIGITS}f} '
        f'{z:.{DIGITS}f}"/>'
        for n, (x, y, z) in zip(each, places, strict=True)
    )
    return _package(items, "", build, title)


def laid_out(meshes: Sequence[Mesh], apart_mm: float) -> list[tuple[float, float, float]]:
    """Shifts that set meshes apart in rows of about a square, all on z = 0 [mm]."""
    row = max(1, round(len(meshes) ** 0.5 + 0.499))
    shifts = []
    x = y = apart_mm
    deepest = 0.0
    for number, mesh in enumerate(meshes):
        low, high = mesh.bounds_mm()
        if number and number % row == 0:
            x, y, deepest = apart_mm, y + deepest + apart_mm, 0.0
        shifts.append((x - float(low[0]), y - float(low[1]), -float(low[2])))
        x += float(high[0] - low[0]) + apart_mm
        deepest = max(deepest, float(high[1] - low[1]))
    return shifts


def _package(items: Sequence[Item], objects: str, build: str, title: str) -> bytes:
    colours = sorted({item.colour for item in items})
    names = {colour: [i.name for i in items if i.colour == colour] for colour in colours}
    bases = "".join(
        f'<base name={_quoted(", ".join(names[colour])[:200])} displaycolor="{colour}"/>'
        for colour in colours
    )
    meshes = "".join(
        f'<object id="{n + 2}" type="model" name={_quoted(item.name)} pid="1" '
        f'pindex="{colours.index(item.colour)}">{_mesh(item.mesh)}</object>'
        for n, item in enumerate(items)
    )
    model = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<model unit="millimeter" xml:lang="en-US" xmlns="{CORE}">'
        f'<metadata name="Title">{_text(title)}</metadata>'
        '<metadata name="Application">ringgeom</metadata>'
        f'<resources><basematerials id="1">{bases}</basematerials>{meshes}{objects}</resources>'
        f"<build>{build}</build></model>"
    )
    types = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<Types xmlns="{RELATIONS}/content-types">'
        '<Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="model" '
        'ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'
    )
    relations = (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<Relationships xmlns="{RELATIONS}/relationships">'
        '<Relationship Target="/3D/3dmodel.model" Id="rel0" '
        'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'
    )
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        for path, content in (
            ("[Content_Types].xml", types),
            ("_rels/.rels", relations),
            ("3D/3dmodel.model", model),
        ):
            info = zipfile.ZipInfo(path, EPOCH)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = 0o644 << 16
            archive.writestr(info, content)
    return stream.getvalue()


def _mesh(mesh: Mesh) -> str:
    scaled = np.round(mesh.vertices, DIGITS) + 0.0
    vertices = "".join(
        f'<vertex x="{x:.{DIGITS}f}" y="{y:.{DIGITS}f}" z="{z:.{DIGITS}f}"/>'
        for x, y, z in scaled.tolist()
    )
    triangles = "".join(
        f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.faces.tolist()
    )
    return f"<mesh><vertices>{vertices}</vertices><triangles>{triangles}</triangles></mesh>"


NOT_XML = re.compile("[^\\x20-\\ud7ff\\ue000-\\ufffd\\U00010000-\\U0010ffff]")


def _plain(words: str) -> str:
    """Words without what XML cannot hold."""
    return NOT_XML.sub(" ", words)


def _quoted(words: str) -> str:
    return quoteattr(_plain(words))


def _text(words: str) -> str:
    words = _plain(words)
    return words.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
