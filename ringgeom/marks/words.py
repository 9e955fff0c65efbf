"""The sentences that go with the marks of a ring, each with its source."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from ringgeom.marks.group import BASE, Group, metal_g
from ringgeom.marks.proposal import Marked, PartMark
from ringgeom.marks.region import CHECK, Region, Rule, Statement, reaches
from ringgeom.marks.solder import average_permille


def article_words(
    parts: Sequence[Marked],
    proposals: Sequence[PartMark],
    found: Sequence[Group],
    pack: Region,
    *,
    soldered: bool,
    mean_permille: float | None,
) -> tuple[Statement, ...]:
    """What to know beside the stamps; the last sentence says whom to ask.

    Parameters
    ----------
    parts, proposals : sequences
        Every part, and what it alone may carry.
    found : sequence of Group
        The ring sorted by its marks.
    pack : Region
        The rules.
    soldered : bool
        Whether solder was told of.
    mean_permille : float or None
        Mean of the first metal in several finenesses [permille].

    Returns
    -------
    tuple of Statement
        Each once.
    """
    metals = tuple(dict.fromkeys(group.metal for group in found))
    precious = tuple(metal for metal in metals if metal != BASE)
    said = [group.wanted.statement for group in found if group.wanted]
    said += _lowest(found, proposals, pack)
    if mean_permille is not None:
        rule = pack.rule("average")
        if rule is not None:
            text = f"{mean_permille:.6g} permille is the mean and may not be stamped: {rule.text}"
            said.append(_sentence(rule, text))
        said += [*_lone_marks(found, parts), *pack.statements("measure")]
    if len(precious) > 1:
        said += [*_mixed(precious, pack), *pack.statements("tellable", "office_place")]
    if precious and BASE in metals:
        said += pack.statements("base_word")
    said += _exemption(parts, precious, pack)
    said += pack.statements("tolerance", "beside")
    if soldered:
        said += pack.statements("solder")
    for rule in pack.rules:
        if rule.rule == "words" and rule.metal in precious:
            said.append(rule.statement)
        elif rule.rule == "words" and not rule.metal and len(metals) > 1:
            named = ", ".join(f"{m} {metal_g(parts, m):.2f} g" for m in metals)
            said.append(_sentence(rule, f"{rule.text}: {named}"))
    if len(parts) > 1:
        said += pack.statements("place")
    return (*dict.fromkeys(said), CHECK)


def _sentence(rule: Rule, text: str) -> Statement:
    return Statement(text=text, source=rule.source, known=rule.known)


def _lowest(found: Sequence[Group], proposals: Sequence[PartMark], pack: Region) -> list[Statement]:
    """Where one metal comes in several finenesses: what that does to the mark."""
    rule = pack.rule("one_metal")
    own = {proposal.part: proposal for proposal in proposals}
    said = []
    for metal in dict.fromkeys(group.metal for group in found if group.metal != BASE):
        held = [part for group in found if group.metal == metal for part in group.parts]
        marks = dict.fromkeys(own[part.name].mark for part in held)
        if rule is not None and len(marks) > 1:
            each = ", ".join(f"{p.name} {own[p.name].mark or 'no mark'}" for p in held)
            said.append(_sentence(rule, f"{rule.text} ({metal}: {each})"))
    return said


def _lone_marks(found: Sequence[Group], parts: Sequence[Marked]) -> list[Statement]:
    """Why the higher of two marks may not stand for the whole."""
    said = []
    for one, other in combinations(found, 2):
        marks = [group.wanted for group in (one, other) if group.wanted]
        if one.metal != other.metal or not marks:
            continue
        high = max(marks, key=lambda mark: mark.permille)
        whole = average_permille(parts, one.metal)
        if not reaches(whole, high.demanded_whole_permille):
            said.append(
                Statement(
                    text=f"{high.label} alone would speak for all {high.metal}, which as a whole "
                    f"is {whole:.6g} permille and would need "
                    f"{high.demanded_whole_permille:g}: stamp each part",
                    source=high.law,
                    known=high.known,
                )
            )
    return said


def _mixed(precious: tuple[str, ...], pack: Region) -> list[Statement]:
    rules = [rule for m in precious if (rule := pack.rule("mixed_minimum", m)) is not None]
    said = []
    if rules:
        least = ", ".join(f"{rule.metal} {rule.value}" for rule in rules)
        text = f"each metal of a mixed ring meets its own minimum: {least}; each mark on its part"
        said.append(_sentence(rules[0], text))
    office = office_metal(precious, pack)
    rank = None if office is None else pack.rule("office_mark_rank", office)
    if office is not None and rank is not None:
        ranked = sorted((r.value, r.metal) for r in pack.rules if r.rule == "office_mark_rank")
        order = ", ".join(metal for _, metal in ranked)
        text = f"the assay office's mark goes with the {office}, the least precious ({order})"
        said.append(_sentence(rank, text))
    return said


def office_metal(precious: Sequence[str], pack: Region) -> str | None:
    """The metal that the assay office's mark goes with: the least precious; None without one."""
    ranks = {m: rank for m in precious if (rank := pack.number("office_mark_rank", m)) is not None}
    return min(ranks, key=lambda metal: ranks[metal]) if ranks else None


def _exemption(parts: Sequence[Marked], precious: tuple[str, ...], pack: Region) -> list[Statement]:
    rules = [rule for m in precious if (rule := pack.rule("exempt_below", m)) is not None]
    if not rules:
        return list(pack.statements("exempt_words"))
    weights = ", ".join(f"{rule.metal} {rule.value} g" for rule in rules)
    text = f"exempt from hallmarking below {weights}; here {sum(p.grams for p in parts):.2f} g"
    said = [_sentence(rules[0], text)]
    if len({part.metal for part in parts}) > 1:
        said += pack.statements("exempt_words")
    return said
