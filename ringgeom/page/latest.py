"""The jobs of the texts asked last: a ring is shown, weighed and meshed from one and the same."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from ringgeom.design import Design, design_from_text
from ringgeom.form.repeated import Repeated
from ringgeom.jobs import Job, job
from ringgeom.output.folder import Content
from ringgeom.output.pack import job_files
from ringgeom.page.long import Long
from ringgeom.page.shop_desk import ShopDesk
from ringgeom.shop import Shop
from ringgeom.sketch import Sketch, sketch

MOST_KEPT = 3

Made = TypeVar("Made", bound=Sketch)
Asked = tuple[str, int]
"""A text, and which state of the shop."""


class Latest:
    """Jobs and sketches by their text and the shop as it stood; only the last few are kept."""

    def __init__(self, shop: ShopDesk, folder: Path | None = None) -> None:
        self.shop, self.folder = shop, folder
        self.long = Long()
        self._files: tuple[Job, dict[str, Content]] | None = None
        self._jobs: OrderedDict[Asked, Job] = OrderedDict()
        self._sketches: OrderedDict[Asked, Sketch] = OrderedDict()
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
            return self._made((text, state.turn), state.shop, self._jobs, job)

    def sketch(self, text: str) -> Sketch:
        """The sketch of a text before anything is engraved; its job where that is known already.

        Letters and figures come with the job, when the hand lets go. Raises as `job`.
        """
        with self._lock:
            state = self.shop.state
            asked = text, state.turn
            return self._jobs.get(asked) or self._made(asked, state.shop, self._sketches, _plain)

    def design(self, text: str) -> Design:
        """The design of a text; a drawing is read where it lies beside the designs of the desk.

        Raises
        ------
        InputError
            The text cannot be read as a design.
        """
        found = design_from_text(text)
        if self.folder is None:
            return found
        return found.with_folders(
            [
                [
                    self.folder if isinstance(one, Repeated) and _plainly_named(one) else None
                    for one in some
                ]
                for some in (found.parts, found.engravings)
            ]
        )

    def _made(
        self,
        asked: Asked,
        shop: Shop,
        kept: OrderedDict[Asked, Made],
        make: Callable[[Design, Shop], Made],
    ) -> Made:
        if asked not in kept:
            kept[asked] = make(self.design(asked[0]), shop)
            while len(kept) > MOST_KEPT:
                kept.popitem(last=False)
        kept.move_to_end(asked)
        return kept[asked]

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


def _plain(design: Design, shop: Shop) -> Sketch:
    bare = sketch(design.model_copy(update={"engravings": ()}), shop)
    return replace(bare, design=design)


def _plainly_named(one: Repeated) -> bool:
    """Whether a drawing is named by its file alone: no folder, nothing hidden."""
    return Path(one.file).name == one.file and not one.file.startswith(".")
