"""Forms of outside and bore, one file each; adding one is a file and its name here."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ringgeom.form.profiles.domed import Domed
from ringgeom.form.profiles.flat import FlatFace

Profile = Annotated[FlatFace | Domed, Field(discriminator="form")]

__all__ = ["Domed", "FlatFace", "Profile"]
