"""The files of a job as one zip, the same bytes whenever it is packed."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

from ringgeom.asked import file_word
from ringgeom.jobs import Job
from ringgeom.output.folder import Content
from ringgeom.output.pack import job_files, sheet_files, wax_files

FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The earliest day that a zip can name: no day of today gets into the bytes."""


def zipped(job: Job, what: str, text: str) -> bytes:
    """Everything of a job, its waxes, what is printed, or its design alone.

    Raises
    ------
    StopError
        A finding stops the design: there is nothing but the design file.
    """
    word = file_word(job.design.job.name)
    design: dict[str, Content] = {f"{word}.toml": text.encode()}
    files: dict[str, Content] = {}
    if what == "waxes":
        files.update(wax_files(job))
    elif what == "sheets":
        files.update(sheet_files(job))
    elif what == "all":
        files = job_files(job)
    return _zip(files | design, word)


def _zip(files: Mapping[str, Content], folder: str) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        for name in sorted(files):
            entry = zipfile.ZipInfo(f"{folder}/{name}", FIRST_DAY)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            pack.writestr(entry, bytes(files[name]))
    return out.getvalue()
