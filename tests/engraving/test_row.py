"""Text set in a line: outlines as another library reads them, lengths, what is refused."""

from __future__ import annotations

import struct
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import freetype
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from judging.checks import judged
from judging.programs import FREETYPE
from shapely.geometry import Polygon
from shapely.ops import unary_union

from ringgeom.engraving import row as rows
from ringgeom.engraving import typeface as typefaces
from ringgeom.engraving.asked import Lettering
from ringgeom.engraving.row import Row, row
from ringgeom.engraving.shape import Shape
from ringgeom.engraving.stroke import Stroke, line
from ringgeom.engraving.typeface import typeface
from ringgeom.engraving.united import turned, united
from ringgeom.errors import InputError
from ringgeom.fonts import LETTERING, font_path


def asked(text: str, **keys: Any) -> Lettering:
    return Lettering(kind="lettering", text=text, **({"height_mm": 1.5} | keys))


def polygon(shape: Shape, chord: float = 1e-4) -> Any:
    """Islands less holes, by shapely, which shares nothing with how they are made."""
    loops = [Polygon(loop) for loop in shape.polylines(chord)]
    islands = unary_union([p for p in loops if p.exterior.is_ccw])
    return islands.difference(unary_union([p for p in loops if not p.exterior.is_ccw]))


def freetype_strokes(word: str, glyph: int) -> set[tuple[tuple[float, float], ...]]:
    """Every stroke of a glyph as freetype decomposes it, in font units."""
    face = freetype.Face(str(font_path(LETTERING[word])))
    face.load_glyph(glyph, freetype.FT_LOAD_NO_SCALE)
    found: set[tuple[tuple[float, float], ...]] = set()
    at: list[tuple[float, float]] = [(0.0, 0.0)]
    first: list[tuple[float, float]] = [(0.0, 0.0)]

    def point(v: Any) -> tuple[float, float]:
        return (float(v.x), float(v.y))

    def close() -> None:
        if at[0] != first[0]:
            found.add((at[0], first[0]))

    def move(to: Any, _: Any) -> None:
        close()
        at[0] = first[0] = point(to)

    def straight(to: Any, _: Any) -> None:
        if point(to) != at[0]:
            found.add((at[0], point(to)))
        at[0] = point(to)

    def conic(control: Any, to: Any, _: Any) -> None:
        found.add((at[0], point(control), point(to)))
        at[0] = point(to)

    def cubic(a: Any, b: Any, to: Any, _: Any) -> None:
        found.add((at[0], point(a), point(b), point(to)))
        at[0] = point(to)

    face.glyph.outline.decompose(None, move, straight, conic, cubic)
    close()
    return found


@pytest.mark.parametrize("word", LETTERING)
@pytest.mark.parametrize("text", ["Rgß&@", "ÅéŁ8%"])
def test_outlines_are_the_fonts_own(word: str, text: str) -> None:
    """Stroke by stroke what freetype reads, to the last bit."""
    face = typeface(word, None)
    for glyph, *_ in face.glyphs(text):
        ours = {
            tuple(map(tuple, stroke.points.tolist()))
            for loop in face.outline(glyph)
            for stroke in loop
        }
        theirs = [np.array(stroke) for stroke in freetype_strokes(word, glyph)]
        for mine in map(np.array, ours):
            alike = [other for other in theirs if len(mine) == len(other)]
            nearest = min(alike, key=lambda other, mine=mine: float(np.abs(mine - other).max()))
            judged(
                FREETYPE,
                "strokes of letters [units of the font]",
                mine,
                nearest,
                abs=0.5,
                why="it keeps half units as whole ones where an implied point lies between two",
            )


@pytest.mark.parametrize("word", LETTERING)
def test_capitals_have_the_asked_height(word: str) -> None:
    found = row(asked("H", font=word, height_mm=2.0))
    *_, low, high = found.bounds_mm
    # a script's capitals may dip below the line
    assert high == pytest.approx(1.0, abs=1e-12)
    assert word == "script" or low == pytest.approx(-1.0, abs=1e-12)


