"""Sizes of all finger scales and the inside diameter they stand for.

The inside diameter is the truth, every label a view of it. Hand sizes of Hong Kong and
China are left out: two charts of them differ by up to 1.3 mm, so there is no rule.
"""

from __future__ import annotations

from ringgeom.finger.doubts import Suspicion, hints, suspicion
from ringgeom.finger.fit import Allowance, FitSettings, MadeSize, made_size, stick_error_mm
from ringgeom.finger.labels import Label, labels
from ringgeom.finger.reading import read_size
from ringgeom.finger.scales import Scale, scale_named, scales
from ringgeom.finger.size import UNLIKELY_ABOVE_MM, UNLIKELY_BELOW_MM, FingerSize

__all__ = [
    "UNLIKELY_ABOVE_MM",
    "UNLIKELY_BELOW_MM",
    "Allowance",
    "FingerSize",
    "FitSettings",
    "Label",
    "MadeSize",
    "Scale",
    "Suspicion",
    "hints",
    "labels",
    "made_size",
    "read_size",
    "scale_named",
    "scales",
    "stick_error_mm",
    "suspicion",
]
