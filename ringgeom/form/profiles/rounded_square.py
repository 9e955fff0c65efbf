"""A rounded square: flat, its two outer corners rounded by a large radius.

   .-----------.
 .'             '.    radius_mm: from the flat round into the upright edge
|                 |
|_________________|   with an eased bore all four corners are round
"""

from __future__ import annotations

from typing import ClassVar, Literal

from ringgeom.form.profiles.round_ends import RoundEnds


class RoundedSquare(RoundEnds):
    """A flat outside with large round corners."""

    called: ClassVar[str] = "corners of radius"

    form: Literal["rounded-square"]
