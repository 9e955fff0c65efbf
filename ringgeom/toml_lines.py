"""On which line of a TOML text a key stands. Needed only when something is wrong there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tree_sitter import Node

Path = tuple[str | int, ...]


def key_lines(text: str) -> dict[Path, int]:
    """Line of every key and table of a TOML text, by its path; lines count from 1."""
    import tree_sitter_toml
    from tree_sitter import Language, Parser

    root = Parser(Language(tree_sitter_toml.language())).parse(text.encode()).root_node
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    for node in root.children:
        if node.type == "pair":
            found.update(_pair(node, ()))
        elif node.type in ("table", "table_array_element"):
            path: Path = ()
            *parents, last = _key(node.children[1])
            for step in parents:
                path = (*path, step)
                if path in counts:
                    path = (*path, counts[path])
            path = (*path, last)
            if node.type == "table_array_element":
                counts[path] = counts.get(path, -1) + 1
                path = (*path, counts[path])
            found.setdefault(path, _line(node))
            for pair in node.children:
                if pair.type == "pair":
                    found.update(_pair(pair, path))
    return found


def line_of(lines: dict[Path, int], path: Path) -> int | None:
    """Line of a path, or of the nearest table that holds it."""
    for size in range(len(path), 0, -1):
        if path[:size] in lines:
            return lines[path[:size]]
    return None


def _pair(node: Node, parent: Path) -> Iterator[tuple[Path, int]]:
    path = parent + _key(node.children[0])
    yield path, _line(node)
    yield from _value(node.children[-1], path)


def _value(node: Node, path: Path) -> Iterator[tuple[Path, int]]:
    if node.type == "inline_table":
        for pair in node.children:
            if pair.type == "pair":
                yield from _pair(pair, path)
    elif node.type == "array":
        items = [n for n in node.children if n.is_named and n.type != "comment"]
        for number, item in enumerate(items):
            yield (*path, number), _line(item)
            yield from _value(item, (*path, number))


def _key(node: Node) -> tuple[str, ...]:
    if node.type == "dotted_key":
        return tuple(step for n in node.children if n.is_named for step in _key(n))
    return ((node.text or b"").decode().strip("\"'"),)


def _line(node: Node) -> int:
    return int(node.start_point[0]) + 1
