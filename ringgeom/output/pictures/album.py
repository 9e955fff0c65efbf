"""The pictures of a job: every view rendered, or drawn where rendering is not to be had."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from ringgeom.output.pictures.asked_views import TURNTABLE, views_meant
from ringgeom.output.pictures.drawn import drawn
from ringgeom.output.pictures.film import PAPER, Dots
from ringgeom.output.pictures.paper import on_paper, png
from ringgeom.output.pictures.rendered import rendered
from ringgeom.output.pictures.turntable import turning_png
from ringgeom.scene.shown import Shown, shown
from ringgeom.scene.view import VIEWS, View, turning

if TYPE_CHECKING:
    from ringgeom.jobs import Job

Told = Callable[[str], None]


def _quiet(step: str) -> None:
    """Say nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture: the name of its view, its PNG file, and whether it was rendered or drawn."""

    view: str
    png: bytes
    rendered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictures:
    """Pictures in the order asked for; `words` tell why some are drawn, empty if none is."""

    pictures: tuple[Picture, ...]
    words: tuple[str, ...]

    @property
    def rendered(self) -> bool:
        """Whether all are rendered."""
        return all(picture.rendered for picture in self.pictures)


def pictures(
    job: Job, views: Sequence[str] = (), *, turntable: bool = False, told: Told = _quiet
) -> Pictures:
    """Pictures of a job, rendered in a process of its own.

    Where that process fails, for want of a GL library or in any other way, the views that
    are missing are drawn instead.

    Parameters
    ----------
    job : Job
        Not stopped.
    views : sequence of str
        Any of three-quarter, front, section, exploded; all of them when empty.
    turntable : bool
        The ring turning too, as an animated PNG.
    told : callable
        Called with the name of every step.

    Raises
    ------
    InputError
        A name is none of a view.
    StopError
        A finding stops the design.
    ShapeError
        A part cannot be meshed as designed.
    """
    names = views_meant(views)
    told("solids for the pictures")
    parts = shown(job)
    found, words = _stills(parts, names, told)
    if turntable:
        turned, why = _turntable(parts, told, render=not words)
        found.append(turned)
        words = words or why
    return Pictures(pictures=tuple(found), words=(f"drawn, not rendered: {words}",) * bool(words))


def drawn_pictures(job: Job, views: Sequence[str] = (), *, told: Told = _quiet) -> Pictures:
    """The same views drawn in flat colours, with no other process; as `pictures` otherwise."""
    names = views_meant(views)
    parts = shown(job)
    found = []
    for name in names:
        told(f"picture: {name}")
        found.append(_still(VIEWS[name](parts), parts, None))
    return Pictures(pictures=tuple(found), words=())


def _stills(parts: Shown, names: Sequence[str], told: Told) -> tuple[list[Picture], str]:
    """The views of some names, and why some are drawn."""
    seen = [VIEWS[name](parts) for name in names]
    found: dict[int, Picture] = {}

    def take(number: int, frame: Dots) -> None:
        told(f"picture: {names[number]}")
        found[number] = _still(seen[number], parts, frame)

    words = rendered(parts, seen, take)
    for number, view in enumerate(seen):
        if number not in found:
            told(f"picture, drawn: {names[number]}")
            found[number] = _still(view, parts, None)
    return [found[number] for number in range(len(seen))], words


def _still(view: View, parts: Shown, frame: Dots | None) -> Picture:
    dots = drawn(view, parts) if frame is None else frame
    paper = on_paper(dots, view, parts, rendered=frame is not None)
    return Picture(view=view.name, png=png(paper), rendered=frame is not None)


def _turntable(parts: Shown, told: Told, *, render: bool) -> tuple[Picture, str]:
    """The ring turning; rendered whole or drawn whole, and why it is drawn."""
    seen = turning(parts)
    frames: dict[int, Dots] = {}

    def take(number: int, frame: Dots) -> None:
        frames[number] = frame
        told(f"turntable: {number + 1} of {len(seen)}")

    words = rendered(parts, seen, take) if render else ""
    whole = len(frames) == len(seen)
    if not whole:
        for number, view in enumerate(seen):
            take(number, drawn(view, parts))
    wide, high = seen[0].size
    plain = np.full((high, wide, 3), PAPER, dtype=np.uint8)
    paper = on_paper(plain, seen[0], parts, rendered=whole)
    in_turn = [frames[number] for number in range(len(seen))]
    return Picture(view=TURNTABLE, png=turning_png(paper, in_turn), rendered=whole), words
