"""The jobs of the texts asked last: a ring is shown, weighed and meshed from one and the same."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import TypeVar

from ringgeom.design import Design, design_from_text
from ringgeom.jobs import Job, job
from ringgeom.shop import Shop
from ringgeom.sketch import Sketch, sketch

MOST_KEPT = 3

Made = TypeVar("Made", bound=Sketch)


class Latest:
    """Jobs and sketches by their text, in one shop; only the last few are kept."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._sketches: OrderedDict[str, Sketch] = OrderedDict()
        self._lock = threading.Lock()

    def job(self, text: str) -> Job:
        """The job of a text.

        Raises
        ------
        InputError
            The text cannot be read as a design.
        """
        with self._lock:
            return self._made(text, self._jobs, job)

    def sketch(self, text: str) -> Sketch:
        """The sketch of a text; its job where that is known already. Raises as `job`."""
        with self._lock:
            return self._jobs.get(text) or self._made(text, self._sketches, sketch)

    def _made(
        self, text: str, kept: OrderedDict[str, Made], make: Callable[[Design, Shop], Made]
    ) -> Made:
        if text not in kept:
            kept[text] = make(design_from_text(text), self.shop)
            while len(kept) > MOST_KEPT:
                kept.popitem(last=False)
        kept.move_to_end(text)
        return kept[text]
