"""Seams round the ring: neighbours never meet."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ringgeom.making.seam_angles import seam_angles


@given(
    st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=4).map(
        lambda pairs: [(f"p{a}", f"p{b}") for a, b in pairs if a != b]
    )
)
def test_seams_of_neighbours_are_90_to_180_apart(touching: list[tuple[str, str]]) -> None:
    """Up to four contacts hold no five rings that all touch, so four directions are enough."""
    found = seam_angles([(f"s{n}", (f"p{n}", f"p{n}")) for n in range(6)], touching)
    angle = {f"p{at}": one.angle_deg for at, one in enumerate(found)}
    for a, b in touching:
        apart = abs(angle[a] - angle[b])
        assert 90 <= min(apart, 360 - apart) <= 180
    lonely = [one for at, one in enumerate(found) if not any(f"p{at}" in t for t in touching)]
    assert all(one.apart_deg is None and one.angle_deg == 0 for one in lonely)


def test_a_stack_alternates_and_a_split_ring_spreads_its_own_seams() -> None:
    closed = [(name, (name, name)) for name in "abc"]
    stack = seam_angles(closed, [("a", "b"), ("b", "c")])
    assert [one.angle_deg for one in stack] == [0, 180, 0]
    # listed from both ends, the middle still comes out alternating
    row = seam_angles([(n, (n, n)) for n in "adbc"], [("a", "b"), ("b", "c"), ("c", "d")])
    assert [one.apart_deg for one in row] == [180] * 4
    split = [("one", ("left", "right")), ("two", ("right", "left")), ("reed", ("reed", "reed"))]
    found = seam_angles(split, [("reed", "left"), ("reed", "right")])
    assert [one.angle_deg for one in found] == [0, 180, 90]
    assert [one.apart_deg for one in found] == [90, 90, 90]


def test_more_neighbours_than_directions_are_told_the_truth() -> None:
    """Five rings that all touch cannot be 90 degrees apart: 360 / 5 is 72."""
    five = "abcde"
    found = seam_angles([(n, (n, n)) for n in five], [(a, b) for a in five for b in five if a < b])
    angles = [one.angle_deg for one in found]
    for at, one in enumerate(found):
        gaps = [abs(one.angle_deg - other) for k, other in enumerate(angles) if k != at]
        assert one.apart_deg == min(min(gap, 360 - gap) for gap in gaps)
    assert min(one.apart_deg or 0 for one in found) < 90
