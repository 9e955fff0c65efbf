"""Drawing files that are refused: in words, with element and line, never with a traceback."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from engraving.svg_files import svg
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.engraving.svg import drawn, read_drawing
from ringgeom.engraving.svg.tree import MOST_BYTES
from ringgeom.errors import InputError

BOMB = (
    '<?xml version="1.0"?><!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY a{k} "{("&a" + str(k - 1) + ";") * 10}">' for k in range(1, 9))
    + ']><svg xmlns="http://www.w3.org/2000/svg"><title>&a8;</title></svg>'
)

RECT = '<rect width="1" height="1"/>'

REFUSED = [
    (BOMB.encode(), "DOCTYPE"),
    (b'<!DOCTYPE svg PUBLIC "x" "http://example.org/a.dtd"><svg/>', "DOCTYPE"),
    (b'<?xml-stylesheet href="a.css"?><svg/>', "another file"),
    (svg("<script>alert(1)</script>"), "program"),
    (svg('<rect width="1" height="1" onload="x()"/>'), r"program \(onload\)"),
    (svg('<image href="data:image/png;base64,AAAA"/>'), "bitmap"),
    (svg("<text>Anna</text>"), "outlines"),
    (svg("<foreignObject/>"), "other than a drawing"),
    (svg('<use href="http://example.org/a.svg#b"/>'), "outside this file"),
    (svg('<use xlink:href="file:///etc/passwd"/>'), "outside this file"),
    (svg('<a href="javascript:x()"/>'), "outside this file"),
    (svg('<use href="#gone"/>'), "not in this file"),
    (svg('<g id="a"><use href="#a"/></g>'), "uses itself"),
    (svg('<rect width="1" height="1" style="fill:url(http://x/y)"/>'), "outside this file"),
    (svg('<rect width="1" height="1" fill="url(#g)"/>'), "gradient or a pattern"),
    (svg('<rect width="1" height="1" filter="url(#f)"/>'), "filter"),
    (svg('<g mask="url(#f)"><rect width="1" height="1"/></g>'), "mask"),
    (svg('<g clip-path="url(#f)"><rect width="1" height="1"/></g>'), "clipped"),
    (svg('<path fill="none" stroke="red" stroke-dasharray="1 2" d="M0 0h9"/>'), "dashed"),
    (svg('<rect width="1" height="1" style="transform:scale(2)"/>'), "style sets transform"),
    (svg(f"<style>@import 'a.css';</style>{RECT}"), "@ rules"),
    (svg(f"<style>g > rect {{fill:none}}</style>{RECT}"), "not understood"),
    (svg(f"<style>rect {{fill:none</style>{RECT}"), "not understood"),
    (svg(f'<g style="fill:none !important">{RECT}</g>'), "not understood"),
    (svg(f'<g transform="spin(3)">{RECT}</g>'), "transform is not understood"),
    (svg(f'<g transform="rotate(3 4)">{RECT}</g>'), "rotate takes other numbers"),
    (svg(f'<g transform="scale(0)">{RECT}</g>'), "leaves no size"),
    (svg(f'<g transform="scale(1e9)">{RECT}</g>'), "no number that can be drawn"),
    (svg(f'<g transform="scale(1000) scale(1000) scale(1000)">{RECT}</g>'), "larger than"),
    (svg(f'<svg width="3">{RECT}</svg>'), "inside the drawing"),
    (svg("<blob/>"), "not known"),
    (svg('<animate attributeName="d"/>'), "stands still"),
    (svg('<path id="bow" d="M0 0L4 4L4 0L0 4z"/>'), r'"bow" \(line 1\).*x 2\.000, y 8\.000'),
    (svg('<path d="M0 0L4 4L4 0"/>'), r"open by 4\.000 mm"),
    (svg('<polyline points="0,0 4,0 4,3"/>'), r"open by 5\.000 mm"),
    (svg('<path d="M0 0L4 0z"/>'), "encloses nothing"),
    (svg('<path d="M0 0z"/>'), "draws nothing"),
    (svg('<path d=""/>'), "draws nothing"),
    (svg('<path d="L3 3"/>'), "begin with M"),
    (svg('<path d="M0 0 X 3 3"/>'), "unknown command X"),
    (svg('<path d="M0 0 L 3"/>'), "needs 2 numbers"),
    (svg('<path d="M0 0 L 3 nan"/>'), "."),
    (svg('<path d="M0 0 L 3 1e400 z"/>'), "no number that can be drawn"),
    (svg('<path d="M0 0 L 1,,2 z"/>'), "not understood"),
    (svg('<path d="M0 0 A 1 1 0 2 0 3 3 z"/>'), "flags are 0 or 1"),
    (svg('<path d="M0 0 L 90000 3 5 5 z"/>'), "reaches too far"),
    (svg('<circle r="0"/>'), "r must be above 0"),
    (svg('<circle r="-2"/>'), "r must be above 0"),
    (svg('<circle r="20%"/>'), "percent"),
    (svg('<rect width="2em" height="1"/>'), "no length"),
    (svg('<polygon points="1 2 3"/>'), "x and y"),
    (svg('<polygon points="1 2 3 x"/>'), "no list of numbers"),
    (svg('<polygon points="1 2 1 2"/>'), "one place"),
    (svg(RECT, wide="0mm"), "above 0"),
    (svg(RECT, wide="20 furlongs"), "no length"),
    (svg(RECT, box="0 0 0 0"), "viewBox needs"),
    (svg(""), "nothing to cut"),
    (svg("<defs>" + RECT + "</defs>"), "nothing to cut"),
    (svg("<g>" * 60 + "</g>" * 60), "too deeply"),
    (svg('<path d="M0 0h1v1z"/>' * 10_000), "too many figures"),
    (svg('<g id="a">' + RECT * 500 + "</g>" + '<use href="#a"/>' * 500), "too many figures"),
    (svg('<path d="M0 0' + "h1v1" * 20_000 + 'z"/>'), "too many strokes"),
    (svg('<path d="' + "".join(f"M{k % 100} {k}h90v.1h-90z" for k in range(180)) + '"/>'
         '<path d="' + "".join(f"M{k} 0v200h.1v-200z" for k in range(180)) + '"/>'),
     "30000 times"),
    (svg('<polygon points="' + "1" * 60 + 'x"/>'), "no number"),
    (svg('<polygon points="' + "1 " * 100_000 + 'x"/>'), "no list of numbers"),
    (svg('<path d="M0 0' + " " * 1_000_000 + '!"/>'), "not understood"),
    (svg('<path d="M0 0 L' + "1" * 1_000_000 + ' 1"/>'), "no number"),
    (svg('<path d="M0 0 A1 1 0 0' + " " * 1_000_000 + '!"/>'), "flags"),
    (svg('<path d="M0 0 A 1e-8 9 0 0 0 90000 1 z"/>'), "flatter"),
    (svg('<rect width="' + " " * 100_000 + '1x" height="1"/>'), "no length"),
    (svg('<rect width="' + "1" * 100_000 + '" height="1"/>'), "no length"),
    (svg(f"<style>{'/*' * 1_000_000}</style>{RECT}"), "does not end"),
    (svg(f"<style>{'.a' * 1_000_000}+b{{fill:none}}</style>{RECT}"), "not understood"),
    (svg('<rect width="1" height="1" fill="rgba(' + "," * 100_000 + '"/>'), "no colour"),
    (svg('<rect width="1" height="1" style="fill:' + "(" * 100_000 + '"/>'), "not understood"),
    (svg('<rect width="1" height="1" class="' + "a " * 100_000 + '"/>'), "too many classes"),
    (svg('<g transform="' + "rotate(1)" * 1_000 + '"/>'), "not understood"),
    (b"", "not a drawing file"),
    (b"\xff\xfe\x00rubbish", "not a drawing file"),
    (b"<html/>", "no svg element"),
    (b"<svg", "not a drawing file"),
    (b'<?xml version="1.0" encoding="nonsense"?><svg/>', "not a drawing file"),
    (b" " * (MOST_BYTES + 1), "too large"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("data", "said"), REFUSED, ids=lambda v: v[:40] if isinstance(v, str) else ""
)
def test_refused_in_words(data: bytes, said: str) -> None:
    with pytest.raises(InputError) as caught:
        drawn(data)
    assert re.search(said, str(caught.value)), str(caught.value)
    assert len(str(caught.value)) < 600


def test_a_chain_of_uses_stays_bounded() -> None:
    """Each names the one before ten times: a hundred million figures if it were followed."""
    chain = f'<g id="a0">{RECT}</g>'
    for k in range(1, 9):
        chain += f'<g id="a{k}">' + f'<use href="#a{k - 1}"/>' * 10 + "</g>"
    with pytest.raises(InputError, match=r"too many figures|too often"):
        drawn(svg(chain))


def test_the_line_of_the_element_is_told() -> None:
    with pytest.raises(InputError) as caught:
        drawn(svg(f'{RECT}\n{RECT}\n  <path\n id="p" d="M0 0L1"/>'))
    problem = caught.value.problems[0]
    assert problem.where == 'path "p"'
    assert problem.line == 3


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_drawing(tmp_path / "none.svg")
    with pytest.raises(InputError, match="cannot be read"):
        read_drawing(tmp_path)


def test_the_file_is_named(tmp_path: Path) -> None:
    path = tmp_path / "heron.svg"
    path.write_bytes(svg("<text/>"))
    with pytest.raises(InputError, match=r"heron\.svg, text \(line 1\)"):
        read_drawing(path)


WORDS = st.sampled_from(
    ["M0 0", "L4 4", "h3", "v-2", "z", "Z", "c1 2 3 4 5 6", "s1 1 2 2", "q1 1 2 0", "t3 3",
     "a2 1 30 0 1 3 3", "A0 0 0 0 0 1 1", "1e999", "-.5.5", ",", "nan", "m1 1", "H", "1e-300",
     "999999 999999", "a1e-9 1e-9 0 1 1 5 5", "é", "0 0"]
)  # fmt: skip
KEYS = st.sampled_from(
    ["d", "transform", "style", "fill", "stroke", "points", "width", "height", "r", "rx", "x", "id",
     "href", "class", "viewBox", "preserveAspectRatio", "opacity", "display", "fill-rule"]
)  # fmt: skip
VALUES = st.one_of(
    st.lists(WORDS, max_size=6).map(" ".join),
    st.sampled_from(
        ["none", "#a", "url(#a)", "scale(-1)", "scale(0)", "matrix(1 0 0 0 0 0)", "rotate(1e5)",
         "skewX(90)", "0", "-1", "5", "50%", "1e5mm", "evenodd", "fill:none;stroke:red", ";;", ":",
         "translate(1e6)", "0 0 1e-9 1e-9", "xMaxYMin slice", "1 2 3 4 5 6", "inherit", ""]
    ),
    st.text("0123456789.,-+eEMLZ() {}:;#", max_size=12),
)  # fmt: skip
TAGS = st.sampled_from(
    ["path", "rect", "circle", "ellipse", "polygon", "polyline", "line", "g", "use", "symbol",
     "defs", "style", "svg", "a"]
)  # fmt: skip


@st.composite
def element(draw: st.DrawFn, depth: int = 0) -> str:
    tag = draw(TAGS)
    values = draw(st.dictionaries(KEYS, VALUES, max_size=4))
    said = "".join(f' {key}="{value}"' for key, value in values.items())
    count = draw(st.integers(0, 2)) if depth < 2 else 0
    inside = "".join(draw(element(depth + 1)) for _ in range(count))
    return f"<{tag}{said}>{inside}</{tag}>"


@given(inside=st.lists(element(), min_size=1, max_size=4).map("".join))
@settings(max_examples=400, deadline=None)
def test_any_drawing_is_read_or_refused(inside: str) -> None:
    _read_or_refused(svg(inside))


@given(
    at=st.integers(0, 400),
    drop=st.integers(0, 6),
    put=st.binary(max_size=4),
)
@settings(max_examples=400, deadline=None)
def test_a_damaged_file_is_read_or_refused(at: int, drop: int, put: bytes) -> None:
    whole = svg(
        '<style>.a{fill:none;stroke:red}</style><g transform="rotate(3) scale(2)"><path d="M0 0'
        'c1 1 2 1 3 0a1 1 0 0 1 -3 0z"/><circle r="2" cx="5"/></g><path class="a" d="M0 0h3"/>'
    )
    _read_or_refused(whole[:at] + put + whole[at + drop :])


def _read_or_refused(data: bytes) -> None:
    """Nothing but a shape in finite mm, or a refusal."""
    try:
        found = drawn(data)
    except InputError:
        return
    assert found.shape.loops or found.lines
    area = found.shape.area_mm2
    assert 0 <= area < 1e8
