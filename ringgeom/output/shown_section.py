"""The cut section of a job as a notebook shows it: the drawing of the sheet, enlarged."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ringgeom.errors import StopError

if TYPE_CHECKING:
    from ringgeom.jobs import Job


class Drawn(str):
    """An SVG drawing as text; a notebook shows it as a picture."""

    __slots__ = ()

    def _repr_svg_(self) -> str:
        return str(self)


def section(job: Job) -> Drawn:
    """The cut section with its measures, in mm, as it is on the bench sheet.

    Parameters
    ----------
    job : Job
        Not stopped.

    Raises
    ------
    StopError
        A finding stops the design: there is no section of it.
    """
    from ringgeom.drawing.section import enlarged_section
    from ringgeom.output.svg import drawing_svg

    if job.ring is None:
        raise StopError("a finding stops this design: there is no section of it")
    title = f"{job.design.job.name}, cut section"
    return Drawn(drawing_svg(enlarged_section(job), title=title).decode("utf-8"))
