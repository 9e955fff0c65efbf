"""Where round the ring: the hours of the clock, as on the page and the templates.

12 is angle 0, 3 a quarter turn on: with the outside seen from without and the ring's right edge
(z larger than 0) up, the hours run to the right.
"""

from __future__ import annotations

import re
from math import pi, tau
from typing import Annotated, Any

from pydantic import BeforeValidator

from ringgeom.asked import told
from ringgeom.errors import Problem

HOURS = re.compile(r"(\d{1,2}):([0-5]\d)")
ALLOWED = '"12:00" to "12:59" by the clock, or degrees from 12 o’clock such as 90'


def clock_angle(at: str | float) -> float:
    """Angle of a clock position, or of degrees [rad].

    Examples
    --------
    >>> clock_angle("3:00") == pi / 2 == clock_angle(90)
    True
    """
    if isinstance(at, str):
        found = HOURS.fullmatch(at.strip())
        assert found is not None
        return tau * (int(found[1]) % 12 + int(found[2]) / 60) / 12
    return at / 180 * pi


def clock_words(angle: float) -> str:
    """An angle as the clock's hour and minute, to the nearest minute.

    Examples
    --------
    >>> clock_words(pi / 2)
    '3:00'
    """
    minutes = round(angle / tau * 720) % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02}"


def _position(asked: Any) -> Any:
    if isinstance(asked, bool) or not isinstance(asked, str | int | float):
        raise told(Problem(text="a place round the ring is needed", allowed=ALLOWED))
    if isinstance(asked, str):
        found = HOURS.fullmatch(asked.strip())
        if found is None or not 0 <= int(found[1]) <= 12:
            raise told(
                Problem(text="not a place round the ring", value=f'"{asked[:40]}"', allowed=ALLOWED)
            )
        return asked.strip()
    if not -3600 <= asked <= 3600:
        raise told(
            Problem(text="not a place round the ring", value=str(asked)[:40], allowed=ALLOWED)
        )
    return float(asked)


ClockPosition = Annotated[str | float, BeforeValidator(_position)]
"""A place round the ring: the clock's hour, or degrees."""
