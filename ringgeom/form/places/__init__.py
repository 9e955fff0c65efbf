"""Places that a part can take, one file each; adding one is a file and its name here."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ringgeom.form.places.channel import Channel
from ringgeom.form.places.edges import Edges
from ringgeom.form.places.liner import Liner
from ringgeom.form.places.place import Band, Gap, Place, Placed
from ringgeom.form.places.segments import Segments
from ringgeom.form.places.stripe import Stripe

AnyPlace = Annotated[Channel | Liner | Stripe | Edges | Segments, Field(discriminator="place")]

__all__ = [
    "AnyPlace",
    "Band",
    "Channel",
    "Edges",
    "Gap",
    "Liner",
    "Place",
    "Placed",
    "Segments",
    "Stripe",
]
