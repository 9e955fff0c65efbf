"""The pages of a printed sheet as SVG: what is looked at is what the printer gets.

The PDF is one of our own; of its language only the words that our sheets use are known, and
any other is an error, so that nothing of a page is ever left out silently.
"""

from __future__ import annotations

import re
import zlib
from base64 import a85decode
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from xml.sax.saxutils import escape

from ringgeom.errors import OutputError

PT_MM = 25.4 / 72
FAMILIES = {"Serif": "Bench Serif, serif", "Sans": "Bench Sans, sans-serif"}

OBJECT = re.compile(rb"(\d+) 0 obj\n(.*?)\nendobj", re.S)
STREAM = re.compile(rb"<<(.*?)>>\s*stream\r?\n(.*?)endstream", re.S)
TOKEN = re.compile(rb"\((?:\\.|[^\\)])*\)|\[[^\]]*\]|/[^\s/\[(]+|[^\s/\[(]+", re.S)
ESCAPED = re.compile(rb"\\([0-7]{1,3}|.)", re.S)
LETTERS = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}

Matrix = tuple[float, float, float, float, float, float]
Fonts = dict[str, tuple[str, str, dict[int, str]]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page of paper [mm], and its SVG."""

    width_mm: float
    height_mm: float
    svg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Pen:
    """How what comes next is drawn; kept by q and taken back by Q."""

    matrix: Matrix = (1, 0, 0, 1, 0, 0)
    fill: str = "#000000"
    stroke: str = "#000000"
    width: float = 1.0
    dash: str = ""
    join: int = 0
    cap: int = 0


@dataclass(slots=True, kw_only=True)
class _Text:
    font: str = ""
    size: float = 0.0
    leading: float = 0.0
    spread: float = 0.0
    at: tuple[float, float] = (0.0, 0.0)


def printed_pages(pdf: bytes) -> tuple[Page, ...]:
    """Every page of one of our own sheets.

    Raises
    ------
    OutputError
        It holds something that this does not know how to draw.
    """
    objects = {int(found[1]): found[2] for found in OBJECT.finditer(pdf)}
    fonts = _fonts(objects)
    pages = []
    for body in objects.values():
        if b"/Contents" in body and (box := re.search(rb"/MediaBox \[ 0 0 (\S+) (\S+) \]", body)):
            wide, high = float(box[1]), float(box[2])
            drawn = "".join(_Drawing(fonts=fonts).of(_stream(objects[_number(body, b"Contents")])))
            svg = (
                f'<svg xmlns="http://www.w3.org/2000/svg" xml:space="preserve" '
                f'viewBox="0 0 {wide:g} {high:g}">'
                f'<g transform="matrix(1 0 0 -1 0 {high:g})">{drawn}</g></svg>'
            )
            pages.append(Page(width_mm=wide * PT_MM, height_mm=high * PT_MM, svg=svg))
    return tuple(pages)


def _number(body: bytes, key: bytes) -> int:
    found = re.search(rb"/" + key + rb" (\d+) 0 R", body)
    if found is None:
        raise OutputError("this sheet cannot be shown as a page")
    return int(found[1])


def _stream(body: bytes) -> bytes:
    found = STREAM.search(body)
    if found is None:
        raise OutputError("this sheet cannot be shown as a page")
    data = found[2]
    if b"ASCII85Decode" in found[1]:
        data = a85decode(data.strip().removesuffix(b"~>"))
    return zlib.decompress(data)


def _fonts(objects: dict[int, bytes]) -> Fonts:
    """Family, weight and letters of every font by its name in the pages."""
    found: Fonts = {}
    for body in objects.values():
        if b"/ToUnicode" not in body:
            continue
        name, base = (re.search(rb"/" + key + rb" /(\S+)", body) for key in (b"Name", b"BaseFont"))
        assert name is not None
        assert base is not None
        face = base[1].decode()
        family = next(words for part, words in FAMILIES.items() if part in face)
        pairs = re.findall(rb"<(\w\w)> <(\w{4})>", _stream(objects[_number(body, b"ToUnicode")]))
        letters = {int(code, 16): chr(int(letter, 16)) for code, letter in pairs}
        found[name[1].decode()] = family, "600" if "Semibold" in face else "400", letters
    return found


@dataclass(slots=True, kw_only=True)
class _Drawing:
    """Follows the words of one page."""

    fonts: Fonts
    pen: _Pen = field(default_factory=_Pen)
    kept: list[_Pen] = field(default_factory=list)
    path: list[str] = field(default_factory=list)
    text: _Text = field(default_factory=_Text)

    def of(self, words: bytes) -> Iterator[str]:
        given: list[bytes] = []
        for match in TOKEN.finditer(words):
            token = match[0]
            if token[:1] in b"(/[+-.0123456789":
                given.append(token)
                continue
            yield from self._do(token.decode(), given)
            given = []

    def _do(self, word: str, given: list[bytes]) -> Iterator[str]:
        if word in ("S", "f", "f*", "B", "B*", "n"):
            yield from self._painted(word)
        elif word in ("Tj", "T*"):
            yield from self._written(word, given)
        elif word in ("m", "l", "c", "h", "re"):
            self._go(word, [float(one) for one in given])
        elif word in ("Tf", "TL", "Tw", "Tm", "Td", "BT", "ET"):
            self._set_text(word, given)
        elif word in ("q", "Q", "d", "cm", "rg", "RG", "w", "j", "J"):
            self._set_pen(word, given)
        else:
            raise OutputError(f"this sheet cannot be shown as a page: {word}")

    def _set_pen(self, word: str, given: list[bytes]) -> None:
        if word == "q":
            self.kept.append(self.pen)
        elif word == "Q":
            self.pen = self.kept.pop()
        elif word == "d":
            lengths = given[0].decode().strip("[] ")
            self.pen = replace(self.pen, dash=lengths)
        else:
            numbers = [float(one) for one in given]
            if word == "cm":
                self.pen = replace(self.pen, matrix=_times(numbers, self.pen.matrix))
            elif word in ("rg", "RG"):
                colour = "#" + "".join(f"{round(255 * one):02x}" for one in numbers)
                if word == "rg":
                    self.pen = replace(self.pen, fill=colour)
                else:
                    self.pen = replace(self.pen, stroke=colour)
            elif word == "w":
                self.pen = replace(self.pen, width=numbers[0])
            elif word == "j":
                self.pen = replace(self.pen, join=int(numbers[0]))
            else:
                self.pen = replace(self.pen, cap=int(numbers[0]))

    def _go(self, word: str, at: list[float]) -> None:
        if word == "re":
            x, y, wide, high = at
            self.path.append(f"M{x:g} {y:g}h{wide:g}v{high:g}h{-wide:g}Z")
        else:
            letter = {"m": "M", "l": "L", "c": "C", "h": "Z"}[word]
            self.path.append(letter + " ".join(f"{one:g}" for one in at))

    def _painted(self, word: str) -> Iterator[str]:
        pen, path = self.pen, "".join(self.path)
        # a path begins with n as the sheets are written; it ends one that was never painted too
        self.path = []
        if word == "n" or not path:
            return
        look = f'fill="{pen.fill}"' if word[0] in "fB" else 'fill="none"'
        if word.endswith("*"):
            look += ' fill-rule="evenodd"'
        if word[0] in "SB":
            look += f' stroke="{pen.stroke}" stroke-width="{pen.width:g}"'
            look += f' stroke-dasharray="{pen.dash}"' if pen.dash else ""
            look += ' stroke-linejoin="round"' if pen.join == 1 else ""
            look += ' stroke-linecap="round"' if pen.cap == 1 else ""
        yield f'<path d="{path}" {look} transform="{_transform(pen.matrix)}"/>'

    def _set_text(self, word: str, given: list[bytes]) -> None:
        text = self.text
        if word == "BT":
            self.text = _Text(leading=text.leading, font=text.font, size=text.size)
        elif word == "Tf":
            text.font, text.size = given[0].decode()[1:], float(given[1])
        elif word == "TL":
            text.leading = float(given[0])
        elif word == "Tw":
            text.spread = float(given[0])
        elif word == "Tm":
            turned = [float(one) for one in given]
            if turned[:4] != [1, 0, 0, 1]:
                raise OutputError("this sheet cannot be shown as a page: turned text")
            text.at = turned[4], turned[5]
        elif word == "Td":
            text.at = text.at[0] + float(given[0]), text.at[1] + float(given[1])

    def _written(self, word: str, given: list[bytes]) -> Iterator[str]:
        text = self.text
        x, y = text.at
        if word == "T*":
            text.at = x, y - text.leading
            return
        family, weight, letters = self.fonts[text.font]
        codes = ESCAPED.sub(_unescaped, given[0][1:-1])
        said = "".join(letters.get(code, "") for code in codes)
        if not said.strip():
            return
        matrix = _times([1, 0, 0, -1, x, y], self.pen.matrix)
        spread = f' word-spacing="{text.spread:g}"' if text.spread else ""
        yield (
            f'<text font-family="{family}" font-weight="{weight}" font-size="{text.size:g}" '
            f'fill="{self.pen.fill}"{spread} transform="{_transform(matrix)}">{escape(said)}</text>'
        )


def _unescaped(found: re.Match[bytes]) -> bytes:
    word = found[1]
    return bytes([int(word, 8)]) if word.isdigit() else LETTERS.get(word, word)


def _times(first: list[float], then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    a2, b2, c2, d2, e2, f2 = then
    return (
        a * a2 + b * c2,
        a * b2 + b * d2,
        c * a2 + d * c2,
        c * b2 + d * d2,
        e * a2 + f * c2 + e2,
        e * b2 + f * d2 + f2,
    )


def _transform(matrix: Matrix) -> str:
    return f"matrix({' '.join(f'{one:.5g}' for one in matrix)})"
