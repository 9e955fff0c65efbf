"""What is engraved, told in the terminal."""

from __future__ import annotations

from typing import Any

from ringgeom.output.json_engraving import engravings_json
from ringgeom.sketch import Sketch
from ringgeom.terminal import say


def tell_engravings(sketch: Sketch) -> None:
    """One line for every engraving, with what each part loses or gains."""
    for one in engravings_json(sketch):
        where = f"{one['on']}, its middle at {one['at_clock']}"
        if one["centre_mm"]:
            where += f", {one['centre_mm']:+g} mm from mid-width"
        if one["kind"] == "mark":
            say(
                f"  room for the {one['which']} mark: {one['length_mm']:g} x "
                f"{one['height_mm']:g} mm, {where}"
            )
            continue
        taken = ", ".join(
            f"{t['part']} {'gains' if t['engraved_mm3'] < 0 else 'loses'} "
            f"{abs(t['engraved_mm3']):.3f} mm3"
            for t in one["taken"]
        )
        if one["kind"] != "lettering":
            _figure(one, where, taken)
            continue
        times = f", {one['repeat']} times round" if one["repeat"] > 1 else ""
        how = f"{one['depth_mm']:g} mm {'high' if one['raised'] else 'deep'}, {one['made']}"
        how += " in" if one["made"] == "cast" else " after casting"
        font = f"single lines {one['line_mm']:g} mm wide" if one["line_mm"] else one["font"]
        say(
            f'  "{one["text"]}" in {font}, capitals {one["height_mm"]:g} mm, '
            f"{one['length_mm']:.2f} mm long{times}, {where}; {how}: {taken}"
        )
        if one["over_letters_mm"]:
            say(f"    {one['over_letters_mm']:.2f} mm over the letters")
        if one["shapes_united"]:
            say(
                f"    {one['shapes_united']} letters or groups of them overlapped and were united, "
                "within 0.1 micrometres of the font"
            )


def _figure(one: dict[str, Any], where: str, taken: str) -> None:
    """A motif or a pattern; of one that cuts nothing only its words."""
    named = f"motif {one['file']}" if one["kind"] == "motif" else f"pattern {one['pattern']}"
    if not one["depth_mm"]:
        said = "; ".join(one["notes"])
        say(f"  {named} on the {one['on']}: {said}, nothing is cut")
        return
    made = "cast in" if one["made"] == "cast" else "engraved after casting"
    say(
        f"  {named}, {one['count']} round, each {one['length_mm']:.2f} mm long, "
        f"{one['height_mm']:.2f} mm high, {where}; up to {one['depth_mm']:g} mm deep, {made}: "
        f"{taken}"
    )
