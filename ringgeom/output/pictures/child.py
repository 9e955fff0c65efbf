"""Renders frames in a process of its own; started by its path, and alone in what it loads.

    python child.py FOLDER WAY

FOLDER holds scene.npz; every frame becomes frame-<number>.npy beside it, red, green and blue
in bytes, and its number is said on standard output when it lies there. WAY is
EGL, OSMesa or screen. If anything goes wrong this process ends, in whatever way, and no other.
When standard input ends, the process that asked is gone: nobody will take FOLDER away but this.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import sys
import threading
from pathlib import Path
from typing import Any

LIBRARIES = {"EGL": ("libEGL.so.1",), "OSMesa": ("libOSMesa.so.8", "libOSMesa.so.6")}
WINDOWS = {"EGL": "vtkEGLRenderWindow", "OSMesa": "vtkOSOpenGLRenderWindow"}

NO_LIBRARY, NO_PROGRAM, ASKER_GONE = 3, 4, 5
"""Exit codes: the GL library is missing; pyvista cannot be loaded; nobody waits any more."""


def main(folder: Path, way: str) -> int:
    """Draw what lies in the folder; returns how it ended, for the process that waits."""
    threading.Thread(target=_end_with_the_asker, args=(folder,), daemon=True).start()
    if way in WINDOWS:
        if not any(_loads(name) for name in LIBRARIES[way]):
            return NO_LIBRARY
        os.environ["VTK_DEFAULT_OPENGL_WINDOW"] = WINDOWS[way]
    try:
        import numpy as np
        import pyvista
    except ImportError as error:
        print(error, file=sys.stderr)
        return NO_PROGRAM
    with np.load(folder / "scene.npz", allow_pickle=False) as scene:
        plotter, surfaces = _laid_out(pyvista, scene)
        for number in range(int(scene["frames"])):
            turns = scene[f"turns{number}"]
            which = scene[f"which{number}"].tolist()
            for index, surface in enumerate(surfaces):
                surface.visibility = index in which
                if index in which:
                    surface.user_matrix = turns[which.index(index)]
            _, high = scene["dots"].tolist()
            plotter.camera.parallel_scale = high / float(scene["dots_per_mm"][number]) / 2
            beside = folder / f"part-{number}.npy"
            np.save(beside, np.ascontiguousarray(_rendered(pyvista, plotter.render_window)))
            beside.replace(folder / f"frame-{number}.npy")
            print(number, flush=True)
    return 0


def _end_with_the_asker(folder: Path) -> None:
    """Wait for the end of standard input, which nobody writes to."""
    while os.read(0, 1):
        pass
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(ASKER_GONE)


def _rendered(pyvista: Any, window: Any) -> Any:
    """What a window shows, rendered once; shape (rows, dots, 3), top row first."""
    from vtkmodules.vtkRenderingCore import vtkWindowToImageFilter

    window.Render()
    reader = vtkWindowToImageFilter()
    reader.SetInput(window)
    reader.SetInputBufferTypeToRGB()
    # the front has its edges averaged in linear light, the back has not
    reader.ReadFrontBufferOn()
    reader.ShouldRerenderOff()
    reader.Update()
    image = reader.GetOutput()
    wide, high, _ = image.GetDimensions()
    dots = pyvista.convert_array(image.GetPointData().GetScalars())
    return dots.reshape(high, wide, 3)[::-1]


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def _laid_out(pyvista: Any, scene: Any) -> tuple[Any, list[Any]]:
    """The plotter with light, eye and every surface in it."""
    plotter = pyvista.Plotter(off_screen=True, window_size=scene["dots"].tolist(), lighting="none")
    _light(pyvista, plotter.renderer, scene["light"])
    surfaces = [_surface(pyvista, plotter, scene, n) for n in range(int(scene["surfaces"]))]
    away = float(scene["eye_mm"])
    eye = plotter.camera
    eye.parallel_projection = True
    eye.position, eye.focal_point, eye.up = (0.0, 0.0, away), (0.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    eye.clipping_range = (0.4 * away, 1.6 * away)
    plotter.set_background((scene["paper"] / 255).tolist())
    # a dot is averaged from four afterwards, reflections too; edges from sixteen
    plotter.render_window.SetMultiSamples(4)
    return plotter, surfaces


def _light(pyvista: Any, renderer: Any, faces: Any) -> None:
    """The cube of light that metals reflect; its passes small, or they take minutes."""
    import numpy as np
    from vtkmodules.vtkCommonDataModel import vtkImageData
    from vtkmodules.vtkRenderingCore import vtkTexture

    cube = vtkTexture()
    cube.CubeMapOn()
    cube.MipmapOn()
    cube.InterpolateOn()
    cube.SetColorModeToDirectScalars()
    for number, face in enumerate(faces):
        image = vtkImageData()
        image.SetDimensions([*face.shape, 1])
        grey = np.repeat(face.reshape(-1, 1), 3, axis=1)
        image.GetPointData().SetScalars(pyvista.convert_array(grey, deep=True))
        cube.SetInputDataObject(number, image)
    renderer.UseImageBasedLightingOn()
    renderer.UseSphericalHarmonicsOff()
    renderer.SetEnvironmentTexture(cube, False)
    renderer.GetEnvMapIrradiance().SetIrradianceSize(16)
    renderer.GetEnvMapIrradiance().SetIrradianceStep(0.2)
    renderer.GetEnvMapPrefiltered().SetPrefilterMaxSamples(64)
    renderer.GetEnvMapLookupTable().SetLUTSize(128)


def _surface(pyvista: Any, plotter: Any, scene: Any, number: int) -> Any:
    """One surface with its paint, as an actor."""
    import numpy as np

    faces, rgb = scene[f"faces{number}"], scene[f"rgb{number}"]
    threes = np.column_stack([np.full(len(faces), 3, dtype=faces.dtype), faces])
    surface = pyvista.PolyData(scene[f"points{number}"], threes.ravel())
    surface.GetPointData().SetNormals(pyvista.convert_array(scene[f"normals{number}"], deep=True))
    surface.point_data["rgb"] = rgb
    strokes = scene[f"strokes{number}"]
    if len(strokes):
        surface.GetPointData().SetTangents(pyvista.convert_array(strokes[:, :3].copy(), deep=True))
        across = np.column_stack([np.full(len(strokes), 0.5, dtype="f4"), strokes[:, 3]])
        surface.GetPointData().SetTCoords(pyvista.convert_array(across, deep=True))
    lit = bool(scene[f"lit{number}"])
    rough = float(scene[f"rough{number}"])
    pbr = {"pbr": True, "metallic": 1.0, "roughness": rough} if lit else {"lighting": False}
    actor = plotter.add_mesh(surface, scalars="rgb", rgb=True, show_scalar_bar=False, **pbr)
    # solids are closed: what looks away is hidden
    actor.prop.BackfaceCullingOn()
    if lit:
        # what glances off keeps the hue of the metal
        actor.prop.SetEdgeTint(*scene[f"edge{number}"].tolist())
    if len(strokes):
        actor.prop.SetNormalTexture(_grain(pyvista, scene["grain"]))
    return actor


def _grain(pyvista: Any, tilts: Any) -> Any:
    """A texture that tilts the face across the strokes of a brush."""
    import numpy as np
    from vtkmodules.vtkCommonDataModel import vtkImageData
    from vtkmodules.vtkRenderingCore import vtkTexture

    flat = np.ones_like(tilts)
    facing = np.column_stack([np.zeros_like(tilts), tilts, flat]) / np.hypot(tilts, 1)[:, None]
    coded = np.round(127.5 * (facing + 1)).astype(np.uint8)
    image = vtkImageData()
    image.SetDimensions(4, len(tilts), 1)
    image.GetPointData().SetScalars(pyvista.convert_array(np.repeat(coded, 4, axis=0), deep=True))
    texture = vtkTexture()
    texture.SetInputDataObject(image)
    texture.MipmapOn()
    texture.InterpolateOn()
    texture.RepeatOn()
    texture.SetColorModeToDirectScalars()
    return texture


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]), sys.argv[2]))
