"""The answer to each thing the page asks."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from starlette.responses import Response

from ringgeom.design import design_from_text
from ringgeom.page.asked import (
    AlloysSent,
    FilesSent,
    ForgetSent,
    KeepSent,
    LookSent,
    RingSent,
    SaveSent,
)
from ringgeom.page.desk import Desk, Opened
from ringgeom.page.latest import Latest
from ringgeom.page.view import view


def as_json(data: Any) -> Response:
    """Data as a compact answer."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Response(text.encode(), media_type="application/json")


def state(desk: Desk, latest: Latest, name: str, kind: str, listing: bool) -> Response:
    """A design to begin with: by name, by kind, or the one the page was opened on.

    `listing` asks for the names and kinds alone.
    """
    if name:
        found: Opened | None = desk.opened(name)
    elif kind:
        found = desk.started(kind)
    else:
        found = desk.opened(desk.first) if desk.first and not listing else None
    data: dict[str, Any] = {"designs": desk.names(), "kinds": list(desk.kinds())}
    if found is not None:
        data |= {"opened": asdict(found), "view": view(found.text, (), latest)}
    return as_json(data)


def look(desk: Desk, latest: Latest, sent: LookSent) -> Response:
    """What a text with some keys changed looks like."""
    return as_json(view(sent.text, sent.edits(), latest, trying=sent.trying))


def ring(desk: Desk, latest: Latest, sent: RingSent) -> Response:
    """The solids of a text."""
    from ringgeom.page.meshes import ring_bytes

    found = latest.sketch(sent.text) if sent.quick else latest.job(sent.text)
    return Response(ring_bytes(found, quick=sent.quick), media_type="application/octet-stream")


def keep(desk: Desk, latest: Latest, sent: KeepSent) -> Response:
    """Keep unsaved work."""
    work = sent.model_dump(include={"text", "undo", "redo", "when"})
    return as_json({"turn": desk.keep(sent.name, work, sent.turn)})


def forget(desk: Desk, latest: Latest, sent: ForgetSent) -> Response:
    """Take unsaved work away."""
    desk.forget(sent.name)
    return as_json({})


def save(desk: Desk, latest: Latest, sent: SaveSent) -> Response:
    """Save a design that can be read; it may have findings."""
    name = design_from_text(sent.text).job.name
    return as_json({"opened": asdict(desk.save(sent.name, sent.text, sent.stamp, name))})


def take(desk: Desk, latest: Latest, sent: FilesSent) -> Response:
    """The files of a design, as one zip."""
    from ringgeom.page.files import zipped

    found = latest.job(sent.text)
    return Response(zipped(found, sent.what, sent.text), media_type="application/zip")


def alloys(desk: Desk, latest: Latest, sent: AlloysSent) -> Response:
    """Alloys for one part, most contrast with its neighbours first."""
    from ringgeom.page.alloys import choices

    return as_json(choices(latest.job(sent.text), sent.part))
