"""Builds the fonts beside this file from their npm packages; needs npm, fonttools,
brotli and skia-pathops.

    python -m ringgeom.fonts.build

The subsets are joined, what is missing and used here is drawn (⌀ ‰ ☐), hinting and layout are
left out, and the family is renamed, as the licence asks of changed versions. Fonts that are
engraved are whole ones: they keep kerning and ligatures, and overlapping pieces are united.
"""

from __future__ import annotations

import subprocess
import tarfile
import tempfile
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent

SCRIPTS = ("latin", "latin-ext", "greek", "cyrillic")

FONTS = (
    ("@fontsource/source-sans-3@5.3.1", "source-sans-3", 400, "Bench Sans", "BenchSans-Regular"),
    ("@fontsource/source-sans-3@5.3.1", "source-sans-3", 600, "Bench Sans", "BenchSans-Semibold"),
    (
        "@fontsource/source-serif-4@5.3.1",
        "source-serif-4",
        600,
        "Bench Serif",
        "BenchSerif-Semibold",
    ),
)
"""npm package with its version, its files' stem, weight, our family, our file."""

SANS, SERIF = "@expo-google-fonts/source-sans-3@0.4.1", "@expo-google-fonts/source-serif-4@0.4.1"
SCRIPT = "@expo-google-fonts/dancing-script@0.4.2"

LETTERING = (
    (SERIF, "400Regular/SourceSerif4_400Regular", "source-serif-4", "Serif"),
    (SANS, "400Regular/SourceSans3_400Regular", "source-sans-3", "Sans"),
    (SANS, "700Bold/SourceSans3_700Bold", "source-sans-3", "Bold"),
    (SCRIPT, "500Medium/DancingScript_500Medium", "dancing-script", "Script"),
)
"""npm package with its version, its file, its licence's stem here, our style."""

HINTING = ("DSIG", "gasp", "prep", "fpgm", "cvt ", "STAT", "meta")

DROPPED = ("GSUB", "GPOS", "GDEF", "fvar", "STAT", "DSIG", "gasp", "prep", "fpgm", "cvt ", "kern")


def main() -> None:
    """Fetch, join, draw, rename, write."""
    with tempfile.TemporaryDirectory() as folder:
        for package, stem, weight, family, name in FONTS:
            files = _fetched(package, stem, weight, Path(folder))
            _built(files, family, name).save(HERE / f"{name}.ttf")
            print(HERE / f"{name}.ttf")
        for package, stem, licence, style in LETTERING:
            print(_lettering(package, stem, licence, style, Path(folder)))


def _lettering(package: str, stem: str, licence: str, style: str, folder: Path) -> Path:
    from fontTools.ttLib import TTFont
    from fontTools.ttLib.removeOverlaps import removeOverlaps

    unpacked = _unpacked(package, folder / f"lettering-{style}")
    font = TTFont(unpacked / f"{stem}.ttf")
    for table in HINTING:
        if table in font:
            del font[table]
    removeOverlaps(font)
    name = f"BenchLettering-{style}"
    _renamed(font, f"Bench Lettering {style}", name)
    font.save(HERE / f"{name}.ttf")
    text = (unpacked / "LICENSE_FONT").read_text(encoding="utf-8")
    path = HERE / f"LICENSE-{licence}.txt"
    if not path.exists():
        path.write_text(text, encoding="utf-8", newline="\n")
    return HERE / f"{name}.ttf"


def _unpacked(package: str, folder: Path) -> Path:
    folder.mkdir()
    told = subprocess.run(
        ["npm", "pack", "--silent", package],
        cwd=folder,
        check=True,
        capture_output=True,
        encoding="utf-8",
    )
    with tarfile.open(folder / told.stdout.strip()) as packed:
        packed.extractall(folder, filter="data")
    return folder / "package"


def _fetched(package: str, stem: str, weight: int, folder: Path) -> list[Path]:
    package_folder = _unpacked(package, folder / f"{stem}-{weight}")
    licence = (package_folder / "LICENSE").read_text(encoding="utf-8")
    (HERE / f"LICENSE-{stem}.txt").write_text(licence, encoding="utf-8", newline="\n")
    found = [package_folder / f"files/{stem}-{s}-{weight}-normal.woff2" for s in SCRIPTS]
    return [path for path in found if path.exists()]