def test_a_text_is_centred_and_kerned() -> None:
    found = row(asked("AVATAR"))
    left, right, *_ = found.bounds_mm
    assert (left, right) == pytest.approx((-found.length_mm / 2, found.length_mm / 2), abs=1e-12)
    assert len(found.shapes) == 6
    face = typeface("serif", None)
    together, apart = (
        sum(advance for text in texts for *_, advance in face.glyphs(text))
        for texts in (("AVATAR",), tuple("AVATAR"))
    )
    # kerned, the text is shorter than its letters one by one
    assert together < apart - 10


def test_area_by_green_is_that_of_fine_polygons() -> None:
    found = row(asked("Ag&ß"))
    assert found.flattened == 0
    for shape in found.shapes:
        fine = polygon(shape)
        # chords of 1e-4 mm leave less than that along the outline
        assert shape.area_mm2 == pytest.approx(fine.area, abs=1e-4 * fine.length)


def test_accents_are_the_same_however_they_are_written() -> None:
    assert areas(row(asked("é"))) == pytest.approx(areas(row(asked("e\u0301"))), rel=1e-12)


def areas(found: Row) -> float:
    return sum(shape.area_mm2 for shape in found.shapes)


def test_a_joined_script_is_united() -> None:
    """Letters that overlap count once: the same area as shapely's union, and one shape a word."""
    found = row(asked("thine", font="script"))
    assert found.flattened >= 1
    face = typeface("script", None)
    scale = 1.5 / face.capital
    glyphs = face.glyphs("thine")
    drawn = [turned(face.outline(g)).scaled(scale).moved(x * scale) for g, _, x, *_ in glyphs]
    whole = unary_union([polygon(shape, 1e-5) for shape in drawn])
    # flattened to a tenth of a micrometre
    assert areas(found) == pytest.approx(whole.area, abs=1e-4 * whole.length)
    assert sum(shape.area_mm2 for shape in drawn) > areas(found) + 1e-3


def test_overlapping_pieces_of_one_letter_are_united() -> None:
    """Two bars of a cross, drawn one over the other: closed form 2 x 3 - 1."""

    def bar(x: float, y: float) -> tuple[Stroke, ...]:
        corners = [(-x, -y), (x, -y), (x, y), (-x, y)]
        return tuple(line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))

    found = united([turned([bar(1.5, 0.5), bar(0.5, 1.5)])])
    assert found.flattened == 1
    assert sum(s.area_mm2 for s in found.shapes) == pytest.approx(5.0, abs=1e-7)
    apart = united([Shape((bar(0.5, 0.5),)), Shape((bar(0.5, 0.5),)).moved(1.0)])
    # side by side they touch, and stay as they were drawn
    assert (apart.flattened, len(apart.shapes)) == (0, 2)


def test_fit_spreads_the_letters() -> None:
    plain = row(asked("ROBIN"))
    found = row(asked("ROBIN", fit_mm=20.0))
    assert found.length_mm == 20.0
    assert found.bounds_mm[1] - found.bounds_mm[0] == pytest.approx(20.0, abs=1e-12)
    assert areas(found) == pytest.approx(areas(plain), rel=1e-12)


def test_right_to_left(tmp_path: Path) -> None:
    """A font of two Hebrew letters, drawn here: the first letter of the text is set rightmost."""
    path = tmp_path / "two.ttf"
    small_font(path, {"א": 300, "ב": 700})
    found = row(asked("אב", font="two.ttf").beside(tmp_path))
    widths = [s.bounds_mm[1] - s.bounds_mm[0] for s in sorted(found.shapes, key=left)]
    assert widths[0] / widths[1] == pytest.approx(700 / 300, rel=1e-9)


def left(shape: Shape) -> float:
    return shape.bounds_mm[0]


