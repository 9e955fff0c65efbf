"""Builds static/three.js from its npm package, once; needs npm.

    python -m ringgeom.page.build

Only what the ring needs is kept; both packages are pinned, and the licence comes with it.
"""

from __future__ import annotations

import subprocess
import tempfile
from pathlib import Path

STATIC = Path(__file__).parent / "static"

PACKAGES = ("three@0.180.0", "esbuild@0.28.2")

NEEDED = (
    "AmbientLight, BackSide, BoxGeometry, BufferAttribute, BufferGeometry, Color, "
    "DirectionalLight, DoubleSide, Group, Mesh, MeshBasicMaterial, MeshStandardMaterial, "
    "PerspectiveCamera, Plane, PMREMGenerator, Scene, SRGBColorSpace, Vector3, WebGLRenderer"
)


def main() -> None:
    """Fetch, bundle, write."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        install = ["npm", "install", "--silent", "--no-save", "--prefix", name, *PACKAGES]
        subprocess.run(install, cwd=folder, check=True)
        entry = folder / "entry.js"
        entry.write_text(f'export {{ {NEEDED} }} from "three";\n', encoding="utf-8", newline="\n")
        bundle = [
            str(folder / "node_modules/.bin/esbuild"),
            str(entry),
            "--bundle",
            "--minify",
            "--format=esm",
            "--target=es2022",
            "--legal-comments=none",
            "--banner:js=// three.js, MIT licence, see LICENSE-three.txt",
            f"--outfile={STATIC / 'three.js'}",
        ]
        subprocess.run(bundle, cwd=folder, check=True)
        licence = (folder / "node_modules/three/LICENSE").read_text(encoding="utf-8")
        (STATIC / "LICENSE-three.txt").write_text(licence, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
