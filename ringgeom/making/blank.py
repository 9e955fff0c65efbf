"""What a part is made from without casting: a strip to bend, its ingot, a rod or a tube to turn."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from ringgeom.form.measure import Extent, Plate, build, extent
from ringgeom.form.ring import Ring
from ringgeom.making.part import Part
from ringgeom.making.rolling import Rolling, rolling
from ringgeom.shop import Fabricating
from ringgeom.units import mass_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Turned:
    """A ring turned from a bar: its size, what is left of it, what falls as swarf."""

    form: str
    across_mm: float
    bore_mm: float
    length_mm: float
    used_percent: float
    swarf_g: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Blank:
    """What one part is made from, finishing stock included.

    Attributes
    ----------
    part : Part
        The part; of like segments each has its own.
    bent_mm : float
        Length of a flat strip at half its thickness, what the ring takes [mm].
    profiled_mm : float
        The same of a strip that has its section before it is bent, at the section's centroid.
    cut_mm : float
        Flat strip to cut: with ends to square and the saw's kerf [mm].
    width_mm, thickness_mm : float
        Of the strip.
    strain_percent : float
        Stretch of its outer skin when it is bent round.
    grams : float
        Of the strip as cut [g].
    ingot_mm : tuple of float
        Thickness, width and length of an ingot to roll it from, cropped ends included.
    ingot_g : float
        Of that ingot: what is melted where the part is not cast [g].
    rolling : Rolling or None
        Stages from the ingot; None where the strip is as thick.
    turned : tuple of Turned
        The same ring from a rod and from a tube.
    """

    part: Part
    bent_mm: float
    profiled_mm: float
    cut_mm: float
    width_mm: float
    thickness_mm: float
    strain_percent: float
    grams: float
    ingot_mm: tuple[float, float, float]
    ingot_g: float
    rolling: Rolling | None
    turned: tuple[Turned, ...]

    @property
    def name(self) -> str:
        """Of its part; where it is many pieces, that they are pierced out of it."""
        many = self.part.plate is not None
        return f"{self.part.name}, {self.part.count} to pierce" if many else self.part.name


def blank(ring: Ring, part: Part, settings: Fabricating) -> Blank:
    """The blank of a part, with its stock.

    Grooves and domes are cut after bending, so a flat strip is as long as a plain ring of its
    thickness; a strip that is profiled first is as long as its centroid goes round.

    Source
    ------
    pi (d + t) for a flat strip; pi (d + 2 y), y the centroid above the bore, by Pappus, so that
    length times section is the volume.
    """
    built = build(ring, part.cast_piece, with_stock=True)
    if part.plate is not None:
        return _pierced(part, part.plate.scaled(1 / part.scale.scale), settings)
    strip = strip_extent(ring, part)
    bore, outside, width = strip.bore_mm, strip.outside_mm, strip.width_mm
    bent = built.turn * (bore + outside) / 4
    density, volume = part.alloy.density_g_cm3, part.cast_mm3
    closed = built.ends == 0 and not ring.form.tapers_thin
    return _from_strip(
        part,
        settings,
        bent_mm=bent,
        profiled_mm=built.length_mm,
        cut_mm=bent + settings.ends_mm + settings.kerf_mm,
        across_mm=(width, (outside - bore) / 2),
        bore_mm=bore,
        turned=(
            turned("rod", outside, 0.0, width, volume, density, settings),
            turned("tube", outside, bore, width, volume, density, settings),
        )
        if closed
        else (),
    )


def _pierced(part: Part, plate: Plate, settings: Fabricating) -> Blank:
    """Inserts pierced side by side out of one strip of sheet, a saw cut round each."""
    long = part.count * plate.long_mm
    return _from_strip(
        part,
        settings,
        bent_mm=long,
        profiled_mm=long,
        cut_mm=long + part.count * settings.kerf_mm + settings.ends_mm,
        across_mm=(plate.wide_mm + settings.kerf_mm, plate.thick_mm),
        bore_mm=part.wax.bore_mm / part.scale.scale,
        turned=(),
    )


def _from_strip(
    part: Part,
    settings: Fabricating,
    *,
    bent_mm: float,
    profiled_mm: float,
    cut_mm: float,
    across_mm: tuple[float, float],
    bore_mm: float,
    turned: tuple[Turned, ...],
) -> Blank:
    """A blank from its strip, `across_mm` wide and thick: what it weighs, and its ingot."""
    width, thick = across_mm
    density = part.alloy.density_g_cm3
    volume = cut_mm * width * thick
    ingot = max(settings.ingot_mm, thick)
    length = volume * (1 + settings.crop_percent / 100) / (ingot * width)
    return Blank(
        part=part,
        bent_mm=bent_mm,
        profiled_mm=profiled_mm,
        cut_mm=cut_mm,
        width_mm=width,
        thickness_mm=thick,
        strain_percent=100 * thick / (bore_mm + thick),
        grams=mass_g(volume, density),
        ingot_mm=(ingot, width, length),
        ingot_g=mass_g(ingot * width * length, density),
        rolling=rolling(ingot, thick, reduction_percent=settings.reduction_percent)
        if ingot > thick
        else None,
        turned=turned,
    )


def strip_extent(ring: Ring, part: Part) -> Extent:
    """What an even strip for a part is as large as, with its stock, in the metal.

    Where the band tapers, its largest section: the strip is tapered when it is bent.
    """
    if ring.form.taper is not None:
        return extent(ring.at(0.0), part.cast_piece, with_stock=True)
    return part.wax.scaled(1 / part.scale.scale)


def turned(
    form: str,
    outside_mm: float,
    bore_mm: float,
    width_mm: float,
    volume_mm3: float,
    density_g_cm3: float,
    settings: Fabricating,
) -> Turned:
    """A ring from a bar that leaves `turning_mm` to turn off every side.

    Examples
    --------
    A ring 22 / 18 x 6 from a rod 23 x 8, and from a tube 23 / 17 x 8 (computed in the facts):

    >>> half = Fabricating(turning_mm=0.5, parting_mm=1.0)
    >>> volume = pi / 4 * (22**2 - 18**2) * 6
    >>> round(turned("rod", 22, 0, 6, volume, 15.0, half).used_percent, 1)
    22.7
    >>> round(turned("tube", 22, 18, 6, volume, 15.0, half).used_percent, 1)
    50.0
    """
    across = outside_mm + 2 * settings.turning_mm
    inner = max(0.0, bore_mm - 2 * settings.turning_mm)
    length = width_mm + 2 * settings.turning_mm + settings.parting_mm
    bar = pi / 4 * (across**2 - inner**2) * length
    return Turned(
        form=form,
        across_mm=across,
        bore_mm=inner,
        length_mm=length,
        used_percent=100 * volume_mm3 / bar,
        swarf_g=max(0.0, mass_g(bar - volume_mm3, density_g_cm3)),
    )
