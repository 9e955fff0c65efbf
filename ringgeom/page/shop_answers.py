"""The answers to what the page asks of the shop: its fields, its stock, its file."""

from __future__ import annotations

from collections.abc import Callable

from starlette.responses import Response

from ringgeom.errors import InputError
from ringgeom.jobs import Job
from ringgeom.page.answers import as_json
from ringgeom.page.asked import Sent, ShopChangesSent, ShopSaveSent, ShopSent, ShopTextSent
from ringgeom.page.desk import Desk
from ringgeom.page.latest import Latest
from ringgeom.page.shop_fields import shop_told


def _told(latest: Latest, text: str) -> Response:
    job: Job | None
    try:
        job = latest.job(text)
    except InputError:
        job = None  # the shop can be looked at beside a design that cannot be read
    return as_json(shop_told(latest.shop, job))


def shop(desk: Desk, latest: Latest, sent: ShopSent) -> Response:
    """The shop as it stands."""
    return _told(latest, sent.text)


def shop_change(desk: Desk, latest: Latest, sent: ShopChangesSent) -> Response:
    """Set some keys of the shop."""
    latest.shop.change(sent.edits(), sent.turn)
    return _told(latest, sent.text)


def shop_text(desk: Desk, latest: Latest, sent: ShopTextSent) -> Response:
    """Take the shop as it was written by hand."""
    latest.shop.write(sent.shop, sent.turn)
    return _told(latest, sent.text)


def shop_read(desk: Desk, latest: Latest, sent: ShopSent) -> Response:
    """Take the shop's file as it lies on disk."""
    latest.shop.read()
    return _told(latest, sent.text)


def shop_save(desk: Desk, latest: Latest, sent: ShopSaveSent) -> Response:
    """Write the shop's file."""
    latest.shop.save(sent.turn)
    return _told(latest, sent.text)


ASKED: tuple[tuple[type[Sent], Callable[..., Response]], ...] = (
    (ShopSent, shop),
    (ShopChangesSent, shop_change),
    (ShopTextSent, shop_text),
    (ShopSent, shop_read),
    (ShopSaveSent, shop_save),
)
"""Every question on the shop, with what may be sent for it."""
