"""Numbers, lengths, and the page of a drawing file: from its units to mm."""

from __future__ import annotations

import re

import numpy as np

from ringgeom.engraving.svg.tree import Node, refused
from ringgeom.form.curve import Array
from ringgeom.units import MM_PER_INCH

NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
LENGTH = re.compile(rf"\s*({NUMBER})\s*(mm|cm|in|pt|pc|px|Q|q)?\s*")
LISTED = re.compile(rf"({NUMBER})|[\s,]+")
LONGEST = 64
"""Letters that a number or a length may have."""

LARGEST = 1e6
"""Numbers beyond this are no drawing for a ring."""

MM = {
    "mm": 1.0,
    "cm": 10.0,
    "q": 0.25,
    "in": MM_PER_INCH,
    "pt": MM_PER_INCH / 72,
    "pc": MM_PER_INCH / 6,
    "px": MM_PER_INCH / 96,
    "": MM_PER_INCH / 96,
}
"""mm in each unit. Source: W3C, CSS Values and Units, absolute lengths (96 px to the inch)."""

PX = MM["px"]


def number(text: str, node: Node, what: str) -> float:
    """A finite number of a sane size."""
    sound = len(text) <= LONGEST and re.fullmatch(NUMBER, text.strip())
    found = float(text) if sound else np.nan
    if not abs(found) <= LARGEST:
        raise refused(f"{what} is no number that can be drawn", node, value=text)
    return found


def numbers(text: str, node: Node, what: str) -> list[float]:
    """Numbers parted by spaces or commas."""
    if len(text) > 400_000:
        raise refused(f"{what} is too long a list", node, allowed="400000 letters")
    found, at = [], 0
    while at < len(text):
        one = LISTED.match(text, at)
        if not one or (not one[1] and one[0].count(",") > 1):
            raise refused(f"{what} is no list of numbers", node, value=text[at:])
        if one[1]:
            found.append(number(one[1], node, what))
        at = one.end()
    return found


def length_mm(text: str, node: Node, what: str) -> float:
    """A length with its unit [mm]."""
    found = LENGTH.fullmatch(text) if len(text) <= LONGEST else None
    if not found:
        raise refused(
            f"{what} is no length that is known here",
            node,
            value=text,
            allowed="a number with mm, cm, in, pt, pc, px or no unit (px, 96 to the inch)",
        )
    size = number(found[1], node, what) * MM[(found[2] or "").lower()]
    return size


def user_length(node: Node, key: str, default: float = 0.0) -> float:
    """A length of an element in units of the drawing; absolute units count 96 px to the inch."""
    text = node.values.get(key)
    if text is None or text.strip() in ("", "auto"):
        return default
    if text.strip().endswith("%"):
        raise refused(f"{key} is told in percent; give a number", node, value=text)
    return length_mm(text, node, key) / PX


def fitted(
    box: tuple[float, float, float, float], wide: float, high: float, text: str, node: Node
) -> Array:
    """Matrix (3, 3) from a viewBox (x, y, width, height) into a window of that size [mm].

    Source
    ------
    W3C, Scalable Vector Graphics 2, section 8.2, the equivalent transform of an SVG viewport.
    """
    x, y, across, down = box
    words = text.split() or ["xMidYMid"]
    align = words[0]
    sx, sy = wide / across, high / down
    shares = {"Min": 0.0, "Mid": 0.5, "Max": 1.0}
    found = re.fullmatch(r"x(Min|Mid|Max)Y(Min|Mid|Max)", align)
    tx = ty = 0.0
    if align != "none":
        if not found or len(words) > 2 or (len(words) == 2 and words[1] not in ("meet", "slice")):
            raise refused("preserveAspectRatio is not understood", node, value=text)
        sx = sy = max(sx, sy) if words[1:] == ["slice"] else min(sx, sy)
        tx = (wide - across * sx) * shares[found[1]]
        ty = (high - down * sy) * shares[found[2]]
    return np.array([(sx, 0, tx - x * sx), (0, sy, ty - y * sy), (0, 0, 1.0)])


def view_box(node: Node) -> tuple[float, float, float, float] | None:
    """The viewBox of an element, if it has one."""
    text = node.values.get("viewBox")
    if text is None:
        return None
    found = numbers(text, node, "viewBox")
    if len(found) != 4 or found[2] <= 0 or found[3] <= 0:
        raise refused("viewBox needs x, y, width and height, both above 0", node, value=text)
    return found[0], found[1], found[2], found[3]


def page(root: Node) -> tuple[Array, str]:
    """Matrix (3, 3) from the drawing's units to mm, y upwards from the page's foot; a note."""
    box = view_box(root)
    asked = {key: root.values.get(key, "").strip() for key in ("width", "height")}
    told = {
        key: length_mm(text, root, key)
        for key, text in asked.items()
        if text and text != "auto" and not text.endswith("%")
    }
    for key, size in told.items():
        if size <= 0:
            raise refused(f"the page's {key} must be above 0", root, value=asked[key])
    note = ""
    if not told or all(re.fullmatch(NUMBER + "(px)?", asked[key]) for key in told):
        note = "the file tells no size in mm: 96 of its units are taken for an inch"
    wide, high = told.get("width"), told.get("height")
    if box is None:
        matrix = np.diag([PX, PX, 1.0])
    else:
        ratio = box[3] / box[2]
        if wide is None:
            wide = high / ratio if high is not None else box[2] * PX
        if high is None:
            high = wide * ratio
        matrix = fitted(box, wide, high, root.values.get("preserveAspectRatio", ""), root)
    up = np.array([(1, 0, 0), (0, -1, high if high is not None else 0.0), (0, 0, 1.0)])
    return up @ matrix, note
