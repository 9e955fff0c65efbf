"""Writing the sheet of forms: SVG in mm, beside and then renamed."""

from __future__ import annotations

from pathlib import Path

from ringgeom.errors import InputError, Problem
from ringgeom.output.one_file import write_file


def write_forms(file: Path) -> None:
    """Write the sheet of every form of outside and bore.

    Raises
    ------
    InputError
        The name does not end in .svg.
    OutputError
        It cannot be written; an old file is untouched.
    """
    if file.suffix.lower() != ".svg":
        raise InputError(
            Problem(
                text="the sheet of forms is written as a drawing",
                value=file.name,
                allowed="a name ending in .svg",
                nearest=f"{file.stem.strip('.') or 'forms'}.svg",
            )
        )
    from ringgeom.drawing.forms import forms_sheet
    from ringgeom.output.svg import drawing_svg

    write_file(file, drawing_svg(forms_sheet(), title="forms of outside and bore"))
