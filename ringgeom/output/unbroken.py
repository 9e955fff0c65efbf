"""A few milliseconds in which Ctrl-C waits: what must be done whole is done whole."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager

HELD_BACK = ("SIGINT", "SIGTERM", "SIGHUP")
"""Not every system has the last."""


@contextmanager
def unbroken() -> Iterator[None]:
    """Hold back what would end the program until the end, then let it."""
    if threading.current_thread() is not threading.main_thread():
        # only the main thread is interrupted
        yield
        return
    came: list[int] = []
    before = {}
    for number in (getattr(signal, name, None) for name in HELD_BACK):
        if number is None or signal.getsignal(number) in (None, signal.SIG_IGN):
            continue
        before[number] = signal.signal(number, lambda given, _: came.append(given))
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        for number in came[:1]:
            signal.raise_signal(number)
