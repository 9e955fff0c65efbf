"""The elements of a drawing one after the other, each with its matrix and its style."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ringgeom.engraving.svg.figures import DRAWING
from ringgeom.engraving.svg.moves import moved, shift
from ringgeom.engraving.svg.numbers import LARGEST, fitted, page, user_length, view_box
from ringgeom.engraving.svg.style import Sheet, Style
from ringgeom.engraving.svg.tree import DEEPEST, Node, refused
from ringgeom.form.curve import Array

MOST_FIGURES = 2_000
"""Figures of one drawing, those that are used again counted each time."""

GROUPS = ("g", "a", "svg")
SILENT = (
    "defs", "symbol", "style", "title", "desc", "metadata", "clipPath", "mask", "filter", "marker",
    "linearGradient", "radialGradient", "pattern", "view", "cursor", "color-profile", "solidcolor",
)  # fmt: skip
"""Elements that draw nothing where they stand; using some of them is refused."""


@dataclass(frozen=True, slots=True)
class Placed:
    """An element that draws, its matrix (3, 3) to mm, and how it is drawn."""

    node: Node
    matrix: Array
    style: Style


class Walk:
    """All that a drawing draws, in its order."""

    def __init__(self, root: Node) -> None:
        self.root = root
        self.sheet = Sheet()
        self.named: dict[str, Node] = {}
        self.count = self.steps = 0
        self.known(root)
        self.matrix, note = page(root)
        self.notes = {note} - {""}

    def known(self, node: Node) -> None:
        """Names of elements, and the rules of styles."""
        if node.tag == "style":
            if node.values.get("type", "text/css") != "text/css":
                raise refused("its style is of an unknown kind; save as plain SVG", node)
            self.sheet.read(node)
        name = node.values.get("id")
        if name is not None:
            self.named.setdefault(name, node)
        for child in node.children:
            self.known(child)

    def placed(self) -> Iterator[Placed]:
        """Every figure of the drawing that is shown, with its matrix and its style."""
        style = self.sheet.style(self.root, Style())
        for child in self.root.children:
            yield from self.inside(child, self.matrix, style, 1)

    def inside(self, node: Node, matrix: Array, outer: Style, depth: int) -> Iterator[Placed]:
        """Every figure in and below a node, with its matrix and its style."""
        self.steps += 1
        if self.steps > 4 * MOST_FIGURES:
            raise refused("the drawing repeats itself too often", node, allowed=f"{MOST_FIGURES}")
        if node.tag in SILENT:
            return
        style = self.sheet.style(node, outer)
        if not style.shown:
            return
        if node.tag not in (*GROUPS, *DRAWING, "use"):
            raise refused("this element is not known in a drawing for metal; remove it", node)
        matrix = matrix @ moved(node)
        if not np.abs(matrix).max() <= LARGEST:
            raise refused("its transforms together are larger than can be drawn", node)
        if node.tag == "svg":
            raise refused("a drawing lies inside the drawing; put it in a group instead", node)
        if node.tag in GROUPS:
            for child in node.children:
                yield from self.inside(child, matrix, style, depth + 1)
        elif node.tag == "use":
            yield from self.used(node, matrix, style, depth)
        elif style.visible and (style.fill or style.line):
            self.count += 1
            if self.count > MOST_FIGURES:
                raise refused(
                    "the drawing has too many figures", node, allowed=f"{MOST_FIGURES} or fewer"
                )
            yield Placed(node, matrix, style)

    def used(self, node: Node, matrix: Array, style: Style, depth: int) -> Iterator[Placed]:
        """What a use element points at, where it puts it."""
        name = node.values.get("href", "").strip()
        target = self.named.get(name[1:])
        if target is None:
            raise refused(
                "it uses something that is not in this file", node, value=name or "nothing"
            )
        if depth >= DEEPEST:
            raise refused("it uses itself, or lies too deep", node, value=name)
        matrix = matrix @ shift(user_length(node, "x"), user_length(node, "y"))
        if target.tag != "symbol":
            yield from self.inside(target, matrix, style, depth + 1)
            return
        inner = self.sheet.style(target, style)
        box = view_box(target)
        if box is not None:
            wide = user_length(node, "width", box[2])
            high = user_length(node, "height", box[3])
            if wide <= 0 or high <= 0:
                raise refused("its width and height must be above 0", node)
            ratio = target.values.get("preserveAspectRatio", "")
            matrix = matrix @ fitted(box, wide, high, ratio, target)
        for child in target.children:
            yield from self.inside(child, matrix, inner, depth + 1)
