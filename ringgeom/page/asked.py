"""What the page may send, checked before anything is done with it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, JsonValue

from ringgeom.page.edits import MOST_CHANGES, Change

LARGEST_TEXT = 200_000
MOST_STEPS = 60

Text = Annotated[str, Field(max_length=LARGEST_TEXT)]
Name = Annotated[str, Field(max_length=255)]
Step = Annotated[int, Field(ge=0, le=1000)] | Annotated[str, Field(max_length=60)]


class Sent(BaseModel):
    """Closed: an unknown key is refused."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class ChangeSent(Sent):
    """A key to set, and to what."""

    key: Annotated[list[Step], Field(min_length=1, max_length=6)]
    value: JsonValue = None


class LookSent(Sent):
    """A text and keys to set in it; `trying` while the hand still moves."""

    text: Text
    trying: bool = False
    changes: Annotated[list[ChangeSent], Field(max_length=MOST_CHANGES)] = []

    def edits(self) -> tuple[Change, ...]:
        """The keys to set."""
        return tuple(Change(key=tuple(one.key), value=one.value) for one in self.changes)


class RingSent(Sent):
    """A text of which the meshes are wanted; `quick` while the hand still moves."""

    text: Text
    quick: bool = False


class KeepSent(Sent):
    """Unsaved work on a design; `turn` is the last one the page has seen."""

    name: Name
    turn: Annotated[int, Field(ge=0)]
    text: Text
    undo: Annotated[list[Text], Field(max_length=MOST_STEPS)] = []
    redo: Annotated[list[Text], Field(max_length=MOST_STEPS)] = []
    when: Annotated[str, Field(max_length=40)] = ""


class ForgetSent(Sent):
    """A design whose kept work is thrown away."""

    name: Name


class SaveSent(Sent):
    """A design to write, with the stamp of the file it was read from."""

    name: Name
    text: Text
    stamp: Annotated[str, Field(max_length=64)]


class FilesSent(Sent):
    """A design of which files are wanted."""

    text: Text
    what: Literal["all", "waxes", "sheets", "design"] = "all"


class AlloysSent(Sent):
    """A part for which alloys are looked for."""

    text: Text
    part: Annotated[str, Field(max_length=60)]


Short = Annotated[str, Field(max_length=200)]
Paper = Literal["", "A4", "Letter"]
View = Literal["three-quarter", "front", "section", "exploded"]


class TextSent(Sent):
    """A design, for all that is asked of it as it stands."""

    text: Text


class MarkSent(Sent):
    """A ring for which marks are proposed, in one region or all."""

    text: Text
    region: Literal["", "uk", "us", "convention", "iso"] = ""


class PriceSent(Sent):
    """The page's own day: the program knows no today of its own here."""

    text: Text
    on: Annotated[str, Field(max_length=10)]


class ResizeSent(Sent):
    """A ring, and the size it is wanted at."""

    text: Text
    to: Short


class SwapSent(Sent):
    """A ring to be seen in other alloys."""

    text: Text
    part: Annotated[str, Field(max_length=60)] = ""
    together: bool = False


class SheetSent(Sent):
    """A ring whose sheets are wanted."""

    text: Text
    paper: Paper = ""


class PicturesSent(Sent):
    """No view for all of them."""

    text: Text
    views: Annotated[list[View], Field(max_length=4)] = []
    turntable: bool = False


class FileSent(Sent):
    """One file of a job, by the name that the list gave it."""

    text: Text
    name: Annotated[str, Field(max_length=400)]
    paper: Paper = ""


class GridSent(Sent):
    """A ring wanted in many sizes, widths, thicknesses and alloys."""

    text: Text
    sizes: Annotated[str, Field(max_length=2000)] = ""
    widths: Annotated[str, Field(max_length=2000)] = ""
    thicknesses: Annotated[str, Field(max_length=2000)] = ""
    alloys: Annotated[list[Short], Field(max_length=60)] = []
    places: Literal["fixed", "share"] = "fixed"


class StepSent(Sent):
    """How far something that takes its time has come."""

    kind: Literal["pictures", "grid", "files"]


class ShopSent(Sent):
    """The shop as the page shall show it, beside a design."""

    text: Text


class ShopChangesSent(Sent):
    """Keys of the shop file to set; `turn` is the shop's that the page has seen."""

    text: Text
    turn: Annotated[int, Field(ge=0)]
    changes: Annotated[list[ChangeSent], Field(min_length=1, max_length=MOST_CHANGES)]

    def edits(self) -> tuple[Change, ...]:
        """The keys to set."""
        return tuple(Change(key=tuple(one.key), value=one.value) for one in self.changes)


class ShopTextSent(Sent):
    """A whole shop file, typed; `turn` is the last one the page has seen."""

    text: Text
    turn: Annotated[int, Field(ge=0)]
    shop: Text


class ShopSaveSent(Sent):
    """The shop as it stands is to be written."""

    text: Text
    turn: Annotated[int, Field(ge=0)]
