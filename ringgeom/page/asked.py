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
    key: Annotated[list[Step], Field(min_length=1, max_length=6)]
    value: JsonValue = None


class LookSent(Sent):
    """A text and keys to set in it; `trying` while the hand still moves."""

    text: Text
    trying: bool = False
    changes: Annotated[list[ChangeSent], Field(max_length=MOST_CHANGES)] = []

    def edits(self) -> tuple[Change, ...]:
        return tuple(Change(key=tuple(one.key), value=one.value) for one in self.changes)


class RingSent(Sent):
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
    name: Name


class SaveSent(Sent):
    name: Name
    text: Text
    stamp: Annotated[str, Field(max_length=64)]


class FilesSent(Sent):
    text: Text
    what: Literal["all", "waxes", "sheets", "design"] = "all"


class AlloysSent(Sent):
    text: Text
    part: Annotated[str, Field(max_length=60)]