def _built(files: list[Path], family: str, name: str) -> Any:
    from fontTools.merge import Merger
    from fontTools.ttLib import TTFont

    plain = []
    for path in files:
        font = TTFont(path)
        for table in DROPPED:
            if table in font:
                del font[table]
        font.flavor = None
        font.save(path.with_suffix(".ttf"))
        plain.append(str(path.with_suffix(".ttf")))
    font = Merger().merge(plain)
    _drawn(font)
    _renamed(font, family, name)
    return font


def _drawn(font: Any) -> None:
    """Signs that the subsets lack, in the weight of the minus sign."""
    thick = _height(font, "−")
    cap = font["OS/2"].sCapHeight
    middle = cap / 2
    _add(
        font,
        "⌀",
        700,
        [_ring(350, middle, 250, thick), _bar(110, middle - 270, 590, middle + 270, thick)],
    )
    _add(font, "☐", 760, [_box(80, -60, 600, thick)])
    small = 130
    _add(
        font,
        "‰",
        1180,
        [
            _ring(190, cap - small, small, thick),
            _bar(170, 0, 560, cap, thick),
            _ring(600, small, small, thick),
            _ring(960, small, small, thick),
        ],
    )  # fmt: skip


def _height(font: Any, letter: str) -> float:
    glyph = font["glyf"][font.getBestCmap()[ord(letter)]]
    return float(glyph.yMax - glyph.yMin)


Contours = list[list[tuple[float, float]]]


def _ring(x: float, y: float, radius: float, thick: float) -> Contours:
    """A circle's outline, as polygons of forty sides; the inner one runs the other way."""
    from math import cos, pi, sin

    turn = [2 * pi * n / 40 for n in range(40)]
    outer = [(x + radius * cos(t), y + radius * sin(t)) for t in reversed(turn)]
    inner = [(x + (radius - thick) * cos(t), y + (radius - thick) * sin(t)) for t in turn]
    return [outer, inner]


def _bar(x0: float, y0: float, x1: float, y1: float, thick: float) -> Contours:
    from math import hypot

    long = hypot(x1 - x0, y1 - y0)
    u, v = -(y1 - y0) / long * thick / 2, (x1 - x0) / long * thick / 2
    return [[(x0 + u, y0 + v), (x1 + u, y1 + v), (x1 - u, y1 - v), (x0 - u, y0 - v)]]


def _box(x: float, y: float, side: float, thick: float) -> Contours:
    outer = [(x, y), (x, y + side), (x + side, y + side), (x + side, y)]
    a, b = x + thick, x + side - thick
    inner = [(a, y + thick), (b, y + thick), (b, y + side - thick), (a, y + side - thick)]
    return [outer, inner]


def _add(font: Any, letter: str, width: int, shapes: list[Contours]) -> None:
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    if ord(letter) in font.getBestCmap():
        return
    pen = TTGlyphPen(None)
    for contours in shapes:
        for first, *rest in contours:
            pen.moveTo((round(first[0]), round(first[1])))
            for point in rest:
                pen.lineTo((round(point[0]), round(point[1])))
            pen.closePath()
    glyph = f"uni{ord(letter):04X}"
    font.setGlyphOrder([*font.getGlyphOrder(), glyph])
    font["glyf"][glyph] = pen.glyph()
    font["hmtx"][glyph] = (width, 0)
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(letter)] = glyph


def _renamed(font: Any, family: str, name: str) -> None:
    names = font["name"]
    for record in list(names.names):
        if record.nameID not in (0, 13, 14):
            names.removeNames(nameID=record.nameID)
    style = name.rsplit("-", 1)[1]
    texts = {1: family, 2: style, 3: name, 4: f"{family} {style}", 6: name}
    for number, text in texts.items():
        names.setName(text, number, 3, 1, 0x409)
    # the same bytes whenever it is built
    font["head"].created = font["head"].modified = 3_600_000_000
    font.recalcTimestamp = False


if __name__ == "__main__":
    main()
