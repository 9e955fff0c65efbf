"""The castings of a ring: all parts of one alloy, with their sprues, in one flask."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, pi

import numpy as np

from ringgeom.asked import together
from ringgeom.form.curve import Array
from ringgeom.making.casting import Flask, flask
from ringgeom.making.part import Part
from ringgeom.making.sprue import Sprue
from ringgeom.making.tree import Hanging, Tree, tree
from ringgeom.metal import Alloy
from ringgeom.metal.melting import Pour, pour_c
from ringgeom.shop import Casting as CastingSettings
from ringgeom.units import grams


@dataclass(frozen=True, slots=True, kw_only=True)
class Casting:
    """All parts of one alloy, poured together in one flask.

    `names` are those of its parts; with the job before them where several rings share it.
    """

    alloy: Alloy
    parts: tuple[Part, ...]
    sprues: tuple[Sprue, ...]
    names: tuple[str, ...]
    tree: Tree
    flask: Flask

    @property
    def pour(self) -> Pour | None:
        """How hot to pour, and into what; None when no source gives the liquidus."""
        return pour_c(self.alloy)

    def cells(self) -> dict[str, str]:
        """Its row in a notebook."""
        flask = self.flask
        return {
            "to melt": self.alloy.name,
            "for": together(self.names),
            "parts g": grams(flask.parts_g),
            "sprue g": grams(flask.sprue_g),
            "button g": grams(flask.button_g),
            "loss g": grams(flask.loss_g),
            "melt g": grams(flask.melt_g),
            "returns g": grams(flask.returns_g),
        }


def castings(
    parts: Sequence[Part], sprues: Mapping[str, Sprue], settings: CastingSettings
) -> tuple[Casting, ...]:
    """The castings of a ring, in the order in which their alloys first come.

    Parameters
    ----------
    sprues : mapping
        Of every part, by its name.
    """
    return poured([(part.name, part, sprues[part.name]) for part in parts], settings)


def poured(
    waxes: Sequence[tuple[str, Part, Sprue]], settings: CastingSettings
) -> tuple[Casting, ...]:
    """One casting for each alloy of some waxes, whatever ring they are of.

    Parameters
    ----------
    waxes : sequence of (str, Part, Sprue)
        Each with the name to tell it by.
    """
    by_alloy: dict[Alloy, list[tuple[str, Part, Sprue]]] = {}
    for wax in waxes:
        by_alloy.setdefault(wax[1].alloy, []).append(wax)
    return tuple(_casting(alloy, group, settings) for alloy, group in by_alloy.items())


def _casting(
    alloy: Alloy, waxes: Sequence[tuple[str, Part, Sprue]], settings: CastingSettings
) -> Casting:
    names, parts, sprues = zip(*waxes, strict=True)
    set_up = tree([one for _, part, sprue in waxes for one in _hanging(part, sprue)], settings)
    return Casting(
        alloy=alloy,
        parts=parts,
        sprues=sprues,
        names=names,
        tree=set_up,
        flask=flask(
            cast_mm3=[part.cast_mm3 for part in parts],
            finished_mm3=[part.volume_mm3 for part in parts],
            sprue_mm3=[*(sprue.volume_mm3 for sprue in sprues), set_up.stem_mm3],
            density_g_cm3=alloy.density_g_cm3,
            settings=settings,
        ),
    )


def _hanging(part: Part, sprue: Sprue) -> list[Hanging]:
    """A ring hangs in the plane of its stem; a piece of one as long as its chord."""
    if (plate := part.plate) is not None:
        one = Hanging(
            sprue=sprue,
            reach_mm=plate.thick_mm,
            along_mm=plate.long_mm,
            across_mm=plate.wide_mm,
        )
        return [one] * part.count
    wax, count = part.wax, part.pieces_round
    reach = wax.outside_mm
    if count > 2:
        # from the top of its back down to its ends
        half = min(pi / count + part.lean, pi)
        reach = (wax.outside_mm - wax.bore_mm * cos(half)) / 2
    along = float(wax.outside_mm * chord_share(count, np.array(part.lean)))
    return [Hanging(sprue=sprue, reach_mm=reach, along_mm=along, across_mm=wax.width_mm)]


def chord_share(pieces_round: int, lean: Array) -> Array:
    """How long one of so many pieces round a ring is, as a share of the ring's diameter.

    Parameters
    ----------
    lean : Array
        Angle by which a slant carries its edge round from its middle [rad].
    """
    if pieces_round <= 2:
        return np.ones_like(lean)
    found: Array = np.sin(np.minimum(pi / pieces_round + lean, pi / 2))
    return found
