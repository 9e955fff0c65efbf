"""What is doubtful about the marks of a ring, ready to be made findings."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Literal

from ringgeom.marks.group import BASE, Group
from ringgeom.marks.proposal import Marked, PartMark
from ringgeom.marks.region import CHECK, LegalMark, Region
from ringgeom.metal.catalogue import SAME_FINENESS_PERMILLE

Told = bool | None
"""Whether two alloys are told apart by their colour; None: uncertain."""

Tellable = Callable[[str, str], Told] | Mapping[frozenset[str], Told]
"""Asked with the names of two alloys; a pair that a mapping lacks is uncertain."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkDoubt:
    """One thing that may keep a mark off the ring.

    Attributes
    ----------
    code : str
        ``mark-margin``, ``marks-not-told-apart`` or ``no-mark``.
    level : str
        ``warn``, or ``note`` where it is only uncertain.
    part : str or None
        Name of the part; None for the whole.
    value, limit : float or None
        What it is and what is demanded, in ``unit``.
    unit : str
        Unit of both.
    text, fix : str
        What is doubtful, and the way out.
    """

    code: Literal["mark-margin", "marks-not-told-apart", "no-mark"]
    level: Literal["warn", "note"] = "warn"
    part: str | None = None
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    text: str
    fix: str


def no_mark_doubts(
    parts: Sequence[Marked], proposals: Mapping[str, PartMark], pack: Region
) -> Iterator[MarkDoubt]:
    """Parts of a precious metal that carry no mark."""
    company = sum(part.metal != BASE for part in parts) > 1
    for part in parts:
        own = proposals[part.name]
        made, short = own.made_permille, own.next_short_permille
        if made is None or own.legal is not None:
            continue
        if short is None:
            why = f"these rules hold no mark for {part.metal}"
            fix = "leave it unmarked, or ask what may be stamped on it"
        else:
            why = f"the lowest mark within reach requires {made + short:g}"
            fix = f"raise it by {short:.2f} permille or more, or leave it unmarked"
        if company and pack.value("one_metal") == "lowest":
            why += ", and with it the whole ring stays unmarked"
        yield MarkDoubt(
            code="no-mark",
            part=part.name,
            value=made,
            limit=None if short is None else made + short,
            unit="permille",
            text=f"{part.name}: {made:.6g} permille {part.metal}: {why}",
            fix=f"{fix}; {CHECK.text}",
        )


def margin_doubts(group: Group, proposals: Mapping[str, PartMark]) -> Iterator[MarkDoubt]:
    """Parts whose worst case misses their mark, and parts a hair under a better one."""
    mark = group.wanted
    if mark is None:
        return
    shaky = {part.name for part in group.shaky}
    for part in group.parts:
        own = proposals[part.name]
        worst = part.sure_permille or 0.0
        if part.name in shaky:
            lower = f", or stamp {own.guaranteed.label}" if own.guaranteed else ""
            short = mark.demanded_permille - worst
            yield MarkDoubt(
                code="mark-margin",
                part=part.name,
                value=worst,
                limit=mark.demanded_permille,
                unit="permille",
                text=f"{part.name} may come out at {worst:.2f} permille {part.metal}: {mark.label} "
                f"requires {mark.demanded_permille:g}",
                fix=f"aim {short:.2f} permille higher or weigh finer{lower}; {CHECK.text}",
            )
        # a better mark for one part helps only where this part holds the group down
        lifts = own.legal == mark
        near = own.next_short_permille
        if lifts and near is not None and own.made_permille and near <= SAME_FINENESS_PERMILLE:
            yield MarkDoubt(
                code="mark-margin",
                part=part.name,
                value=own.made_permille,
                limit=own.made_permille + near,
                unit="permille",
                text=f"{part.name}: {own.made_permille:.2f} permille {part.metal} is not "
                f"{own.next_mark_up}: {near:.2f} is missing, and it carries only {mark.label}",
                fix=f"raise it to {own.made_permille + near:g} permille or more; {CHECK.text}",
            )


def solder_doubt(metal: str, whole_permille: float, mark: LegalMark) -> MarkDoubt:
    """The whole with its solder is under what its mark demands."""
    return MarkDoubt(
        code="mark-margin",
        value=whole_permille,
        limit=mark.demanded_whole_permille,
        unit="permille",
        text=f"all {metal} with its solder is {whole_permille:.2f} permille: {mark.label} requires "
        f"{mark.demanded_whole_permille:g} of the whole",
        fix=f"use less solder, or a finer one; {CHECK.text}",
    )


def told_apart_doubts(
    parts: Sequence[Marked], pack: Region, tellable: Tellable
) -> Iterator[MarkDoubt]:
    """Metals of different kinds that an ordinary person may not tell apart by colour."""
    rule = pack.rule("tellable")
    if rule is None:
        return
    firsts: dict[str, Marked] = {}
    for part in parts:
        firsts.setdefault(part.alloy.name, part)
    for one, other in combinations(firsts.values(), 2):
        pair = frozenset((one.alloy.name, other.alloy.name))
        if one.metal == other.metal:
            continue
        names = sorted((one.alloy.name, other.alloy.name))
        told = tellable(*names) if callable(tellable) else tellable.get(pair)
        if told:
            continue
        between = f"{one.name} ({one.metal}) and {other.name} ({other.metal})"
        # texture may tell base metal apart, colour alone must do so for two precious ones
        sure = told is not None and BASE not in (one.metal, other.metal)
        yield MarkDoubt(
            code="marks-not-told-apart",
            level="warn" if sure else "note",
            part=min(one, other, key=lambda part: part.grams).name,
            text=f"{between} are not told apart by colour"
            if told is not None
            else f"whether {between} are told apart by colour is not certain",
            fix=f"{rule.text} ({rule.source}): "
            + ("make a test button of both" if told is None else "choose metals further apart")
            + f"; {CHECK.text}",
        )
