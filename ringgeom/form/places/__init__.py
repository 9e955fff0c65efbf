"""Places that a part can take, one file each; adding one is a file and its name here."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ringgeom.form.places.channel import Channel
from ringgeom.form.places.edges import Edges
from ringgeom.form.places.liner import Liner
from ringgeom.form.places.motif import MotifInlay
from ringgeom.form.places.place import Band, Gap, Place, Placed, Share
from ringgeom.form.places.segments import Segments
from ringgeom.form.places.stripe import Stripe

AnyPlace = Annotated[
    Channel | Liner | Stripe | Edges | Segments | MotifInlay, Field(discriminator="place")
]

TRADE_WORDS = {
    **dict.fromkeys(("inlay", "groove", "line", "wire"), "channel"),
    **dict.fromkeys(("lining", "sleeve", "inner"), "liner"),
    **dict.fromkeys(("rail", "rails", "border"), "edges"),
    **dict.fromkeys(("stripes", "band", "half"), "stripe"),
    **dict.fromkeys(("picture", "figure", "cutout", "silhouette", "pierced"), "motif"),
    **dict.fromkeys(("brick", "bricks", "pieces", "segment", "sectors"), "segments"),
}
"""What people write for a place, and the place it means."""

__all__ = [
    "TRADE_WORDS",
    "AnyPlace",
    "Band",
    "Channel",
    "Edges",
    "Gap",
    "Liner",
    "MotifInlay",
    "Place",
    "Placed",
    "Segments",
    "Share",
    "Stripe",
]
