"""A bore with eased edges: flat on the finger, its two inner edges rounded.

       |                     |
       |                     |    radius_mm: from the flat round into the upright edge
        '.                 .'
          '---------------'       the size is the flat

Unlike a domed bore it reads true on a stick over most of its width.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from ringgeom.form.profiles.round_ends import RoundEnds


class Eased(RoundEnds):
    """A flat bore, rounded at its edges only."""

    called: ClassVar[str] = "edges eased by"

    form: Literal["eased"]
