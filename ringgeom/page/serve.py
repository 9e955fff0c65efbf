"""One process on this machine's own address, until Ctrl-C."""

from __future__ import annotations

import gc
import secrets
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from pathlib import Path

from ringgeom.errors import OutputError
from ringgeom.page.desk import KIND, Desk
from ringgeom.page.shop_desk import ShopDesk
from ringgeom.reading import read_text

ADDRESS = "127.0.0.1"


def serve_bench(
    design: Path | None, shop: Path | None, *, port: int, browser: bool, told: Callable[[str], None]
) -> None:
    """Serve the page until it is interrupted.

    Parameters
    ----------
    design : Path, optional
        The design to begin with; the others of its folder can be opened too.
    shop : Path, optional
        The shop file that counts, and that is written when it is saved.
    port : int
        0 for any that is free.
    told : callable
        Called with the page's address when it answers.

    Raises
    ------
    InputError
        The design or the shop file cannot be read.
    OutputError
        The port is taken.
    """
    import uvicorn

    from ringgeom.page.app import bench_app

    if design is not None:
        read_text(design, KIND)
        desk = Desk(design.parent, design.name)
    else:
        desk = Desk(Path())
    shops = ShopDesk(shop, desk.folder)
    listening = _listening(port)
    port = listening.getsockname()[1]
    token = secrets.token_urlsafe(24)
    address = f"http://{ADDRESS}:{port}/{token}/"
    app = bench_app(desk, shops, token=token, port=port)
    config = uvicorn.Config(
        app,
        log_level="error",
        access_log=False,
        server_header=False,
        ws="none",
        timeout_graceful_shutdown=2,
    )
    # what is loaded now stays: under the hand nothing may stop to look through it
    gc.collect()
    gc.freeze()
    told(address)
    if browser:
        threading.Timer(0.4, webbrowser.open, (address,)).start()
    try:
        uvicorn.Server(config).run(sockets=[listening])
    except KeyboardInterrupt:
        pass
    finally:
        listening.close()


def _listening(port: int) -> socket.socket:
    """A socket on this machine's own address."""
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform == "win32":
            # there a port that may be used again may be used by two at once
            found.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((ADDRESS, port))
        found.listen(64)
    except OSError as error:
        found.close()
        raise OutputError(
            f"the page cannot answer on port {port}: {error.strerror}; choose another --port"
        ) from None
    return found
