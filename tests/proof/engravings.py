"""Random lettering, room for marks, patterns and motifs."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

from engraving.drawn import BLADE, LEAF, SQUARE

Keys = dict[str, Any]

DRAWINGS = {"blade.svg": BLADE, "leaf.svg": LEAF, "square.svg": SQUARE}

WORDS = ("EVER", "Åg", "ß&", "I", "thine", "IV·X", "אב", "ﬁn", "1/2", "o")
FONTS = ("serif", "sans", "bold", "script")
PLACES = ("12:00", "6:00", "3:30", 0, 90, 181.5, -15)


def drawings_in(folder: Path) -> None:
    """The drawings that motifs ask for, beside a design."""
    for name, text in DRAWINGS.items():
        (folder / name).write_text(text, "utf-8")


def some_engravings(random: Random, width: float, waving: list[str]) -> list[Keys]:
    """One or two, somewhere on the band, mostly within it."""
    found = []
    for _ in range(random.choice([1, 1, 1, 2])):
        kind = random.choice(["lettering", "lettering", "lettering", "mark", "pattern", "motif"])
        keys: Keys = {"kind": kind, "on": random.choice(["inside", "outside"])}
        if random.random() < 0.7:
            keys["at"] = random.choice(PLACES)
        if random.random() < 0.5:
            keys["centre_mm"] = round(random.uniform(-0.2, 0.2) * width, 2)
        keys |= {
            "lettering": some_lettering,
            "mark": some_mark,
            "pattern": some_pattern,
            "motif": some_motif,
        }[kind](random, width)
        if kind == "motif" and waving and random.random() < 0.5:
            keys["follows"] = random.choice(waving)
        if kind != "mark" and random.random() < 0.3:
            keys["made"] = "cast"
        if kind != "mark" and random.random() < 0.3:
            keys["floor"] = "flat"
        found.append(keys)
    return found


def some_lettering(random: Random, width: float) -> Keys:
    keys: Keys = {
        "text": random.choice(WORDS),
        "height_mm": round(random.uniform(0.15, 0.45) * width, 2),
        "depth_mm": round(random.uniform(0.05, 0.3), 2),
        "font": random.choice(FONTS),
    }
    if random.random() < 0.2:
        keys["raised"] = True
    if random.random() < 0.2:
        keys["repeat"] = random.choice([2, 3])
    if random.random() < 0.2:
        keys["fit_mm"] = round(random.uniform(4, 15), 1)
    if random.random() < 0.15:
        keys["mirrored"] = True
    return keys


def some_mark(random: Random, width: float) -> Keys:
    return {
        "which": random.choice(["fineness", "maker"]),
        "width_mm": round(random.uniform(0.8, 3), 2),
        "height_mm": round(random.uniform(0.1, 0.6) * width, 2),
    }


def some_pattern(random: Random, width: float) -> Keys:
    """Coarse ones: what is fine takes as long as it has figures."""
    keys: Keys = {
        "milgrain": {"bead_mm": 1.1, "gap_mm": 0.2, "groove_mm": 0.2, "edges": "low"},
        "hatch": {"pitch_mm": 3.0, "line_mm": 0.4, "crossing": random.choice([True, False])},
        "rope": {"twist_mm": 3.0, "height_mm": round(0.3 * width, 2)},
        "vine": {"wave_mm": 9.0, "swing_mm": round(0.12 * width, 2), "leaf_mm": 1.6},
        "scales": {"scale_mm": 3.5, "row_mm": 1.7, "line_mm": 0.3},
        "hammered": {"facet_mm": 3.0, "seed": random.choice([1, 7, 23])},
        "brushed": {"way": random.choice(["round", "across", "slanted"])},
    }
    name = random.choice(list(keys))
    found: Keys = {"pattern": name, **keys[name]}
    if random.random() < 0.5:
        found["width_mm"] = round(random.uniform(0.3, 0.8) * width, 2)
    return found


def some_motif(random: Random, width: float) -> Keys:
    keys: Keys = {
        "file": random.choice([*DRAWINGS, *DRAWINGS, "none.svg"]),
        "count": random.choice([1, 2, 5, 9]),
        "depth_mm": round(random.uniform(0.05, 0.3), 2),
    }
    if random.random() < 0.8:
        keys["height_mm"] = round(random.uniform(0.15, 0.4) * width, 2)
    if random.random() < 0.4:
        keys["mirrored"] = random.choice(["across", "round"])
    return keys
