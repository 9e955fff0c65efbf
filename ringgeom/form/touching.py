"""Which parts meet in a section, a gap between them counting as touch."""

from __future__ import annotations

from ringgeom.form.outline import outlines
from ringgeom.form.section import Owner, Section


def touching(section: Section) -> list[tuple[Owner, Owner]]:
    """Pairs of parts, or a part and the body, that have a face in common."""

    def sides(cells: tuple[int, ...]) -> set[Owner]:
        found = set()
        for i in cells:
            for owner in section.cells[i].owners:
                if owner.kind in ("part", "body"):
                    found.add(owner)
                elif owner.kind == "gap":
                    found.add(Owner("part", owner.claim))
        return found

    pairs = set()
    for edge in outlines(section).edges:
        for a in sides(edge.left):
            for b in sides(edge.right):
                if a != b:
                    pairs.add((min(a, b, key=_rank), max(a, b, key=_rank)))
    return sorted(pairs, key=lambda pair: (_rank(pair[0]), _rank(pair[1])))


def _rank(owner: Owner) -> tuple[bool, int]:
    """Parts as written, the body last."""
    return owner.kind == "body", owner.claim
