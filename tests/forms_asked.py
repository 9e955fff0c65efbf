"""Forms of outside and bore with any measures, as a design file could ask for them."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st
from pydantic import ValidationError

from ringgeom.form.profiles.free import Free


def lengths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high) | st.sampled_from([low, (low + high) / 2, high])


def bores(half: float, thick: float) -> st.SearchStrategy[dict[str, Any]]:
    """Any bore, whether or not it fits the band."""
    return _any({"flat": {}, "domed": {"rise_mm": lengths(0.0, thick)}, "eased": _radius(half)})


def outsides(half: float, thick: float) -> st.SearchStrategy[dict[str, Any]]:
    """Any outside that can be read, whether or not it fits the band."""
    up, across = lengths(0.001, thick), lengths(0.001, 1.1 * half)
    point = st.fixed_dictionaries(
        {"z_mm": lengths(-half, half), "rise_mm": lengths(0.0, thick)},
        optional={"bow_mm": lengths(-0.2, 0.2)},
    )
    points = st.lists(point, min_size=2, max_size=6).map(
        lambda some: [
            {key: one[key] for key in one if number or key != "bow_mm"}
            for number, one in enumerate(sorted(some, key=lambda one: one["z_mm"]))
        ]
    )
    points = points.filter(_readable)
    return _any(
        {
            "flat": {},
            "domed": {"rise_mm": lengths(0.0, thick)},
            "half-round": {"edge_height_mm": lengths(0.0, thick)},
            "oval": {"rise_mm": up},
            "bevelled": {"bevel_mm": across, "drop_mm": up},
            "knife-edge": {"drop_mm": up, "round_mm": lengths(0.0, 3.0)},
            "concave": {"dip_mm": up, "rim_mm": lengths(0.0, half)},
            "stepped": {"ledge_mm": across, "drop_mm": up},
            "rounded-square": _radius(half),
            "twin-dome": {"rise_mm": up},
            "free": {"points": points},
        }
    )


def _readable(points: list[dict[str, float]]) -> bool:
    """Whether they run from left to right, as an outline's points must."""
    try:
        Free.model_validate({"form": "free", "points": points})
    except ValidationError:
        return False
    return True


def _radius(half: float) -> dict[str, st.SearchStrategy[float]]:
    return {"radius_mm": lengths(0.001, 1.1 * half)}


def _any(
    forms: dict[str, dict[str, st.SearchStrategy[Any]]],
) -> st.SearchStrategy[dict[str, Any]]:
    return st.one_of(
        [st.fixed_dictionaries({"form": st.just(form)} | keys) for form, keys in forms.items()]
    )