def small_font(path: Path, letters: dict[str, int]) -> None:
    """A font of boxes 500 units high, one for each letter with its width."""
    from fontTools.fontBuilder import FontBuilder
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    glyphs = {".notdef": TTGlyphPen(None).glyph()}
    for n, wide in enumerate(letters.values()):
        pen = TTGlyphPen(None)
        pen.moveTo((0, 0))
        for corner in ((0, 500), (wide, 500), (wide, 0)):
            pen.lineTo(corner)
        pen.closePath()
        glyphs[f"g{n}"] = pen.glyph()
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap({ord(c): f"g{n}" for n, c in enumerate(letters)})
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics(dict.fromkeys(glyphs, (800, 0)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Boxes", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(path)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a☃💍", "lacks ☃ (U+2603 SNOWMAN), 💍 (U+1F48D RING)"),
        ("a\nb", "U+000A"),
        ("a\u202eb", "U+202E"),
        ("  ", "empty"),
        ("שלום 12", "run to the left"),
    ],
)
def test_what_is_no_line_of_letters_is_refused(text: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        row(asked(text))
    assert said in str(refused.value)


@pytest.mark.parametrize(
    "broken",
    [b"", b"no font at all", b"\x00\x01\x00\x00" + struct.pack(">4H", 400, 0, 0, 0), b"OTTO" * 99],
)
def test_broken_fonts_are_refused(broken: bytes, tmp_path: Path) -> None:
    (tmp_path / "own.ttf").write_bytes(broken)
    with pytest.raises(InputError, match="not a font that can be read"):
        row(asked("a", font="own.ttf").beside(tmp_path))


def test_half_a_font_is_refused_or_set(tmp_path: Path) -> None:
    """A font cut short anywhere never ends in a traceback."""
    whole = font_path(LETTERING["sans"]).read_bytes()
    for share in range(1, 40):
        (tmp_path / f"{share}.ttf").write_bytes(whole[: len(whole) * share // 40])
        try:
            found = row(asked("Ab", font=f"{share}.ttf").beside(tmp_path))
        except InputError:
            continue
        assert found.length_mm > 0


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_spoilt_fonts_are_refused_or_set(data: st.DataObject) -> None:
    """Bytes changed anywhere: never a traceback, never an endless letter."""
    spoilt = bytearray(font_path(LETTERING["script"]).read_bytes())
    for _ in range(data.draw(st.integers(1, 200))):
        spoilt[data.draw(st.integers(0, len(spoilt) - 1))] = data.draw(st.integers(0, 255))
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "own.ttf").write_bytes(spoilt)
        try:
            found = row(asked("Ab fi é", font="own.ttf").beside(folder))
        except InputError:
            return
        assert found.length_mm > 0


def test_a_font_of_single_lines_is_refused(tmp_path: Path) -> None:
    """Out and back along one line: no area, so no metal could be told."""
    small_font(tmp_path / "lines.ttf", {"I": 0})
    with pytest.raises(InputError, match="lines without a width"):
        row(asked("I", font="lines.ttf").beside(tmp_path))


def test_other_files_are_no_fonts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for word, said in (
        ("nowhere.ttf", "there is no font file"),
        ("letters.txt", "there is no font"),
        ("..", "there is no font"),
    ):
        with pytest.raises(InputError, match=said):
            row(asked("a", font=word).beside(tmp_path))
    with pytest.raises(InputError, match="by the commands only"):
        row(asked("a", font="own.ttf"))
    (tmp_path / "own.ttf").write_bytes(b"x" * 100)
    monkeypatch.setattr(typefaces, "LARGEST_FONT_BYTES", 99)
    with pytest.raises(InputError, match="too large for a font: 100 bytes"):
        row(asked("a", font="own.ttf").beside(tmp_path))


def test_a_letter_of_endless_strokes_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typefaces, "MOST_STROKES", 5)
    with pytest.raises(InputError, match="more than 5 strokes"):
        row(asked("&"))


def test_a_text_of_endless_strokes_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rows, "MOST_STROKES", 100)
    with pytest.raises(InputError, match="drawn with"):
        row(asked("&&&&&&"))


def test_too_short_a_length_is_refused() -> None:
    with pytest.raises(InputError, match="does not go into 3 mm"):
        row(asked("LONG LONG", fit_mm=3.0))
    with pytest.raises(InputError, match="one letter alone"):
        row(asked("L", fit_mm=3.0))
    assert rows.MOST_SQUEEZE < 1
