"""Random designs as a goldsmith might write them, and some that are nearly right.

One generator for both uses: a long run gives it `random.Random(seed)`, a property test gives
it hypothesis' own random numbers, which are then made small when something fails. A design is
plain keys, as they stand in its file.
"""

from __future__ import annotations

import json
from itertools import pairwise
from random import Random
from typing import Any

from proof.engravings import DRAWINGS, some_engravings
from proof.forms import some_bore, some_outside

Keys = dict[str, Any]

ALLOYS = (
    "gold-750-yellow-3n", "gold-750-green", "gold-750-red-5n", "gold-750-white-pd-15",
    "silver-925", "gold-1000", "platinum-950-ru", "Au 75 Ag 25",
)  # fmt: skip
SIZES = ("US 7", "US 4 1/2", "ISO 54", "ISO 61.5", "UK N½", "UK Z+3", "JP 14", "54.4 mm around")
ROUTES = (
    "slide on", "wrap and seam", "split body", "stretch", "hammer in", "cast on",
    "side by side", "laminate", "segments",
)  # fmt: skip
PHASES = (0.0, 15.0, 90.0, 133.0, 180.0, 270.0, -45.5)

NEARLY = 0.15
"""Share of designs that have a measure or two set to something odd."""

ENGRAVED = 0.05
"""Share of designs with engravings: each takes as long as ten without."""


def mm(random: Random, low: float, high: float) -> float:
    """A measure as it is written, in hundredths; one in ten is any number."""
    high = max(low, high)
    found = random.uniform(low, high)
    return found if random.random() < 0.1 else round(found, 2)


def some_design(random: Random) -> tuple[Keys, Keys]:
    """A design and a shop, as keys of their files."""
    thick = mm(random, 1.1, 3.0)
    width = mm(random, 2.0, 9.0)
    ring: Keys = {
        "size": random.choice([*SIZES, f"{mm(random, 13, 23):g} mm across"]),
        "width_mm": width,
        "thickness_mm": thick,
    }
    if random.random() < 0.7:
        ring["outside"] = some_outside(random, width / 2, thick)
    if random.random() < 0.5:
        ring["inside"] = some_bore(random, width / 2, thick)
    own = ring.get("outside", {}).get("form") in ("oval", "rounded-square", "half-round")
    if random.random() < (0.1 if own else 0.5):
        ring["edge_mm"] = mm(random, 0.05, 0.35)
    if random.random() < 0.1:
        ring["taper"] = some_taper(random, width, thick)
    design: Keys = {"job": {"name": "Proof"}, "ring": ring}
    rise = ring.get("inside", {}).get("rise_mm", ring.get("inside", {}).get("radius_mm", 0.0))
    parts = some_parts(random, width / 2, thick, rise)
    if not parts or random.random() < 0.95:
        design["body"] = {"alloy": random.choice(ALLOYS)}
        if random.random() < 0.2:
            design["body"]["proud_mm"] = random.choice([-0.2, -0.1, 0.1, 0.15, 0.3])
    if random.random() < 0.07:
        parts.append(some_inlay(random, width, thick))
    if parts:
        design["part"] = parts
    if random.random() < ENGRAVED:
        waving = [part["name"] for part in parts if "wave" in part]
        design["engraving"] = some_engravings(random, width, waving)
    if random.random() < NEARLY:
        for _ in range(random.choice([1, 1, 2])):
            make_odd(random, design)
    return design, some_shop(random)


