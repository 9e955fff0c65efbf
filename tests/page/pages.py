"""The page's server without a network: a client that asks as the page does."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from ringgeom.page.app import bench_app
from ringgeom.page.desk import Desk
from ringgeom.page.shop_desk import ShopDesk

PORT = 8765
TOKEN = "a-secret-word"
HOME = f"http://127.0.0.1:{PORT}"

PLAIN = """# a remark before
[job]
name = "Plain"

[ring]
size = "18 mm across"   # a remark beside
width_mm = 6.0
thickness_mm = 2.0

[body]
alloy = "gold-750-yellow-3n"

[[part]]
name = "line"
place = "channel"
alloy = "gold-750-white-pd-20"
width_mm = 2.0
depth_mm = 0.8
# a remark after
"""


def client(folder: Path, first: str | None = None, shop: Path | None = None) -> TestClient:
    """The page on a folder, with a shop file or without."""
    app = bench_app(Desk(folder, first), ShopDesk(shop, folder), token=TOKEN, port=PORT)
    return TestClient(app, base_url=f"{HOME}/{TOKEN}/")


def looked(page: TestClient, text: str, *changes: tuple[list[str | int], Any]) -> Any:
    """What the page shows of a text after some changes."""
    sent = {"text": text, "changes": [{"key": key, "value": value} for key, value in changes]}
    answer = page.post("look", json=sent)
    assert answer.status_code == 200
    return answer.json()
