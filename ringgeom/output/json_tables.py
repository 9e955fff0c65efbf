"""Tables for the bench as JSON: turning, stack-up, blanks, cut lists, waves, templates."""

from __future__ import annotations

from typing import Any

from ringgeom.making.bench import Bench
from ringgeom.making.blank import Blank
from ringgeom.making.cutting import CutList
from ringgeom.making.stack import Stack
from ringgeom.making.turning import Cut
from ringgeom.making.unrolled import Unrolled
from ringgeom.making.waving import WaveMeasure
from ringgeom.output.json_soldering import soldering_json


def bench_json(bench: Bench | None) -> dict[str, Any]:
    """All tables, each under its key; empty ones where there is no ring."""
    if bench is None:
        names = ("turning", "stack", "blanks", "cut_lists", "waves", "templates")
        return {"solder": None, **{name: [] for name in names}}
    return {
        "solder": soldering_json(bench.soldering),
        "turning": [_turn(cut) for cut in bench.turning],
        "stack": [_stack(stack) for stack in bench.stacks],
        "blanks": [_blank(blank) for blank in bench.blanks],
        "cut_lists": [_cut_list(one) for one in bench.cut_lists],
        "waves": [_wave(wave) for wave in bench.waves],
        "templates": [_template(one) for one in bench.templates],
    }


def _blank(found: Blank) -> dict[str, Any]:
    """A blank to bend, its ingot, and the same ring turned from a bar."""
    return {
        "part": found.part.name,
        "bent_mm": found.bent_mm,
        "profiled_mm": found.profiled_mm,
        "cut_mm": found.cut_mm,
        "width_mm": found.width_mm,
        "thickness_mm": found.thickness_mm,
        "strain_percent": found.strain_percent,
        "grams": found.grams,
        "ingot_mm": list(found.ingot_mm),
        "ingot_g": found.ingot_g,
        "rolling_stages": 0 if found.rolling is None else found.rolling.stages,
        "anneals": 0 if found.rolling is None else found.rolling.anneals,
        "rolled_mm": [] if found.rolling is None else list(found.rolling.thickness_mm),
        "turned": [
            {
                "from": one.form,
                "across_mm": one.across_mm,
                "bore_mm": one.bore_mm,
                "length_mm": one.length_mm,
                "used_percent": one.used_percent,
                "swarf_g": one.swarf_g,
            }
            for one in found.turned
        ],
    }


def _turn(cut: Cut) -> dict[str, Any]:
    """A diameter to turn."""
    return {
        "of": cut.part,
        "face": cut.face,
        "finished_diameter_mm": cut.finished_mm,
        "turned_diameter_mm": cut.turned_mm,
        "stock_mm": cut.stock_mm,
        "from_mm": cut.at_mm[0],
        "to_mm": cut.at_mm[1],
    }


def _stack(stack: Stack) -> dict[str, Any]:
    """The layers at one place across the width."""
    return {
        "at": stack.at,
        "at_mm": stack.at_mm,
        "thickness_mm": stack.thickness_mm,
        "layers": [
            {
                "name": layer.name,
                "kind": layer.kind,
                "from_diameter_mm": layer.from_mm,
                "to_diameter_mm": layer.to_mm,
                "thickness_mm": layer.thickness_mm,
            }
            for layer in stack.layers
        ],
    }


def _cut_list(one: CutList) -> dict[str, Any]:
    """Segments to saw: the piece, the map, a strip of each alloy."""
    cuts = one.cuts
    return {
        "place": one.place,
        "slant_deg": one.slant_deg,
        "count": cuts.count,
        "inner_arc_mm": cuts.inner_arc_mm,
        "outer_arc_mm": cuts.outer_arc_mm,
        "wedge_deg": cuts.wedge_deg,
        "start_deg": list(cuts.start_deg),
        "piece_mm": cuts.piece_mm,
        "kerf_mm": cuts.kerf_mm,
        "closing_worst_mm": cuts.closing_worst_mm,
        "closing_likely_mm": cuts.closing_likely_mm,
        "joint_low_mm": cuts.joint_low_mm,
        "joint_high_mm": cuts.joint_high_mm,
        "strips": [
            {
                "alloy": strip.alloy,
                "pieces": list(strip.numbers),
                "length_mm": strip.length_mm,
                "width_mm": strip.width_mm,
                "thickness_mm": strip.thickness_mm,
                "grams": strip.grams,
            }
            for strip in one.strips
        ],
    }


def _wave(wave: WaveMeasure) -> dict[str, Any]:
    """A waving place at the outside."""
    path = wave.path
    return {
        "place": wave.place,
        "amplitude_mm": wave.amplitude_mm,
        "count": wave.count,
        "length_mm": path.length_mm,
        "around_mm": path.around_mm,
        "longer_percent": path.longer_percent,
        "steepest_deg": path.steepest_deg,
        "tightest_mm": path.tightest_mm,
        "narrowest_mm": path.narrowest_mm if wave.whole else None,
        "widest_mm": path.widest_mm if wave.whole else None,
    }


def _template(one: Unrolled) -> dict[str, Any]:
    """A side of the ring unrolled: lines to wrap round it."""
    return {
        "side": one.side,
        "diameter_mm": one.diameter_mm,
        "around_mm": one.around_mm,
        "from_mm": -one.half_mm,
        "to_mm": one.half_mm,
        "lines": [
            {
                "of": line.of,
                "kind": line.kind,
                "number": line.number,
                "points_mm": [list(point) for point in line.points],
            }
            for line in one.lines
        ],
    }
