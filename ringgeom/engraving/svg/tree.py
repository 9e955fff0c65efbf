"""The bytes of a drawing file → its elements with their lines; nothing else is ever opened."""

from __future__ import annotations

from dataclasses import dataclass, field
from xml.parsers import expat

from ringgeom.errors import InputError, Problem

MOST_BYTES = 4_000_000
MOST_ELEMENTS = 12_000
DEEPEST = 40
SVG = "http://www.w3.org/2000/svg"
XLINK = "http://www.w3.org/1999/xlink"

REFUSED = {
    "script": "it holds a program; save the drawing without scripts",
    "image": "it holds a bitmap; trace it to paths first",
    "foreignObject": "it holds something other than a drawing; remove it",
    "text": "it holds letters as text; turn letters into outlines (text to path) first",
    "switch": "it chooses between drawings; keep one of them",
    "animate": "it moves; a drawing for metal stands still",
    "animateTransform": "it moves; a drawing for metal stands still",
    "animateMotion": "it moves; a drawing for metal stands still",
    "set": "it moves; a drawing for metal stands still",
    "iframe": "it shows another page; remove it",
}
"""Elements that cannot be cut into metal, with the way out."""


@dataclass(slots=True)
class Node:
    """One element: its name without the name space, its attributes, its line in the file."""

    tag: str
    line: int
    values: dict[str, str]
    children: list[Node] = field(default_factory=list)
    text: str = ""

    @property
    def named(self) -> str:
        """The element as it is called in an error."""
        name = self.values.get("id", "")
        return f'{self.tag} "{name[:40]}"' if name else self.tag


def refused(text: str, node: Node, *, value: str = "", allowed: str = "") -> InputError:
    """A refusal with its element and line."""
    return InputError(
        Problem(text=text, where=node.named, line=node.line, value=value[:80], allowed=allowed)
    )


def tree(data: bytes) -> Node:
    """The svg element of a drawing file.

    Raises
    ------
    InputError
        Too large, not a drawing, or something in it that is never opened: a DOCTYPE, entities,
        scripts, bitmaps, text, links to other files.
    """
    if len(data) > MOST_BYTES:
        raise InputError(
            Problem(
                text="this drawing file is too large",
                value=f"{len(data) / 1e6:.1f} MB",
                allowed=f"{MOST_BYTES / 1e6:g} MB or less; simplify its paths",
            )
        )
    building = _Building()
    try:
        building.parser.Parse(data, True)
    except expat.ExpatError as error:
        said = expat.errors.messages[error.code]
        raise InputError(
            Problem(text=f"this is not a drawing file (SVG): {said}", line=error.lineno)
        ) from None
    except (LookupError, ValueError):
        raise InputError(
            Problem(
                text="this is not a drawing file (SVG): its letters cannot be read; save as UTF-8"
            )
        ) from None
    root = building.root
    if root is None or root.tag != "svg":
        raise InputError(Problem(text="this is not a drawing file (SVG): it has no svg element"))
    return root


class _Building:
    """The tree as the parser meets its elements."""

    def __init__(self) -> None:
        self.root: Node | None = None
        self.open: list[Node] = []
        self.foreign = 0
        self.count = 0
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end
        self.parser.CharacterDataHandler = self.letters
        self.parser.StartDoctypeDeclHandler = self.doctype
        self.parser.EntityDeclHandler = self.entity
        self.parser.ProcessingInstructionHandler = self.instruction

    @property
    def line(self) -> int:
        return self.parser.CurrentLineNumber

    def start(self, name: str, given: dict[str, str]) -> None:
        space, _, tag = name.rpartition(" ")
        self.count += 1
        if self.count > MOST_ELEMENTS:
            raise InputError(
                Problem(
                    text="this drawing has too many elements",
                    line=self.line,
                    allowed=f"{MOST_ELEMENTS} or fewer; join its paths",
                )
            )
        if len(self.open) + self.foreign >= DEEPEST:
            raise InputError(
                Problem(
                    text="groups lie in groups too deeply",
                    line=self.line,
                    allowed=f"{DEEPEST} levels; ungroup the drawing",
                )
            )
        if self.foreign or space not in ("", SVG):
            # notes that drawing programs leave for themselves
            self.foreign += 1
            return
        node = Node(tag, self.line, _plain(given))
        _judged(node)
        if self.open:
            self.open[-1].children.append(node)
        else:
            self.root = node
        self.open.append(node)

    def end(self, _name: str) -> None:
        if self.foreign:
            self.foreign -= 1
        else:
            self.open.pop()

    def letters(self, text: str) -> None:
        if self.open and not self.foreign and self.open[-1].tag == "style":
            self.open[-1].text += text

    def doctype(self, *_: object) -> None:
        raise InputError(
            Problem(
                text="the file begins with a DOCTYPE, which can pull in other files; "
                "delete that line, or save as plain SVG",
                line=self.line,
            )
        )

    def entity(self, *_: object) -> None:
        raise InputError(
            Problem(text="the file declares entities; save as plain SVG", line=self.line)
        )

    def instruction(self, target: str, _data: str) -> None:
        if target == "xml-stylesheet":
            raise InputError(
                Problem(
                    text="the file takes its style from another file; save as plain SVG",
                    line=self.line,
                )
            )


def _plain(given: dict[str, str]) -> dict[str, str]:
    """Attributes of the drawing and of links; those of other name spaces are left out."""
    found = {key: value for key, value in given.items() if " " not in key}
    link = given.get(f"{XLINK} href")
    if link is not None:
        found.setdefault("href", link)
    return found


def _judged(node: Node) -> None:
    if node.tag in REFUSED:
        raise refused(REFUSED[node.tag], node)
    for key, value in node.values.items():
        if key.lower().startswith("on"):
            raise refused(f"it holds a program ({key}); save the drawing without scripts", node)
        if key == "href" and not value.strip().startswith("#"):
            raise refused("it points outside this file; embed what it needs", node, value=value)
