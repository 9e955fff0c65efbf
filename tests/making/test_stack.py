"""The stack from the finger outwards."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ringgeom.errors import InputError, ShapeError
from ringgeom.making.stack import stack_up

CENTRE = [("reed", 10.05, 10.85), ("liner", 9.0, 9.8), ("body", 9.85, 10.0)]
EDGE = [("body", 9.85, 10.85), ("liner", 9.2, 9.8)]
"""A comfort bore: the liner is thinner at its edge, and the inlay does not reach it."""


def test_outwards_with_the_gaps_between() -> None:
    found = stack_up(CENTRE, EDGE)
    assert [(row.name, row.kind) for row in found.rows] == [
        ("liner", "part"),
        ("liner to body", "gap"),
        ("body", "part"),
        ("body to reed", "gap"),
        ("reed", "part"),
    ]
    rows = {row.name: row for row in found.rows}
    # differences of decimals: rounding only
    assert rows["liner"].thinnest_mm == pytest.approx(0.6, abs=1e-12)
    assert rows["body"].thinnest_mm == pytest.approx(0.15, abs=1e-12)
    assert rows["body"].edge is not None
    assert rows["body"].edge.thickness_mm == pytest.approx(1.0, abs=1e-12)
    assert rows["reed"].edge is None
    assert found.total.thickness_mm == pytest.approx(1.85, abs=1e-12)
    assert found.edge_total is not None
    assert found.edge_total.thickness_mm == pytest.approx(1.65, abs=1e-12)


def test_what_is_only_at_the_edge_has_its_row_too() -> None:
    found = stack_up(
        [("liner", 9.0, 9.8), ("core", 9.85, 10.9)], [("liner", 9.0, 9.8), ("rail", 9.9, 10.9)]
    )
    names = [row.name for row in found.rows]
    assert sorted(names) == ["core", "liner", "liner to core", "liner to rail", "rail"]
    assert names.index("liner") < names.index("liner to rail") < names.index("rail")


def test_a_press_fit_is_a_gap_below_zero_and_a_touch_is_none() -> None:
    pressed = stack_up([("liner", 9.0, 9.81), ("body", 9.8, 10.9)])
    assert pressed.rows[1].thinnest_mm == pytest.approx(-0.01, abs=1e-12)
    assert len(stack_up([("liner", 9.0, 9.8), ("body", 9.8, 10.9)]).rows) == 2


@given(st.lists(st.tuples(st.floats(0.1, 2), st.floats(-0.05, 0.3)), min_size=1, max_size=8))
def test_parts_and_gaps_make_the_whole(steps: list[tuple[float, float]]) -> None:
    layers, at = [], 9.0
    for number, (thick, gap) in enumerate(steps):
        layers.append((f"part {number}", at, at + thick))
        at += thick + gap
    found = stack_up(layers[::-1])
    thick = sum(row.centre.thickness_mm for row in found.rows if row.centre is not None)
    # a gap within 1e-9 is none and does not count
    assert thick == pytest.approx(found.total.thickness_mm, abs=1e-8)
    assert found.edge_total is None


@pytest.mark.parametrize(
    ("layers", "error", "words"),
    [
        ([], InputError, "nothing is stacked"),
        ([("a", 9, 9)], InputError, "here 9 to 9 mm; allowed: an outer radius above 9 mm"),
        ([("a", 0, 9)], InputError, "the inner radius of a at mid-width"),
        ([("a", 9, float("inf"))], InputError, "the outer radius of a"),
        ([("a", 9, 10), ("a", 10, 11)], InputError, 'here "a"; allowed: each name once'),
        ([("a", 9, 11), ("b", 9.5, 10)], ShapeError, "b and a lie in the same place"),
        ([("a", 9, 10), ("b", 9, 11)], ShapeError, "b and a lie in the same place"),
    ],
)
def test_no_such_stack(layers: Any, error: type[Exception], words: str) -> None:
    with pytest.raises(error) as caught:
        stack_up(layers)
    assert words in str(caught.value)
