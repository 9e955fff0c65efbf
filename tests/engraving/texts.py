"""Design files with lettering, for the tests."""

from __future__ import annotations

from typing import Any

import ringgeom as rg

TEXT = """
[job]
name = "Wren"
[ring]
size = "ISO 54"
width_mm = 6.0
thickness_mm = 2.0
{ring}
[body]
alloy = "gold-750-yellow-3n"
{rest}
"""


def made(rest: str = "", ring: str = "") -> rg.Job:
    return rg.job(rg.design_from_text(TEXT.format(ring=ring, rest=rest)))


def engraving(**keys: Any) -> str:
    words = {"kind": "lettering", "text": "ROBIN", "height_mm": 1.5} | keys
    lines = [
        f"{key} = " + (str(v).lower() if isinstance(v, bool) else repr(v).replace("'", '"'))
        for key, v in words.items()
    ]
    return "\n[[engraving]]\n" + "\n".join(lines) + "\n"