def some_parts(random: Random, half: float, thick: float, rise: float) -> list[Keys]:
    """A liner or none, channels beside each other or none, and what is under and between.

    `rise` is how far the bore rises at its edges: a liner is mostly thicker.
    """
    parts: list[Keys] = []
    same = some_wave(random, half / 6) if random.random() < 0.3 else None
    if random.random() < 0.3:
        parts.append(
            {"name": "liner", "place": "liner", "alloy": random.choice(ALLOYS),
             "thickness_mm": rise + mm(random, 0.1, 0.3 * thick), **some_gap(random)}
        )  # fmt: skip
    end = half - random.choice([0.0, 0.1, 0.4])
    lanes = random.choice([(), ((-end, end),), ((-end, end),), ((-end, -0.1), (0.1, end))])
    for lane in lanes:
        parts.append(some_channel(random, *lane, half, thick, len(parts)))
    rest = random.choice(["", "", "stripes", "edges", "segments", "edges segments", "stripes"])
    if rest == "stripes":
        stops = [-half, mm(random, -0.8 * half, 0.0), mm(random, 0.05, 0.8 * half), half]
        for low, high in pairwise(stops):
            if low < high and random.random() < 0.75:
                stripe = {
                    "name": f"stripe {len(parts)}", "place": "stripe",
                    "alloy": random.choice(ALLOYS), "from_mm": low, "to_mm": high,
                    **some_gap(random),
                }  # fmt: skip
                if same is not None:
                    on = random.choice(["from", "to"])
                    stripe["wave"] = same if random.random() < 0.95 else {**same, "on": on}
                parts.append(stripe)
    if "edges" in rest:
        rails = {"name": "rail", "place": "edges", "alloy": random.choice(ALLOYS),
                 "width_mm": mm(random, 0.3, 0.6 * half), **some_gap(random)}  # fmt: skip
        parts.append(rails | ({"wave": same} if same is not None else {}))
    if "segments" in rest:
        parts.append(some_segments(random, thick))
    if parts and random.random() < 0.12:
        one = random.choice(parts)
        one["route"] = random.choice(ROUTES)
        if random.random() < 0.5:
            one["seam_mm"] = random.choice([0.0, 0.05, 0.1, 0.3])
    if len(parts) > 1 and random.random() < 0.04:
        random.shuffle(parts)
    return parts


def some_channel(
    random: Random, low: float, high: float, half: float, thick: float, number: int
) -> Keys:
    """A channel between two z, its wave and its undercut mostly too; now and then a step."""
    room = high - low
    under = mm(random, 0.03, 0.2) if random.random() < 0.3 else 0.0
    wave = some_wave(random, max(0.1, room / 3 - under)) if random.random() < 0.3 else None
    swing = 0.0 if wave is None else wave["amplitude_mm"]
    width = mm(random, 0.4, max(0.6, room - 2 * swing - 2 * under - random.choice([0, 0.8])))
    slack = max(0.0, (room - width) / 2 - swing - under)
    centre = (low + high) / 2 + random.choice([-1, -0.5, 0, 0, 0, 0.5, 1]) * slack
    if random.random() < 0.08:
        width, centre = random.choice([(2 * half, 0.0), (half, half / 2), (half, -half / 2)])
    found: Keys = {
        "name": f"inlay {number}", "place": "channel", "alloy": random.choice(ALLOYS),
        "width_mm": width, "depth_mm": mm(random, 0.25 * thick, 0.65 * thick),
        "centre_mm": round(centre, 3), **some_gap(random),
    }  # fmt: skip
    if under:
        found["undercut_mm"] = under
    if wave is not None:
        found["wave"] = wave
    return found


def some_segments(random: Random, thick: float) -> Keys:
    """Straight or slanted, through or let in."""
    found: Keys = {
        "name": "plank", "place": "segments", "count": random.choice([2, 3, 5, 8, 12]),
        "alloys": random.sample(ALLOYS, random.choice([1, 2, 3])), **some_gap(random),
    }  # fmt: skip
    if random.random() < 0.5:
        slants = [-30.0, -7.5, 10.0, 35.0]
        found["slant_deg"] = random.choice([*slants * 5, -60.0, 70.0])  # the steep are slow
    if random.random() < 0.4:
        found["depth_mm"] = mm(random, 0.3, 0.6 * thick)
    return found


def some_taper(random: Random, width: float, thick: float) -> list[Keys]:
    """One to three stations, narrower or thinner than 12 o'clock."""
    stations = []
    for at in random.sample(["1:30", "3:00", "6:00", "8:15", "10:30"], random.choice([1, 1, 2, 3])):
        station: Keys = {"at": at}
        if random.random() < 0.8:
            station["width_mm"] = mm(random, 0.6 * width, width)
        if random.random() < 0.5 or len(station) == 1:
            station["thickness_mm"] = mm(random, 0.75 * thick, thick)
        stations.append(station)
    return stations


