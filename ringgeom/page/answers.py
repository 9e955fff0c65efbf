"""The answer to each thing the page asks."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from starlette.responses import Response

from ringgeom.design import design_from_text
from ringgeom.jobs import job
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
from ringgeom.page.view import view
from ringgeom.shop import Shop


def as_json(data: Any) -> Response:
    """Data as a compact answer."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    return Response(text.encode(), media_type="application/json")


def state(desk: Desk, shop: Shop, name: str, kind: str, listing: bool) -> Response:
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
        data |= {"opened": asdict(found), "view": view(found.text, (), shop)}
    return as_json(data)


def look(desk: Desk, shop: Shop, sent: LookSent) -> Response:
    """What a text with some keys changed looks like."""
    return as_json(view(sent.text, sent.edits(), shop))


def ring(desk: Desk, shop: Shop, sent: RingSent) -> Response:
    """The solids of a text."""
    from ringgeom.page.meshes import ring_bytes

    found = job(design_from_text(sent.text), shop)
    return Response(ring_bytes(found, quick=sent.quick), media_type="application/octet-stream")


def keep(desk: Desk, shop: Shop, sent: KeepSent) -> Response:
    """Keep unsaved work."""
    work = sent.model_dump(include={"text", "undo", "redo", "when"})
    return as_json({"turn": desk.keep(sent.name, work, sent.turn)})


def forget(desk: Desk, shop: Shop, sent: ForgetSent) -> Response:
    """Take unsaved work away."""
    desk.forget(sent.name)
    return as_json({})


def save(desk: Desk, shop: Shop, sent: SaveSent) -> Response:
    """Save a design that can be read; it may have findings."""
    name = design_from_text(sent.text).job.name
    return as_json({"opened": asdict(desk.save(sent.name, sent.text, sent.stamp, name))})


def take(desk: Desk, shop: Shop, sent: FilesSent) -> Response:
    """The files of a design, as one zip."""
    from ringgeom.page.files import zipped

    found = job(design_from_text(sent.text), shop)
    return Response(zipped(found, sent.what, sent.text), media_type="application/zip")


def alloys(desk: Desk, shop: Shop, sent: AlloysSent) -> Response:
    """Alloys for one part, most contrast with its neighbours first."""
    from ringgeom.page.alloys import choices

    return as_json(choices(design_from_text(sent.text), shop, sent.part))
