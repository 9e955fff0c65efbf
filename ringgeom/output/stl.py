"""Binary STL: 84 bytes, then 50 a facet. It carries no unit: these files are in mm, and say so."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ringgeom.form.mesh import Mesh

FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", 9), ("spare", "<u2")])
HEADER_BYTES = 80


def stl_bytes(mesh: Mesh, title: str) -> bytearray:
    """A closed mesh as binary STL, normals outward; the same mesh gives the same bytes.

    Parameters
    ----------
    title : str
        Written into the header; what does not fit is cut.
    """
    corners = mesh.vertices.astype("<f4").take(mesh.faces.ravel(), axis=0).reshape(-1, 9)
    written = bytearray(HEADER_BYTES + 4 + FACET.itemsize * len(corners))
    facets = np.frombuffer(written, dtype=FACET, offset=HEADER_BYTES + 4)
    facets["corners"] = corners
    facets["normal"] = _normals(corners)
    # a header that begins with "solid" would be taken for the text form
    header = f"binary STL in mm: {title}".encode("ascii", "replace")[:HEADER_BYTES]
    written[:HEADER_BYTES] = header.ljust(HEADER_BYTES, b" ")
    written[HEADER_BYTES : HEADER_BYTES + 4] = len(corners).to_bytes(4, "little")
    return written


def _normals(corners: NDArray[np.float32]) -> NDArray[np.float32]:
    """Unit normals of facets given as rows of nine coordinates; zero for a facet without area."""
    x, y, z = (np.ascontiguousarray(corners[:, axis::3].T) for axis in range(3))
    x1, y1, z1 = x[1] - x[0], y[1] - y[0], z[1] - z[0]
    x2, y2, z2 = x[2] - x[0], y[2] - y[0], z[2] - z[0]
    normal = np.array([y1 * z2 - z1 * y2, z1 * x2 - x1 * z2, x1 * y2 - y1 * x2])
    length = np.sqrt(np.einsum("ij,ij->j", normal, normal))
    length[length == 0] = 1
    normal /= length
    return normal.T
