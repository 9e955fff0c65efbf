"""The design file: what was asked, checked for sense of its own, nothing computed."""

from __future__ import annotations

from collections.abc import Sequence
from math import tau
from pathlib import Path
from typing import Annotated, Any, ClassVar, Self

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from ringgeom.asked import Asked, BesideDesign, Keys, file_word, safe_name, told, told_all
from ringgeom.colour.predict import Finish
from ringgeom.engraving.asked import ENGRAVING_WORDS, AnyEngraving
from ringgeom.errors import Problem, SizeError
from ringgeom.finger import read_size
from ringgeom.form.clock import ClockPosition, clock_angle
from ringgeom.form.places import TRADE_WORDS, AnyPlace, Segments
from ringgeom.form.profiles import FORM_WORDS, FlatFace, Inside, Outside
from ringgeom.form.taper import Eased, Taper
from ringgeom.metal.asked import AlloyAsked
from ringgeom.reading import model_from_text, read_model

BODY_NAME = "body"


def _size(asked: Any) -> Any:
    """A finger size that can be read; a bare number is refused with what it might mean."""
    plain = isinstance(asked, int | float) and not isinstance(asked, bool)
    try:
        text = f"{asked:g}" if plain else asked
    except OverflowError:
        text = "a number of hundreds of digits"
    if isinstance(text, str):
        try:
            read_size(text)
        except SizeError as error:
            raise told(error) from None
    return text


class JobAsked(Asked):
    """Whose ring it is."""

    name: Annotated[str, Field(min_length=1, max_length=60), AfterValidator(safe_name)]


class StationAsked(Asked):
    """What a band that tapers measures at a place round the ring."""

    at: ClockPosition
    width_mm: Annotated[float, Field(gt=0, le=60)] | None = None
    thickness_mm: Annotated[float, Field(gt=0, le=20)] | None = None

    @model_validator(mode="after")
    def _measures(self) -> Self:
        if self.width_mm is None and self.thickness_mm is None:
            raise told(
                Problem(
                    text="nothing tapers here",
                    value=f'at = "{self.at}"',
                    allowed="width_mm or thickness_mm, or both",
                )
            )
        return self


class RingAsked(Asked):
    """Size and form of the whole band.

    Width and thickness are those at 12 o'clock, its largest; `taper` says what they are
    elsewhere.
    """

    size: Annotated[str, BeforeValidator(_size)]
    width_mm: Annotated[float, Field(gt=0, le=60)]
    thickness_mm: Annotated[float, Field(gt=0, le=20)]
    outside: Outside = FlatFace()
    inside: Inside = FlatFace()
    edge_mm: Annotated[float, Field(ge=0, le=10)] = 0.0
    taper: Annotated[tuple[StationAsked, ...], Field(max_length=24, strict=False)] = ()

    @model_validator(mode="after")
    def _tapers(self) -> Self:
        wrong: list[tuple[Problem, Keys]] = []
        known: dict[float, str] = {0.0: "the ring’s own width_mm and thickness_mm hold there"}
        for n, station in enumerate(self.taper):
            angle = round(clock_angle(station.at) % tau, 9) % round(tau, 9)
            if angle in known:
                problem = Problem(
                    text="this place round the ring has its measures already",
                    value=f'at = "{station.at}"',
                    allowed=known[angle],
                )
                wrong.append((problem, ("taper", n, "at")))
            known[angle] = "every station another place"
            for key in ("width_mm", "thickness_mm"):
                value, most = getattr(station, key), getattr(self, key)
                if value is not None and value > most:
                    problem = Problem(
                        text=f"wider than the band at 12 o’clock, {most:g}"
                        if key == "width_mm"
                        else f"thicker than the band at 12 o’clock, {most:g}",
                        value=f"{value:g}",
                        allowed=f"{most:g} or less: what is largest lies at 12 o’clock",
                    )
                    wrong.append((problem, ("taper", n, key)))
        if wrong:
            raise told_all(wrong)
        return self

    @property
    def tapered(self) -> Taper | None:
        """Width and thickness round the ring; None where they are even."""
        eased = []
        for key in ("width_mm", "thickness_mm"):
            some = {clock_angle(one.at) % tau: getattr(one, key) for one in self.taper}
            at = {0.0: getattr(self, key)} | {a: v for a, v in some.items() if v is not None}
            eased.append(Eased(tuple(sorted(at)), tuple(at[angle] for angle in sorted(at))))
        width, thickness = eased
        if len({*width.values}) == len({*thickness.values}) == 1:
            return None
        return Taper(width=width, thickness=thickness)


