"""Rules on what is let into the outside, by itself: its depth, its width, its walls."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from ringgeom.findings.context import Asking
from ringgeom.findings.finding import Finding, Rules
from ringgeom.form.places import Channel, Liner
from ringgeom.form.profiles import Domed, FlatFace
from ringgeom.units import MM_PER_INCH

RULES: Rules[Asking] = Rules()


def safe_depth_mm(a: Asking) -> float:
    """Deepest channel that leaves the floor its warning limit, liners counted [mm]."""
    lined = max((p.thickness_mm for _, p in a.places() if isinstance(p, Liner)), default=0.0)
    return a.form.mid_mm - max(lined, a.shop.limits.floor_warn_mm)


def deepest_words(a: Asking, deep_mm: float) -> str:
    """The way out of too deep a channel, rounded so that followed to the letter it is safe."""
    deep = floor(deep_mm * 100 + 1e-6) / 100
    least = a.shop.limits.inlay_depth_warn_mm
    if deep < least:
        more = ceil((a.form.thickness_mm + least - deep) * 10 - 1e-6) / 10
        return f"no depth is safe here: a band {more:.1f} mm thick or more"
    return f"deepest safe channel here: {deep:.2f} mm"


@RULES.add
def channel_through(a: Asking) -> Iterator[Finding]:
    """A channel that goes down to the bore."""
    for key, place in a.places():
        deep = getattr(place, "depth_mm", None)
        if deep is not None and deep >= a.form.mid_mm - 1e-9:
            yield Finding(
                code="thin-floor",
                level="stop",
                part=place.name,
                value=a.form.mid_mm - deep,
                limit=a.shop.limits.floor_stop_mm,
                unit="mm",
                text=f"a depth of {deep:g} mm goes through a band {a.form.mid_mm:g} mm thick"
                + ("" if a.form.mid_mm == a.form.thickness_mm else " at mid-width"),
                fix=deepest_words(a, safe_depth_mm(a)),
                key=(*key, "depth_mm"),
            )


@RULES.add
def thin_inlay(a: Asking) -> Iterator[Finding]:
    """Inlays too slight to make and keep; much too slight is a slip of the unit."""
    limits = a.shop.limits
    for key, place in a.places():
        if not isinstance(place, Channel):
            continue
        for which, value, warn, stop in (
            ("width_mm", place.width_mm, limits.inlay_width_warn_mm, limits.wire_stop_mm),
            ("depth_mm", place.depth_mm, limits.inlay_depth_warn_mm, limits.wire_stop_mm / 2),
        ):
            inches = value * MM_PER_INCH
            if value < stop - 1e-9:
                like = 0.5 <= inches <= 12
                yield Finding(
                    code="looks-like-inches" if like else "too-small",
                    level="stop",
                    part=place.name,
                    value=value,
                    limit=stop,
                    unit="mm",
                    text=f"an inlay of {which[:-3]} {value:g} mm cannot be made"
                    + (f"; it looks like inches, {inches:.2f} mm" if like else ""),
                    fix=f"write {which} = {inches:.2f}" if like else f"{which} {warn:g} or more",
                    key=(*key, which),
                )
            elif value < warn - 1e-9:
                yield Finding(
                    code="thin-inlay",
                    level="warn",
                    part=place.name,
                    value=value,
                    limit=warn,
                    unit="mm",
                    text=f"an inlay of {which[:-3]} {value:g} mm is hard to make and keep",
                    fix=f"{which} {warn:g} or more",
                    key=(*key, which),
                )


@RULES.add
def wall_height(a: Asking) -> Iterator[Finding]:
    """An outside or a recess that leaves little of the channel's walls, or nothing."""
    limits, plain = a.shop.limits, a.empty_ring
    if plain is None:
        return
    for key, place in a.places():
        if not isinstance(place, Channel):
            continue
        swing = place.wave.amplitude_mm if place.wave else 0.0
        swing += place.undercut_mm
        half = a.band.half_mm
        low, high = (
            max(-half, min(half, z + way * swing))
            for way, z in zip((-1, 1), place.walls_mm(), strict=True)
        )
        floor_mm = a.band.mid_mm - place.depth_mm
        inlay, wall = (
            top.extremes_mm(low, high)[0] - floor_mm
            for top in (plain.finished.outside, plain.finished.body_top)
        )
        what = "dome" if isinstance(a.form.outside, Domed | FlatFace) else "outside"
        if inlay < limits.feather_mm - 1e-9:
            yield Finding(
                code="feather-edge",
                level="stop" if inlay <= 0.01 + 1e-9 else "warn",
                part=place.name,
                value=inlay,
                limit=limits.feather_mm,
                unit="mm",
                text="the channel's floor breaks out of the metal: beside mid-width the outside "
                f"lies {-inlay:.2f} mm below it"
                if inlay < 0 and what == "outside"
                else f"the {what} leaves the inlay {max(inlay, 0.0):.2f} mm thick at its sides: "
                "it thins to nothing there and will not cast",
                fix=f"depth_mm {_up(place.depth_mm + limits.inlay_depth_warn_mm - inlay)}, "
                f"a narrower channel, or a lower {what}",
                key=(*key, "depth_mm"),
            )
        elif inlay < limits.inlay_depth_warn_mm - 1e-9 <= place.depth_mm - 2e-9:
            yield Finding(
                code="thin-inlay",
                level="warn",
                part=place.name,
                value=inlay,
                limit=limits.inlay_depth_warn_mm,
                unit="mm",
                text=f"the {what} leaves the inlay {inlay:.2f} mm thick at its sides",
                fix=f"depth_mm {_up(place.depth_mm + limits.inlay_depth_warn_mm - inlay)}, "
                f"a narrower channel, or a lower {what}",
                key=(*key, "depth_mm"),
            )
        elif wall < limits.feather_mm - 1e-9:
            yield Finding(
                code="recess-too-deep",
                level="stop",
                part=place.name,
                value=wall,
                limit=limits.feather_mm,
                unit="mm",
                text=f"the recessed body leaves walls of {wall:.2f} mm beside {place.name}: "
                "nothing holds it",
                fix=f"proud_mm {a.form.proud_mm + limits.inlay_depth_warn_mm - wall:.2f} or above, "
                "or a deeper channel",
                key=("body", "proud_mm"),
            )


def _up(value_mm: float) -> str:
    return f"{ceil(value_mm * 100 - 1e-6) / 100:.2f} or more"


@RULES.add
def undercut_traps(a: Asking) -> Iterator[Finding]:
    """An undercut inlay is wider at its foot than the channel's mouth."""
    for key, place in a.places():
        if place.route in ("hammer in", "cast on", "split body"):
            continue  # whether that works is told with the routes
        if isinstance(place, Channel) and place.undercut_mm > 0:
            sides = sum(not a.band.on_edge(z) for z in place.walls_mm())
            foot = place.width_mm + sides * place.undercut_mm - sides * place.gap.side
            if sides and foot > place.width_mm:
                yield Finding(
                    code="undercut-traps-inlay",
                    level="warn",
                    part=place.name,
                    value=foot,
                    limit=place.width_mm,
                    unit="mm",
                    text=f"{place.name} is {foot:.2f} mm wide at its foot and the channel's mouth "
                    f"{place.width_mm:.2f} mm: cast or wrapped, it cannot go in",
                    fix="hammer in a wire of 1.05 to 1.15 times the groove's area, cast it on, "
                    "or make the body in two; else undercut_mm = 0",
                    key=(*key, "undercut_mm"),
                )
