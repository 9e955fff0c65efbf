"""Text and bytes that went wrong somewhere, drawn from a random number generator."""

from __future__ import annotations

from random import Random
from typing import Any

ODD_NUMBERS = (
    "nan", "inf", "-inf", "1e308", "-1e308", "5e-324", "-0.0", "0", "-1", "1e999", "0x" + "f" * 80,
    "9" * 400, "1_0", "0.1e-9", "1979-05-27", "true", "1e-7", "1000000", "6,5", ".5", "5.",
)  # fmt: skip
ODD_WORDS = (
    "../../up", "/etc/passwd", "C:\\x", "con", "NUL.txt", "a" * 300, "\u202egnp", "e\u0301", "ＡＢ",
    "a\u0000b", "\ud7ff", "½", "🜚 or", "''", '"""', "{}", "[]", "%s%n", "=1+1", "@", ".", "..", " ",
    "\u00a0", "-", "ß", "ﬁ", "\ufeff", "a\nb", "a/b", "$(x)", "`x`", "LPT1", "aux.", "\U0010ffff",
)  # fmt: skip


def spoiled_text(random: Random, text: str, words: tuple[str, ...] = ()) -> str:
    """A text with a few things changed: lines, numbers, words, signs, or cut short."""
    for _ in range(random.choice([1, 1, 2, 3, 6])):
        text = random.choice(
            [_line_lost, _line_twice, _lines_swapped, _number, _number, _word, _signs, _cut, _long]
        )(random, text, words)
    return text


def _lines(random: Random, text: str) -> tuple[list[str], int]:
    lines = text.split("\n")
    return lines, random.randrange(len(lines))


def _line_lost(random: Random, text: str, words: tuple[str, ...]) -> str:
    lines, at = _lines(random, text)
    del lines[at]
    return "\n".join(lines)


def _line_twice(random: Random, text: str, words: tuple[str, ...]) -> str:
    lines, at = _lines(random, text)
    lines.insert(random.randrange(len(lines) + 1), lines[at])
    return "\n".join(lines)


def _lines_swapped(random: Random, text: str, words: tuple[str, ...]) -> str:
    lines, at = _lines(random, text)
    other = random.randrange(len(lines))
    lines[at], lines[other] = lines[other], lines[at]
    return "\n".join(lines)


def _number(random: Random, text: str, words: tuple[str, ...]) -> str:
    """One number of the text replaced."""
    starts = [i for i, sign in enumerate(text) if sign.isdigit() and not text[i - 1 : i].isalnum()]
    if not starts:
        return text + random.choice(ODD_NUMBERS)
    start = end = random.choice(starts)
    while end < len(text) and (text[end].isdigit() or text[end] == "."):
        end += 1
    return text[:start] + random.choice(ODD_NUMBERS) + text[end:]


def _word(random: Random, text: str, words: tuple[str, ...]) -> str:
    """Something put in between quotes, or anywhere."""
    new = random.choice([*ODD_WORDS, *words])
    quotes = [i for i, sign in enumerate(text) if sign == '"']
    if len(quotes) > 1 and random.random() < 0.7:
        n = random.randrange(len(quotes) - 1)
        return text[: quotes[n] + 1] + new + text[quotes[n + 1] :]
    at = random.randrange(len(text) + 1)
    return text[:at] + new + text[at:]


def _signs(random: Random, text: str, words: tuple[str, ...]) -> str:
    at = random.randrange(len(text) + 1)
    some = "".join(chr(random.choice([random.randrange(32, 127), random.randrange(0xD800)]))
                   for _ in range(random.choice([1, 2, 5])))  # fmt: skip
    return text[:at] + some + text[at + random.choice([0, 1]) :]


def _cut(random: Random, text: str, words: tuple[str, ...]) -> str:
    return text[: random.randrange(len(text) + 1)]


def _long(random: Random, text: str, words: tuple[str, ...]) -> str:
    """A piece of it many times over."""
    start = random.randrange(len(text) + 1)
    piece = text[start : start + random.choice([1, 3, 20])]
    return text[:start] + piece * random.choice([2, 50, 2000]) + text[start:]


def spoiled_bytes(random: Random, data: bytes) -> bytes:
    """A file with bytes changed, left out, doubled, or cut short."""
    found = bytearray(data)
    for _ in range(random.choice([1, 2, 8, 64])):
        if not found:
            break
        at = random.randrange(len(found))
        what = random.random()
        if what < 0.7:
            found[at] = random.choice([0, 1, 127, 128, 255, random.randrange(256)])
        elif what < 0.8:
            del found[at : at + random.choice([1, 4, 100])]
        elif what < 0.9:
            found[at:at] = found[at : at + random.choice([1, 4, 100])]
        else:
            del found[at:]
    return bytes(found)


def some_value(random: Random, deep: int = 2) -> Any:
    """Anything that JSON holds."""
    kinds = [None, True, False, 0, -1, 1e308, 0.5, 2**63, "", "US 7", "flat", *ODD_WORDS]
    if deep and random.random() < 0.3:
        if random.random() < 0.5:
            return [some_value(random, deep - 1) for _ in range(random.randrange(4))]
        return {
            random.choice(["a", "width_mm", "", "name"]): some_value(random, deep - 1)
            for _ in range(random.randrange(3))
        }
    return random.choice(kinds)
