"""Forms of outside and bore, one file each; adding one is a file and its name here."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from ringgeom.form.profiles.bevelled import Bevelled
from ringgeom.form.profiles.concave import Concave
from ringgeom.form.profiles.domed import Domed
from ringgeom.form.profiles.eased import Eased
from ringgeom.form.profiles.face import Face, Form, Misfit
from ringgeom.form.profiles.flat import FlatFace
from ringgeom.form.profiles.free import Free, Point
from ringgeom.form.profiles.half_round import HalfRound
from ringgeom.form.profiles.knife_edge import KnifeEdge
from ringgeom.form.profiles.oval import Oval
from ringgeom.form.profiles.rounded_square import RoundedSquare
from ringgeom.form.profiles.stepped import Stepped
from ringgeom.form.profiles.twin_dome import TwinDome

Outside = Annotated[
    FlatFace
    | Domed
    | HalfRound
    | Oval
    | Bevelled
    | KnifeEdge
    | Concave
    | Stepped
    | RoundedSquare
    | TwinDome
    | Free,
    Field(discriminator="form"),
]

Inside = Annotated[FlatFace | Domed | Eased, Field(discriminator="form")]

FORM_WORDS = {
    **dict.fromkeys(("dome", "court", "d-shape", "d shape", "comfort"), "domed"),
    **dict.fromkeys(("half round", "halfround"), "half-round"),
    **dict.fromkeys(("bevel", "bevelled edge", "beveled", "chamfered"), "bevelled"),
    **dict.fromkeys(("knife", "knife edge", "ridge"), "knife-edge"),
    **dict.fromkeys(("hollow", "scooped"), "concave"),
    **dict.fromkeys(("step", "steps", "ledge", "ledges"), "stepped"),
    **dict.fromkeys(("square", "rounded square", "cushion"), "rounded-square"),
    **dict.fromkeys(("twin dome", "double dome"), "twin-dome"),
    **dict.fromkeys(("outline", "points", "polyline", "custom"), "free"),
    **dict.fromkeys(("eased edges", "rounded edges"), "eased"),
}
"""What people write for a form, and the form it means."""

__all__ = [
    "FORM_WORDS",
    "Bevelled",
    "Concave",
    "Domed",
    "Eased",
    "Face",
    "FlatFace",
    "Form",
    "Free",
    "HalfRound",
    "Inside",
    "KnifeEdge",
    "Misfit",
    "Outside",
    "Oval",
    "Point",
    "RoundedSquare",
    "Stepped",
    "TwinDome",
]
