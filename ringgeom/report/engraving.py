"""What is engraved, told in the terminal."""

from __future__ import annotations

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
        times = f", {one['repeat']} times round" if one["repeat"] > 1 else ""
        how = f"{one['depth_mm']:g} mm {'high' if one['raised'] else 'deep'}, {one['made']}"
        how += " in" if one["made"] == "cast" else " after casting"
        taken = ", ".join(
            f"{t['part']} {'gains' if t['engraved_mm3'] < 0 else 'loses'} "
            f"{abs(t['engraved_mm3']):.3f} mm3"
            for t in one["taken"]
        )
        say(
            f'  "{one["text"]}" in {one["font"]}, capitals {one["height_mm"]:g} mm, '
            f"{one['length_mm']:.2f} mm long{times}, {where}; {how}: {taken}"
        )
        if one["over_letters_mm"]:
            say(f"    {one['over_letters_mm']:.2f} mm over the letters")
        if one["shapes_united"]:
            say(
                f"    {one['shapes_united']} letters or groups of them overlapped and were united, "
                "within 0.1 micrometres of the font"
            )
