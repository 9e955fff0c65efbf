"""What takes its time: told step by step, and dropped when the same is asked for anew."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Told = Callable[[str], None]


class Overtaken(Exception):
    """The same was asked for again since: nobody waits for this answer."""


class Long:
    """Work of each kind, one at a time; the latest wins."""

    def __init__(self) -> None:
        self._turns: dict[str, int] = {}
        self._steps: dict[str, str] = {}
        self._locks: dict[str, threading.Lock] = {}
        self._lock = threading.Lock()

    def step(self, kind: str) -> str:
        """What is being done, in words; empty when nothing is."""
        return self._steps.get(kind, "")

    @contextmanager
    def work(self, kind: str) -> Iterator[Told]:
        """Hands out a teller of steps, which ends the work once it is overtaken.

        Raises
        ------
        Overtaken
            From the teller, at the next step.
        """
        with self._lock:
            mine = self._turns[kind] = self._turns.get(kind, 0) + 1
            lock = self._locks.setdefault(kind, threading.Lock())

        def told(step: str) -> None:
            if self._turns[kind] != mine:
                raise Overtaken
            self._steps[kind] = step

        with lock:
            told("")
            try:
                yield told
            finally:
                self._steps[kind] = ""
