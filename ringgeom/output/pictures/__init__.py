"""Pictures of a ring as PNG files: rendered where the machine can, drawn where it cannot."""

from __future__ import annotations

from ringgeom.output.pictures.album import Picture, Pictures, drawn_pictures, pictures
from ringgeom.output.pictures.asked_views import TURNTABLE, view_names, views_meant

__all__ = [
    "TURNTABLE",
    "Picture",
    "Pictures",
    "drawn_pictures",
    "pictures",
    "view_names",
    "views_meant",
]
