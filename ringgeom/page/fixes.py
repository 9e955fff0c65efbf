"""The way out of a finding as keys and values, where it is one: a button on the page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor

from ringgeom.findings import Finding
from ringgeom.page.edits import Change, Keys

STEP_MM = 0.05
"""What may be anything below or above a limit is set to the next whole step."""

NUMBER = re.compile(
    r"\b(?P<key>[a-z_]+_(?:mm|deg)|count|(?:side|floor)(?= =)) "
    r"(?P<how>= |up to |below |at least |)(?P<value>-?\d+(?:\.\d+)?)"
    r"(?: mm)?(?P<after> or more| or above| or less)?"
)
DEEPEST = re.compile(r"deepest safe channel here: (?P<value>\d+\.\d+) mm")
THICKER = re.compile(r"a band (?P<value>\d+\.\d+) mm thick or more")
PLAIN = re.compile(r"^(?P<how>at least |)(?P<value>\d+(?:\.\d+)?) mm(?P<after> or more|)$")
FOR = re.compile(r" for (?P<name>.+)$")
OFFER = re.compile(r"\bfor (?P<name>[^;]+?) (?P<alloy>[a-z]+(?:-[a-z0-9]+)+) \(\d+\.\d\)")
WORD = re.compile(r'\b(?P<key>route|size|floor|made) = "(?P<value>[^"]+)"')
SAID = {
    ("floor", "following"): "floor following the face",
    ("made", "engraved"): "engraved after casting",
}
"""What a button says of a word that tells too little by itself."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fix:
    """What a button says, and what it sets."""

    words: str
    change: Change


def fixes(finding: Finding, names: Sequence[str] = ()) -> tuple[Fix, ...]:
    """Buttons for a finding; none where its way out takes a goldsmith's judgement.

    Parameters
    ----------
    names : sequence of str
        Of the design's parts, in the order written.
    """
    if not finding.key or finding.key == ("part",):
        return ()
    return tuple({fix.words: fix for fix in _found(finding, names)}.values())


def _found(finding: Finding, names: Sequence[str]) -> Iterator[Fix]:
    if match := DEEPEST.search(finding.fix):
        key = (*finding.key[:2], "depth_mm")
        yield _length(key, _whole(float(match["value"]), "up to ", ""))
        return
    if match := THICKER.search(finding.fix):
        yield _length(("ring", "thickness_mm"), float(match["value"]))
        return
    if match := PLAIN.match(finding.fix):
        if str(finding.key[-1]).endswith("_mm"):
            yield _length(finding.key, _whole(float(match["value"]), "at least ", ""))
        return
    if finding.code.startswith("contrast-"):
        yield from _partners(finding, names)
        return
    yield from _named(finding, names)


def _partners(finding: Finding, names: Sequence[str]) -> Iterator[Fix]:
    """The first metal offered in place of each of two that meet; none that needs a caution."""
    for match in OFFER.finditer(finding.fix):
        name, alloy = match["name"], match["alloy"]
        if name == "body" or name in names:
            part: Keys = ("body",) if name == "body" else ("part", names.index(name))
            yield Fix(words=f"{name} in {alloy}", change=Change(key=(*part, "alloy"), value=alloy))


def _length(key: Keys, value: float) -> Fix:
    return Fix(words=f"{_said(str(key[-1]))} {value:.2f}", change=Change(key=key, value=value))


def _named(finding: Finding, names: Sequence[str]) -> Iterator[Fix]:
    """Fixes that name their key."""
    other = FOR.search(finding.fix)
    base = finding.key
    if other is not None and other["name"] in names:
        base = ("part", names.index(other["name"]))
    for match in WORD.finditer(finding.fix):
        key, text = match["key"], match["value"]
        words = SAID.get((key, text), text)
        yield Fix(words=words, change=Change(key=_place(base, key), value=text))
    for match in NUMBER.finditer(finding.fix):
        key, value = match["key"], float(match["value"])
        whole: float | int
        if key == "count":
            whole = int(value)
            words = f"{whole} of them"
        else:
            whole = _whole(value, match["how"], match["after"] or "")
            words = f"{_said(key)} {whole:.2f}"
        yield Fix(words=words, change=Change(key=_place(base, key), value=whole))


def _whole(value: float, how: str, after: str) -> float:
    steps = value / STEP_MM
    if how == "below ":
        steps = ceil(steps - 1e-6) - 1
    elif how == "up to " or after == " or less":
        steps = floor(steps + 1e-6)
    elif how == "at least " or after:
        steps = ceil(steps - 1e-6)
    else:
        return value
    # a limit below one step is taken as it is
    return round(steps * STEP_MM, 6) if steps > 0 or value <= 0 else value


def _said(key: str) -> str:
    return key.rsplit("_", 1)[0].replace("_", " ") if "_" in key else key


def _place(key: Keys, name: str) -> Keys:
    """Where a key named in the fix lies, seen from the key that the finding points to."""
    if key[-1] == name:
        return key
    if name in ("side", "floor"):
        return (*key, name) if key[-1] == "gap_mm" else (*key, "gap_mm", name)
    if name == "rise_mm" and key[-1] not in ("outside", "inside"):
        return (*key, "outside", name)
    if isinstance(key[-1], int) or key[-1] in ("ring", "body", "outside", "inside", "wave"):
        return (*key, name)
    return (*key[:-1], name)
