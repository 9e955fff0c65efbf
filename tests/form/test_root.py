"""Roots in brackets."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ringgeom.form.root import bracketed_root


@settings(max_examples=200, deadline=None)
@given(
    root=st.floats(-5, 5),
    bend=st.floats(0.01, 30),
    left=st.floats(0.001, 4),
    right=st.floats(0.001, 4),
)
def test_steep_and_flat(root: float, bend: float, left: float, right: float) -> None:
    """Derived: tanh and its like cross zero exactly at the root."""
    found = bracketed_root(
        lambda z: np.tanh(bend * (z - root)) + 0.1 * (z - root),
        np.array([root - left]),
        np.array([root + right]),
    )
    assert found[0] == pytest.approx(root, abs=1e-12)


def test_many_at_once() -> None:
    angles = np.array([0.3, 1.0, 2.5])
    found = bracketed_root(lambda z: np.sin(z - angles), angles - 1.2, angles + 0.7)
    assert found == pytest.approx(angles, abs=1e-13)


def test_a_corner_in_the_bracket() -> None:
    found = bracketed_root(
        lambda z: np.where(z < 0, 0.01 * z, 50 * z) + 0.002, np.array([-1.0]), np.array([1.0])
    )
    assert found[0] == pytest.approx(-0.2, abs=1e-12)
