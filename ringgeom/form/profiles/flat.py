"""A flat face: a cylinder round the finger.

outside   _____________
         |             |
bore     |_____________|
"""

from __future__ import annotations

from typing import ClassVar, Literal

from ringgeom.form.curve import Flat
from ringgeom.form.frame import Chain, whole
from ringgeom.form.profiles.face import Face, Form


class FlatFace(Form):
    """Nothing to say but the form; grabbed, it becomes a dome."""

    height: ClassVar[tuple[str, int] | None] = ("rise_mm", -1)

    form: Literal["flat"] = "flat"

    @property
    def plain(self) -> bool:
        return True

    def drawn(self, face: Face) -> Chain:
        return whole(Flat(face.crest_mm), face.half_mm)
