"""Motif inlays, told in the terminal."""

from __future__ import annotations

from ringgeom.output.json_inlays import inlays_json
from ringgeom.sketch import Sketch
from ringgeom.terminal import say


def tell_inlays(sketch: Sketch) -> None:
    """Pockets and pieces of every motif inlay, each pattern with what one of it weighs."""
    for one in inlays_json(sketch):
        where = f"the first at {one['at_clock']}"
        if one["centre_mm"]:
            where += f", {one['centre_mm']:+g} mm from mid-width"
        made = "cast in" if one["made"] == "cast" else "cut after casting"
        tool = f"by a cutter {one['cutter_mm']:g} mm across" if one["cutter_mm"] else "by laser"
        taken = ", ".join(f"{t['part']} loses {t['pockets_mm3']:.3f} mm3" for t in one["taken"])
        say(
            f"  {one['part']}: {one['copies']} pockets of {one['file']}, each "
            f"{one['length_mm']:.2f} x {one['height_mm']:.2f} mm, {one['depth_mm']:g} mm deep, "
            f"{where}; {made}, {tool}: {taken}"
        )
        patterns = "; ".join(
            f"{some['count']} x {some['each_mm3']:.3f} mm3 of {some['each_g']:.4f} g"
            for some in one["patterns"]
        )
        gap = one["pockets_mm3"] - one["inserts_mm3"]
        say(
            f"    {one['pieces']} inserts: {patterns}; together {one['inserts_mm3']:.3f} mm3, "
            f"and {gap:.3f} mm3 of gap round them"
        )
