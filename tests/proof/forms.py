"""Random forms of outside and bore with measures that mostly fit the band."""

from __future__ import annotations

from random import Random
from typing import Any

Keys = dict[str, Any]

OUTSIDES = (
    "flat", "domed", "domed", "half-round", "oval", "bevelled", "knife-edge", "concave",
    "stepped", "rounded-square", "twin-dome", "free",
)  # fmt: skip


def some_outside(random: Random, half: float, thick: float) -> Keys:
    """Any form of the outside; one in six has a measure near its limit."""
    form = random.choice(OUTSIDES)

    def up(low: float, high: float) -> float:
        share = random.choice([low, high]) if random.random() < 0.15 else random.uniform(low, high)
        return round(share * thick, 2) or 0.01

    def across(low: float, high: float) -> float:
        return round(random.uniform(low, high) * half, 2) or 0.01

    keys: Keys = {"form": form}
    if form == "domed":
        keys["rise_mm"] = min(up(0.02, 0.5), half)
    elif form == "half-round":
        keys["edge_height_mm"] = max(up(0.1, 0.8), round(thick - half + 0.02, 2))
    elif form == "oval":
        keys["rise_mm"] = min(max(up(0.2, 0.7), round((0.05 * half) ** 0.5 + 0.01, 2)), half)
    elif form == "bevelled":
        keys |= {"bevel_mm": across(0.1, 0.9), "drop_mm": up(0.05, 0.5)}
    elif form == "knife-edge":
        keys["drop_mm"] = up(0.1, 0.5)
        if random.random() < 0.7:
            which = random.choice(["top_mm", "round_mm"])
            keys[which] = across(0.05, 0.8)
    elif form == "concave":
        keys["dip_mm"] = min(up(0.05, 0.4), half)
        if random.random() < 0.5:
            keys["rim_mm"] = across(0.05, 0.5)
    elif form == "stepped":
        keys |= {"ledge_mm": across(0.1, 0.7), "drop_mm": up(0.05, 0.5)}
    elif form == "rounded-square":
        keys["radius_mm"] = min(up(0.1, 0.5), half)
    elif form == "twin-dome":
        keys["rise_mm"] = min(up(0.05, 0.4), half / 2)
    elif form == "free":
        keys["points"] = some_points(random, half, thick)
    return keys


def some_points(random: Random, half: float, thick: float) -> list[Keys]:
    """Points from left to right, some of them a step, some stretches bowed."""
    count = random.choice([2, 3, 4, 5, 6])
    z = sorted({round(random.uniform(-half, half), 2) for _ in range(count)} | {-half, half})
    points: list[Keys] = []
    for at in z:
        rise = round(random.uniform(0, 0.35 * thick), 2)
        point: Keys = {"z_mm": at, "rise_mm": rise}
        if points and random.random() < 0.4:
            width = at - points[-1]["z_mm"]
            point["bow_mm"] = round(random.uniform(-0.12, 0.12) * width, 3)
        points.append(point)
        if random.random() < 0.15 and at not in (-half, half):
            points.append({"z_mm": at, "rise_mm": round(rise + random.choice([-0.2, 0.25]), 2)})
    return points


def some_bore(random: Random, half: float, thick: float) -> Keys:
    """Any bore."""
    form = random.choice(["flat", "domed", "domed", "eased"])
    if form == "domed":
        return {"form": form, "rise_mm": round(random.uniform(0.02, 0.25) * thick, 2)}
    if form == "eased":
        return {"form": form, "radius_mm": round(random.uniform(0.05, 0.4) * min(half, thick), 2)}
    return {"form": form}
