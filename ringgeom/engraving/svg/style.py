"""What an element looks like: filled, a line, hidden; what else could matter is refused."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

from ringgeom.engraving.combined import Rule
from ringgeom.engraving.svg.numbers import LONGEST, NUMBER
from ringgeom.engraving.svg.tree import Node, refused

HARMLESS_NONE = (
    "filter", "mask", "clip-path", "marker", "marker-start", "marker-mid", "marker-end",
    "stroke-dasharray",
)  # fmt: skip
"""Properties that may only say none."""

WORDS = {
    "filter": "it is drawn through a filter",
    "mask": "it is drawn through a mask",
    "clip-path": "it is clipped by another path",
    "stroke-dasharray": "its line is dashed",
}
ASKED = ("fill", "stroke", "fill-rule", "display", "visibility", "opacity", "fill-opacity",
         "stroke-opacity", "stroke-width")  # fmt: skip
KNOWN = {*ASKED, *HARMLESS_NONE}
LONGEST_VALUE = 200
LONGEST_CLASS = 2_000
"""Letters of one value, and of all classes of an element."""

GEOMETRY = {
    "transform", "d", "x", "y", "r", "cx", "cy", "rx", "ry", "width", "height", "translate",
    "rotate", "scale", "zoom", "all", "offset-path", "transform-origin", "transform-box",
}  # fmt: skip
"""Properties that would move or reshape if they stood in a style."""

SIMPLE = re.compile(r"(\*|[A-Za-z][\w-]*)?((?:[.#][\w-]+)*)")
MOST_RULES = 200


@dataclass(frozen=True, slots=True)
class Style:
    """How an element is drawn: filled or as a line; `dim` where it is half transparent."""

    fill: bool = True
    line: bool = False
    rule: Rule = "nonzero"
    shown: bool = True
    visible: bool = True
    dim: bool = False


@dataclass(frozen=True, slots=True)
class _RuleSet:
    tag: str
    classes: tuple[str, ...]
    ids: tuple[str, ...]
    said: dict[str, str]

    def holds(self, node: Node) -> bool:
        mine = node.values.get("class", "").split()
        return (
            self.tag in ("", "*", node.tag)
            and all(one in mine for one in self.classes)
            and all(one == node.values.get("id") for one in self.ids)
        )

    @property
    def weight(self) -> tuple[int, int, int]:
        return len(self.ids), len(self.classes), int(self.tag not in ("", "*"))


@dataclass(slots=True)
class Sheet:
    """The rules of all style elements, weakest first."""

    rules: list[_RuleSet] = field(default_factory=list)

    def read(self, node: Node) -> None:
        """Take the rules of one style element."""
        text = _without_remarks(node.text, node)
        if "@" in text or "\\" in text:
            raise refused("its style has @ rules or escapes; save as plain SVG", node)
        *blocks, tail = text.split("}")
        if tail.strip() or len(blocks) > MOST_RULES:
            raise refused(
                "its style is not understood; save as plain SVG", node, value=tail.strip()
            )
        for block in blocks:
            head, brace, body = block.partition("{")
            if not brace:
                raise refused("its style is not understood; save as plain SVG", node, value=block)
            said = _said(body, node)
            for one in head.split(","):
                found = SIMPLE.fullmatch(one.strip())
                if not found or not one.strip():
                    raise refused(
                        "this style is chosen in a way that is not understood",
                        node,
                        value=one.strip(),
                        allowed="a tag, .class, #id; save as plain SVG",
                    )
                marks = re.findall(r"([.#])([\w-]+)", found[2])
                classes = tuple(name for mark, name in marks if mark == ".")
                ids = tuple(name for mark, name in marks if mark == "#")
                self.rules.append(_RuleSet(found[1] or "", classes, ids, said))
        self.rules.sort(key=lambda rule: rule.weight)

    def style(self, node: Node, outer: Style) -> Style:
        """The style of an element inside another."""
        said = {key: value.strip() for key, value in node.values.items() if key in KNOWN}
        if len(node.values.get("class", "")) > LONGEST_CLASS:
            raise refused("it has too many classes; save as plain SVG", node)
        for rule in self.rules:
            if rule.holds(node):
                said |= rule.said
        said |= _said(node.values.get("style", ""), node)
        return _drawn(said, node, outer)


def _without_remarks(text: str, node: Node) -> str:
    """A style without its remarks."""
    head, *rest = text.split("/*")
    kept = [head]
    for one in rest:
        _, end, after = one.partition("*/")
        if not end:
            raise refused("a remark in its style does not end; save as plain SVG", node)
        kept.append(after)
    return " ".join(kept)


def _said(text: str, node: Node) -> dict[str, str]:
    """Declarations of a style."""
    found = {}
    for one in _without_remarks(text, node).split(";"):
        if not one.strip():
            continue
        key, colon, value = one.partition(":")
        key, value = key.strip().lower(), value.strip()
        if not colon or not value or (key in KNOWN and len(value) > LONGEST_VALUE):
            raise refused("this style is not understood", node, value=one.strip())
        if key in GEOMETRY:
            raise refused(f"its style sets {key}; set it as an attribute", node, value=value)
        if "!" in value or "var(" in value or key.startswith("--"):
            raise refused(
                "this style is not understood; save as plain SVG", node, value=one.strip()
            )
        if re.search(r"url\(\s*['\"]?\s*[^#'\"\s]", value):
            raise refused("its style points outside this file", node, value=value)
        if key in KNOWN:
            found[key] = value
    return found


def _drawn(said: dict[str, str], node: Node, outer: Style) -> Style:
    # shown, opacity and clips are not handed down but hold for all that lies inside
    style = outer
    for key in HARMLESS_NONE:
        value = said.get(key, "none").lower()
        if value not in ("none", "inherit", "initial"):
            what = WORDS.get(key, "its line carries markers")
            raise refused(f"{what}; turn it into plain paths", node, value=said[key])
    for key in ("fill", "stroke"):
        if key in said:
            shows = _paint(said[key], key, node, style.fill if key == "fill" else style.line)
            style = replace(style, fill=shows) if key == "fill" else replace(style, line=shows)
    if "fill-rule" in said and said["fill-rule"] != "inherit":
        rule = said["fill-rule"].lower()
        if rule not in ("nonzero", "evenodd"):
            raise refused("fill-rule is nonzero or evenodd", node, value=rule)
        style = replace(style, rule="evenodd" if rule == "evenodd" else "nonzero")
    if said.get("display", "").lower() == "none":
        style = replace(style, shown=False)
    if "visibility" in said and said["visibility"] != "inherit":
        style = replace(style, visible=said["visibility"].lower() == "visible")
    for key in ("opacity", "fill-opacity", "stroke-opacity"):
        share = _share(said[key], key, node) if key in said else 1.0
        if share == 0:
            fields = {"opacity": "shown", "fill-opacity": "fill", "stroke-opacity": "line"}
            style = replace(style, **{fields[key]: False})  # type: ignore[arg-type]
        elif share < 1:
            style = replace(style, dim=True)
    return style


def _share(text: str, key: str, node: Node) -> float:
    if text in ("inherit", "initial"):
        return 1.0
    found = re.fullmatch(rf"({NUMBER})(%?)", text) if len(text) <= LONGEST else None
    if not found:
        raise refused(f"{key} is no share from 0 to 1", node, value=text)
    return float(found[1]) / (100 if found[2] else 1)


def _paint(text: str, key: str, node: Node, inherited: bool) -> bool:
    value = text.lower().strip()
    if len(value) > LONGEST_VALUE:
        raise refused(f"its {key} is no colour that is known", node, value=text)
    if value == "inherit":
        return inherited
    if value.startswith("url"):
        raise refused(
            f"its {key} is a gradient or a pattern; metal is cut or it is not: give a plain colour",
            node,
            value=text,
        )
    clear = re.fullmatch(r"(rgba|hsla)\(.*[,/]\s*0*(\.0+)?%?\s*\)", value)
    return value not in ("none", "transparent") and not clear
