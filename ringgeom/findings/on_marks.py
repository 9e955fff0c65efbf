"""Rules on the marks: from what the rule packs doubt."""

from __future__ import annotations

from collections.abc import Iterator

from ringgeom.findings.context import Laid
from ringgeom.findings.finding import Finding, Rules
from ringgeom.marks import MarkDoubt, region_of

RULES: Rules[Laid] = Rules()


@RULES.add
def doubts(laid: Laid) -> Iterator[Finding]:
    """What may keep a mark off, once for each alloy; a note where no region is chosen."""
    chosen = laid.asking.shop.marks.region is not None
    parts = {part.name: part for part in laid.parts}
    found: dict[tuple[str, str, str], tuple[MarkDoubt, list[str]]] = {}
    for proposal in laid.marks:
        for doubt in proposal.doubts:
            alloy = parts[doubt.part].alloy.name if doubt.part in parts else ""
            _, regions = found.setdefault((doubt.code, alloy, doubt.fix), (doubt, []))
            name = region_of(proposal.region).name
            if name not in regions:
                regions.append(name)
    for doubt, regions in found.values():
        yield Finding(
            code=doubt.code,
            level=doubt.level if chosen else "note",
            part=doubt.part,
            value=doubt.value,
            limit=doubt.limit,
            unit=doubt.unit,
            text=f"{', '.join(regions)}: {doubt.text}",
            fix=doubt.fix,
            key=laid.key_of(parts[doubt.part].place) if doubt.part in parts else ("ring",),
        )
