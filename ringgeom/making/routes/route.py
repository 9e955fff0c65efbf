"""A way to put a part into the ring: whether it works, the number that decides, the steps."""

from __future__ import annotations

from dataclasses import dataclass

from ringgeom.form.contacts import Contact
from ringgeom.form.places import AnyPlace
from ringgeom.form.ring import Ring
from ringgeom.form.wave import Wave
from ringgeom.making.part import Part
from ringgeom.shop import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """A measure that a route gives the bench."""

    name: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """One way to put one part into the ring.

    Attributes
    ----------
    name : str
        ``wrap and seam``, ``split body``, ``stretch``, ``hammer in``, ``cast on``, ``slide on``,
        ``side by side``, ``laminate``, ``segments``, ``solder in`` or ``press in``.
    part : str
        What is put in.
    works : bool or None
        None where a number is not known that would decide.
    value, limit : float or None
        The deciding number and its limit, in ``unit``.
    words : str
        The reason in one sentence.
    sizes : tuple of Size
        Blanks, diameters, angles for the bench; empty when it does not work.
    steps : tuple of str
        What to do, in order; empty when it does not work.
    """

    name: str
    part: str
    works: bool | None
    value: float | None
    limit: float | None
    unit: str
    words: str
    sizes: tuple[Size, ...] = ()
    steps: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.works:
            # what does not work gives the bench nothing to make
            object.__setattr__(self, "sizes", ())
            object.__setattr__(self, "steps", ())


@dataclass(frozen=True, slots=True, kw_only=True)
class Inserted:
    """A part that must get into the ring, with what its routes need to know.

    Attributes
    ----------
    parts : tuple of Part
        All parts of its place; the first stands for them.
    hosts : tuple of Part
        Parts that it is fitted to, the body among them.
    all_parts, all_places : tuple
        Of the whole ring; a place for each claim.
    joints : tuple of Contact
        Where it meets them.
    walled : bool
        Whether metal of one piece stands on both sides of it.
    not_split : str
        Why its body cannot be made in two; empty when it can.
    over_mm : float
        Diameter over the lower rail that a closed ring would have to pass [mm].
    """

    ring: Ring
    index: int
    place: AnyPlace
    parts: tuple[Part, ...]
    hosts: tuple[Part, ...]
    all_parts: tuple[Part, ...]
    all_places: tuple[AnyPlace, ...]
    joints: tuple[Contact, ...]
    walled: bool
    over_mm: float
    not_split: str
    shop: Shop

    @property
    def name(self) -> str:
        """Of the part, as in the design file."""
        return self.place.name

    @property
    def floor_mm(self) -> float | None:
        """Diameter of the floor it sits on [mm]; None where it goes down to the bore."""
        floor = self.ring.claims[self.index].takes.floor_mm
        return None if floor is None else 2 * floor

    @property
    def inside_mm(self) -> float | None:
        """Its own bore [mm]."""
        floor = self.ring.claims[self.index].fills.floor_mm
        return None if floor is None else 2 * floor

    @property
    def undercut_mm(self) -> float:
        """The deepest of its walls' undercuts [mm]."""
        return max((w.undercut_mm for w in self.ring.claims[self.index].takes.walls), default=0.0)

    @property
    def waves(self) -> tuple[Wave, ...]:
        """Of its walls, one for each that waves."""
        walls = self.ring.claims[self.index].takes.walls
        return tuple(wall.wave for wall in walls if wall.wave is not None)