def some_inlay(random: Random, width: float, thick: float) -> Keys:
    """Inserts of a drawing in their pockets."""
    found: Keys = {
        "name": "leaves", "place": "motif", "alloy": random.choice(ALLOYS),
        "file": random.choice(list(DRAWINGS)), "count": random.choice([1, 3, 6]),
        "height_mm": mm(random, 0.2 * width, 0.45 * width),
        "depth_mm": mm(random, 0.25 * thick, 0.5 * thick),
        "gap_mm": {"side": random.choice([0.0, 0.04]), "floor": random.choice([0.0, 0.03])},
        "centre_mm": round(random.choice([0.0, 0.0, 0.15, -0.2]) * width, 2),
    }  # fmt: skip
    if random.random() < 0.5:
        found["cutter_mm"] = random.choice([0.2, 0.3, 0.8])
        found["corners"] = random.choice(["round", "relieved"])
    if random.random() < 0.3:
        found["made"] = "cast"
    if random.random() < 0.3:
        found["floor"] = "flat"
    return found


def some_wave(random: Random, most: float) -> Keys:
    high = mm(random, 0.05, max(0.1, most))
    wave: Keys = {"amplitude_mm": high, "count": random.choice([1, 2, 3, 3, 4, 5, 6, 8])}
    if random.random() < 0.5:
        wave["phase_deg"] = random.choice(PHASES)
    return wave


def some_gap(random: Random) -> Keys:
    """None, open, or a press fit of turned parts; one number or face by face."""
    which = random.random()
    if which < 0.35:
        return {}
    if which < 0.6:
        return {"gap_mm": mm(random, 0.01, 0.1)}
    if which < 0.7:
        return {"gap_mm": -mm(random, 0.01, 0.03)}
    faces = [random.choice([0.0, 0.03, 0.05, 0.05, 0.15, -0.02]) for _ in "sf"]
    return {"gap_mm": {"side": faces[0], "floor": faces[1]}}


def some_shop(random: Random) -> Keys:
    """Mostly the default shop; some let thin things pass, so that they are made too."""
    shop: Keys = {}
    if random.random() < 0.6:
        shop["limits"] = {
            "floor_stop_mm": 0.1, "rail_stop_mm": 0.1, "wire_stop_mm": 0.1, "press_stop_mm": 0.1,
            "feather_mm": 0.01,
        }  # fmt: skip
    if random.random() < 0.15:
        stock = random.choice([0.0, 0.05, 0.3])
        shop["stock"] = {"outside_mm": stock, "bore_mm": stock, "edge_mm": stock}
    if random.random() < 0.1:
        shop["mesh"] = {"chord_mm": random.choice([0.002, 0.01, 0.05])}
    if random.random() < 0.15:
        shop["casting"] = {"sprue_on_wax": True, "sprue_count": random.choice([0, 1, 2, 3])}
    return shop


ODD = (0.0, 1e-9, 5e-5, 1e-4, 1e-3, 0.01, 0.3, 1.0, 3.0, 20.0, -0.02, -1.0)


def make_odd(random: Random, design: Keys) -> None:
    """One measure set to something odd, or nearly to where another one ends."""
    numbers = list(measures(design))
    holder, key = random.choice(numbers)
    half = design["ring"]["width_mm"] / 2
    if key == "count":
        holder[key] = random.choice([1, 2, 25, 60])
        return
    near = [half, -half, 2 * half, design["ring"]["thickness_mm"], holder[key]]
    holder[key] = random.choice(
        [
            random.choice(ODD),
            random.choice(near),
            random.choice(near) + random.choice([1e-9, -1e-9, 1e-7, 1e-5, -1e-5, 1e-3, -1e-3]),
            holder[key] * random.choice([0.1, 0.5, 2.0, 10.0]),
        ]
    )


def measures(node: Any) -> list[tuple[Any, Any]]:
    """Every (container, key) of a number in a design."""
    items = list(node.items() if isinstance(node, dict) else enumerate(node))
    found = [(node, key) for key, inner in items if type(inner) in (int, float)]
    for _, inner in items:
        if isinstance(inner, dict | list):
            found += measures(inner)
    return found


def toml(value: Any) -> str:
    """A value as TOML, tables inline."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007F")
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml, value))}]"
    if isinstance(value, dict):
        return f"{{{', '.join(f'{toml(k)} = {toml(v)}' for k, v in value.items())}}}"
    return str(value.isoformat())


def document(keys: Keys) -> str:
    """Keys as a TOML file, one line for each of the first."""
    return "".join(f"{toml(key)} = {toml(value)}\n" for key, value in keys.items())
