"""What a casting and its pattern should measure, where a hand has read them."""

from __future__ import annotations

from ringgeom.errors import InputError, Problem
from ringgeom.making.part import Part
from ringgeom.making.shrinkage import Expected, reading_slips
from ringgeom.readings import CastingRead

MEASURES = ("bore", "outside", "width")


def expected(part: Part, read: CastingRead) -> Expected:
    """What the casting and its pattern should measure.

    Raises
    ------
    InputError
        A bore read on a piece that has none; a pattern read elsewhere than its casting.
    """
    problems: list[Problem] = []
    if part.cast_piece.sector is not None or part.plate is not None:
        for which in MEASURES[:2] if part.plate is None else MEASURES:
            if getattr(read, f"{which}_mm") is not None:
                problems.append(
                    Problem(
                        text=f"{part.name} is not a closed ring: a calliper cannot read "
                        f"its {which}",
                        allowed="weight_g, water_g"
                        if part.plate is not None
                        else "width_mm, weight_g, water_g",
                    )
                )
    on_wax = {w for w in MEASURES if getattr(read, f"wax_{w}_mm") is not None}
    on_casting = {w for w in MEASURES if getattr(read, f"{w}_mm") is not None}
    if on_wax and on_wax != on_casting:
        problems.append(
            Problem(
                text="the pattern and its casting were read in different places",
                value=f"pattern: {', '.join(sorted(on_wax))}",
                allowed=f"as on the casting: {', '.join(sorted(on_casting)) or 'nothing'}",
            )
        )
    cast = part.wax.scaled(1 / part.scale.scale)
    scale = part.scale.scale if read.scale is None else read.scale
    itself = 1.0 if not on_wax else 1 - part.scale.pattern_percent / 100
    wax = {which: getattr(cast, f"{which}_mm") * scale * itself for which in MEASURES}
    for which in sorted(on_wax):
        problems += reading_slips(
            f"the pattern's {which}", getattr(read, f"wax_{which}_mm"), wax[which]
        )
    if problems:
        raise InputError(problems)
    wax |= {which: getattr(read, f"wax_{which}_mm") for which in on_wax}
    return Expected(
        part=part.name,
        alloy_name=part.alloy.name,
        metal=part.alloy.recipe.precious,
        wax_bore_mm=wax["bore"],
        wax_outside_mm=wax["outside"],
        wax_width_mm=wax["width"],
        cast_bore_mm=cast.bore_mm,
        cast_outside_mm=cast.outside_mm,
        cast_width_mm=cast.width_mm,
        cast_mm3=part.cast_mm3,
        density_g_cm3=part.alloy.density_g_cm3,
        density_uncertainty_g_cm3=part.alloy.density_uncertainty_g_cm3,
        pattern_percent=0.0 if on_wax else part.scale.pattern_percent,
    )


def pattern_percent(part: Part, read: CastingRead) -> float | None:
    """By how much the pattern itself is smaller than its file, by its largest measure read."""
    file = part.wax.scaled(1.0 if read.scale is None else read.scale / part.scale.scale)
    for which in ("outside", "bore", "width"):
        on_wax = getattr(read, f"wax_{which}_mm")
        if on_wax is not None:
            return float(100 * (1 - on_wax / getattr(file, f"{which}_mm")))
    return None