class BodyAsked(Asked):
    """What is left when every part has taken its place."""

    alloy: AlloyAsked
    proud_mm: Annotated[float, Field(ge=-5, le=5)] = 0.0
    finish: Finish = "polished"


class Design(Asked):
    """A whole design file."""

    trade_words: ClassVar[dict[str, str]] = {**TRADE_WORDS, **FORM_WORDS, **ENGRAVING_WORDS}

    job: JobAsked
    ring: RingAsked
    body: BodyAsked | None = None
    parts: Annotated[tuple[AnyPlace, ...], Field(alias="part", max_length=60, strict=False)] = ()
    engravings: Annotated[
        tuple[AnyEngraving, ...], Field(alias="engraving", max_length=40, strict=False)
    ] = ()

    @model_validator(mode="after")
    def _names(self) -> Self:
        known: dict[str, str] = {BODY_NAME: "the body"}
        alike: list[tuple[Problem, Keys]] = []
        for number, part in enumerate(self.parts):
            words = {file_word(name): name for name in made_names(part)}
            for word in [word for word in words if word in known][:1]:
                problem = Problem(
                    text=f"it would have the same name as {known[word]}",
                    value=f'"{words[word]}"',
                    allowed="every part its own name, and none called body",
                )
                alike.append((problem, ("part", number, "name")))
            known.update(dict.fromkeys(words, f"part {number + 1}"))
        if alike:
            raise told_all(alike)
        if self.body is None and not self.parts:
            raise told(Problem(text="there is no metal: neither a body nor a part"))
        return self

    def files_of(self, other: Design) -> Design:
        """The design with files looked for beside another's file, one by one."""
        return self.with_folders(
            [
                [like.folder if isinstance(like, BesideDesign) else None for like in some]
                for some in (other.parts, other.engravings)
            ]
        )

    def with_folders(self, folders: Sequence[Sequence[Path | None]]) -> Design:
        """The design with a folder for every part and every engraving that has one."""
        parts, engravings = (
            tuple(
                one.beside(folder) if isinstance(one, BesideDesign) and folder else one
                for one, folder in zip(some, mine, strict=True)
            )
            for some, mine in zip((self.parts, self.engravings), folders, strict=True)
        )
        return self.model_copy(update={"parts": parts, "engravings": engravings})


def made_names(part: AnyPlace) -> tuple[str, ...]:
    """Names of the parts that one place makes."""
    if isinstance(part, Segments):
        return tuple(f"{part.name} {i + 1}" for i in range(part.count))
    return (f"{part.name} 1", f"{part.name} 2") if part.place == "edges" else (part.name,)


def read_design(path: str | Path) -> Design:
    """Read a design file.

    Raises
    ------
    InputError
        Everything that is wrong with the file, each with key path, line and way out.
    """
    return beside(read_model(path, Design, "design file")[0], path)


def beside(design: Design, path: str | Path) -> Design:
    """The design with the place of its file, beside which files of one's own are looked for."""
    if not any(isinstance(one, BesideDesign) for one in (*design.parts, *design.engravings)):
        return design
    folder = Path(path).absolute().parent
    return design.with_folders(
        [
            [folder if isinstance(one, BesideDesign) and one.own_file else None for one in some]
            for some in (design.parts, design.engravings)
        ]
    )


def design_from_text(text: str) -> Design:
    """A design from TOML text; errors as in `read_design`."""
    return model_from_text(text, Design)
