"""The jobs of the texts asked last: a ring is shown, weighed and meshed from one and the same."""

from __future__ import annotations

import threading
from collections import OrderedDict

from ringgeom.design import design_from_text
from ringgeom.jobs import Job, job
from ringgeom.shop import Shop

MOST_KEPT = 3


class Latest:
    """Jobs by their text, in one shop; only the last few are kept."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._kept: OrderedDict[str, Job] = OrderedDict()
        self._lock = threading.Lock()

    def job(self, text: str) -> Job:
        """The job of a text.

        Raises
        ------
        InputError
            The text cannot be read as a design.
        """
        with self._lock:
            if text not in self._kept:
                self._kept[text] = job(design_from_text(text), self.shop)
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(text)
            return self._kept[text]
