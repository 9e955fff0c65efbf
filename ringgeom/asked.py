"""The base of everything that is asked for in a file: strict, closed, unchangeable."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import Self

from pydantic import BaseModel, ConfigDict, PrivateAttr
from pydantic_core import PydanticCustomError

from ringgeom.errors import InputError, Problem

UNSAFE = re.compile(r'[\x00-\x1f\x7f<>:"/\\|?*]')
RESERVED = {"con", "prn", "aux", "nul"} | {f"{p}{n}" for p in ("com", "lpt") for n in range(10)}


class Asked(BaseModel):
    """No unknown keys, no guessing of types, no infinities."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, strict=True, allow_inf_nan=False, populate_by_name=True
    )


class BesideDesign(Asked):
    """What may name a file that lies beside the design."""

    _folder: Path | None = PrivateAttr(default=None)

    @property
    def folder(self) -> Path | None:
        """Folder of the design file, where files of one's own are looked for; None without."""
        return self._folder

    @property
    def own_file(self) -> bool:
        """Whether it needs a file of one's own."""
        return True

    def beside(self, folder: Path) -> Self:
        """The same with the folder of its design file."""
        found = self.model_copy()
        found._folder = folder
        return found


Keys = tuple[str | int, ...]


def told(problems: InputError | Problem, *, at: Keys = ()) -> PydanticCustomError:
    """Our own problem, handed through the validation so that it is listed with the others.

    `at` is where it lies, seen from what was being validated.
    """
    found = (problems,) if isinstance(problems, Problem) else problems.problems
    return told_all([(problem, at) for problem in found])


def told_all(problems: Sequence[tuple[Problem, Keys]]) -> PydanticCustomError:
    """Several problems, each with its place."""
    said = "; ".join(str(problem) for problem, _ in problems)
    return PydanticCustomError("told", "{said}", {"problems": tuple(problems), "said": said})


def file_word(name: str) -> str:
    """A name as it appears in file names: lower case, words joined by '-'."""
    plain = unicodedata.normalize("NFC", name).casefold()
    return re.sub(r"[^\w.½¼¾]+", "-", plain, flags=re.UNICODE).strip("-.")


def together(names: Sequence[str]) -> str:
    """Names in one breath; those that differ by a number only are told once: "plank 1 to 12"."""
    stems: dict[str, list[str]] = {}
    for name in names:
        head, _, number = name.rpartition(" ")
        stems.setdefault(head if head and number.isdigit() else name, []).append(name)
    said = []
    for stem, mine in stems.items():
        if len(mine) < 3:
            said += mine
            continue
        numbers = sorted(int(name.rpartition(" ")[2]) for name in mine)
        whole = numbers == list(range(numbers[0], numbers[-1] + 1))
        shown = f"{numbers[0]} to {numbers[-1]}" if whole else ", ".join(map(str, numbers))
        said.append(f"{stem} {shown}")
    return " and ".join(said)


def safe_name(name: str) -> str:
    """The name itself, if it can name a file on every machine.

    Raises
    ------
    PydanticCustomError
        It cannot; a safe spelling is offered.
    """
    reason = ""
    if UNSAFE.search(name):
        reason = "these letters cannot be part of a file name"
    elif name != name.strip() or name.startswith(".") or name.endswith("."):
        reason = "a name must not begin or end with a space or a full stop"
    elif name.startswith(("=", "+", "@")):
        reason = "a spreadsheet would take it for a formula"
    elif not file_word(name):
        reason = "a name needs a letter or a digit"
    elif file_word(name).split(".")[0] in RESERVED:
        reason = "some systems keep this name for themselves"
    if reason:
        offer = file_word(UNSAFE.sub("-", name)) or "ring"
        raise told(
            Problem(
                text=f"this name cannot name a file: {reason}",
                value=repr(name),
                allowed="letters of any script, digits, spaces, - and _",
                nearest=offer + "-1" if offer.split(".")[0] in RESERVED else offer,
            )
        )
    return name
