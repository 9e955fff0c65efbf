"""What is asked of jobs when they are done: shared stock, solder in marks, castings as read."""

from __future__ import annotations

from ringgeom.afterwards.measured import JobMeasured, measured
from ringgeom.afterwards.shared import (
    job_marks,
    job_solder_rooms,
    shared_castings,
    shared_melts,
)

__all__ = [
    "JobMeasured",
    "job_marks",
    "job_solder_rooms",
    "measured",
    "shared_castings",
    "shared_melts",
]
