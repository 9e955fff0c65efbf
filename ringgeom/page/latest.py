"""The jobs of the texts asked last: a ring is shown, weighed and meshed from one and the same."""

from __future__ import annotations

import threading
from collections import OrderedDict

from ringgeom.design import design_from_text
from ringgeom.jobs import Job, job
from ringgeom.output.folder import Content
from ringgeom.output.pack import job_files
from ringgeom.page.long import Long
from ringgeom.page.shop_desk import ShopDesk

MOST_KEPT = 3


class Latest:
    """Jobs by their text and the shop as it stood; only the last few are kept."""

    def __init__(self, shop: ShopDesk) -> None:
        self.shop = shop
        self.long = Long()
        self._files: tuple[Job, dict[str, Content]] | None = None
        self._kept: OrderedDict[tuple[str, int], Job] = OrderedDict()
        self._lock = threading.Lock()

    def job(self, text: str) -> Job:
        """The job of a text.

        Raises
        ------
        InputError
            The text cannot be read as a design.
        """
        with self._lock:
            state = self.shop.state
            key = text, state.turn
            if key not in self._kept:
                self._kept[key] = job(design_from_text(text), state.shop)
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
            self._kept.move_to_end(key)
            return self._kept[key]

    def files(self, text: str) -> dict[str, Content]:
        """Every file of the job of a text, by name; those of the last job asked are kept.

        Raises
        ------
        InputError
            The text cannot be read as a design.
        StopError
            A finding stops the design.
        Overtaken
            The files of another were asked for since.
        """
        found = self.job(text)
        with self.long.work("files") as told:
            if self._files is None or self._files[0] is not found:
                self._files = found, job_files(found, told=told)
            return self._files[1]
