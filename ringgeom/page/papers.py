"""What the papers of a ring tell: the commands' own words, rows and files, as plain data."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from typing import Any

from starlette.responses import Response

from ringgeom.errors import InputError, Problem
from ringgeom.jobs import Job
from ringgeom.page.answers import as_json
from ringgeom.page.asked import (
    FileSent,
    GridSent,
    MarkSent,
    PicturesSent,
    PriceSent,
    ResizeSent,
    Sent,
    SheetSent,
    StepSent,
    SwapSent,
    TextSent,
)
from ringgeom.page.desk import Desk
from ringgeom.page.latest import Latest
from ringgeom.terminal import Found, Line, Table, heard, say
from ringgeom.toml_lines import key_lines

KINDS = {Line: "line", Table: "table", Found: "finding"}


@contextmanager
def _heard() -> Iterator[list[dict[str, Any]]]:
    """Hands out what is told meanwhile, as plain data, once it is told."""
    found: list[dict[str, Any]] = []
    with heard() as told:
        yield found
    found += [{"is": KINDS[type(one)], **asdict(one)} for one in told]


def _told(latest: Latest, text: str, tell: Callable[[Job], None]) -> Response:
    """What a command says of a ring; of one that is stopped, why."""
    job = latest.job(text)
    with _heard() as found:
        if job.stopped:
            _tell_stopped(job, text)
        else:
            tell(job)
    return as_json({"stopped": job.stopped, "told": found})


def _tell_stopped(job: Job, text: str) -> None:
    from ringgeom.report.ring import tell_findings

    say(f"{job.design.job.name} cannot be made as designed")
    tell_findings(job, key_lines(text), notes=False)


def melts(desk: Desk, latest: Latest, sent: TextSent) -> Response:
    """What to weigh out for each melt, from the shop's stock."""

    def tell(job: Job) -> None:
        from ringgeom.metal.caution import melting_cautions
        from ringgeom.report.melts import tell_cautions, tell_plan

        tell_plan(job.melts, job.shop.melt)
        tell_cautions(melting_cautions([alloy.recipe for alloy, _ in job.colours]))

    return _told(latest, sent.text, tell)


def castings(desk: Desk, latest: Latest, sent: TextSent) -> Response:
    """Grams to melt with their arithmetic, sprues, flasks."""

    def tell(job: Job) -> None:
        from ringgeom.report.castings import tell_castings
        from ringgeom.report.ring import tell_parts

        tell_parts(job)
        tell_castings(job.castings, job.shop.casting, flasks=True)

    return _told(latest, sent.text, tell)


def making(desk: Desk, latest: Latest, sent: TextSent) -> Response:
    """Routes, joints, solder, turning, blanks, stack-up."""
    from ringgeom.report.making import tell_going_together

    return _told(latest, sent.text, tell_going_together)


def marks(desk: Desk, latest: Latest, sent: MarkSent) -> Response:
    """What may be stamped, with the rules behind it."""

    def tell(job: Job) -> None:
        from ringgeom.afterwards import job_marks
        from ringgeom.report.melts import tell_marks

        tell_marks(job_marks(job, sent.region), words=True)

    return _told(latest, sent.text, tell)


def price(desk: Desk, latest: Latest, sent: PriceSent) -> Response:
    """A quote on the page's day."""

    def tell(job: Job) -> None:
        from ringgeom.price import day_from_text, quote_on
        from ringgeom.quoting import grams_and_minutes
        from ringgeom.report.price import tell_quote

        tell_quote(job.design.job.name, quote_on(grams_and_minutes(job), day_from_text(sent.on)))

    return _told(latest, sent.text, tell)


def metals(desk: Desk, latest: Latest, sent: TextSent) -> Response:
    """What can be asked of other alloys: names of places for a swap and a grid, the catalogue."""
    from ringgeom.grid.roles import roles
    from ringgeom.metal.catalogue import catalogue
    from ringgeom.swap import seats

    job = latest.job(sent.text)
    return as_json(
        {
            "seats": [seat.name for seat in seats(job)],
            "roles": [role.name for role in roles(job.design)],
            "alloys": [alloy.name for alloy in catalogue()],
        }
    )


def swap(desk: Desk, latest: Latest, sent: SwapSent) -> Response:
    """The ring in other alloys."""

    def tell(job: Job) -> None:
        from ringgeom.report.swap import tell_swaps
        from ringgeom.swap import swaps

        tell_swaps(swaps(job, part=sent.part, together=sent.together))

    return _told(latest, sent.text, tell)


def resize(desk: Desk, latest: Latest, sent: ResizeSent) -> Response:
    """What another size takes."""

    def tell(job: Job) -> None:
        from ringgeom.report.resize import tell_resize
        from ringgeom.resizing import resize as resized

        tell_resize(resized(job.design, job.shop, sent.to))

    return _told(latest, sent.text, tell)


def sheet(desk: Desk, latest: Latest, sent: SheetSent) -> Response:
    """Every page that is printed, as it is printed."""
    from ringgeom.output.file_words import file_words
    from ringgeom.output.pack import sheet_files
    from ringgeom.output.printed_pages import printed_pages

    job = latest.job(sent.text)
    papers = []
    for name, content in sheet_files(job, sent.paper):
        if name.endswith(".pdf"):
            pages = [asdict(page) for page in printed_pages(bytes(content))]
            papers.append({"file": name, "words": file_words(name), "pages": pages})
    return as_json({"paper": sent.paper or job.shop.sheet.paper, "papers": papers})


def pictures(desk: Desk, latest: Latest, sent: PicturesSent) -> Response:
    """Pictures, each a PNG."""
    from ringgeom.output.picture_files import picture_files
    from ringgeom.output.pictures import pictures as made

    job = latest.job(sent.text)
    with latest.long.work("pictures") as told:
        found = made(job, sent.views, turntable=sent.turntable, told=told)
    names = picture_files(job, found)
    shown = [
        {
            "view": one.view,
            "rendered": one.rendered,
            "file": name.rpartition("/")[2],
            "png": b64encode(one.png).decode(),
        }
        for one, name in zip(found.pictures, names, strict=True)
    ]
    return as_json({"pictures": shown, "words": list(found.words)})


def to_send(desk: Desk, latest: Latest, sent: TextSent) -> Response:
    """The one file to send."""
    from ringgeom.page.sent import sent_html

    return Response(sent_html(latest.job(sent.text)), media_type="application/octet-stream")


def listed(desk: Desk, latest: Latest, sent: TextSent) -> Response:
    """Every file of a job: its name, what it is for, its size."""
    from ringgeom.output.file_words import file_words

    found = latest.files(sent.text)
    rows = [
        {"name": name, "words": file_words(name), "bytes": len(content)}
        for name, content in sorted(found.items())
    ]
    return as_json({"files": rows})


def file(desk: Desk, latest: Latest, sent: FileSent) -> Response:
    """One file of a job, the same bytes as the command writes."""
    from ringgeom.output.pack import sheet_files

    if sent.paper:
        found = dict(sheet_files(latest.job(sent.text), sent.paper))
    else:
        found = latest.files(sent.text)
    if sent.name not in found:
        raise InputError(Problem(text="this job has no such file", value=repr(sent.name)))
    return Response(bytes(found[sent.name]), media_type="application/octet-stream")


def grid(desk: Desk, latest: Latest, sent: GridSent) -> Response:
    """Many rings: the first rows, and what all come to."""
    from ringgeom.page.many import first_rows

    with _heard() as found:
        data = first_rows(latest, sent)
    return as_json({**data, "told": found})


def grid_file(desk: Desk, latest: Latest, sent: GridSent) -> Response:
    """Many rings, all rows as CSV."""
    from starlette.responses import StreamingResponse

    from ringgeom.page.many import all_rows

    return StreamingResponse(all_rows(latest, sent), media_type="application/octet-stream")


def step(desk: Desk, latest: Latest, sent: StepSent) -> Response:
    """What is being done of something that takes its time."""
    return as_json({"step": latest.long.step(sent.kind)})


ASKED: tuple[tuple[type[Sent], Callable[..., Response]], ...] = (
    (TextSent, melts),
    (TextSent, castings),
    (TextSent, making),
    (MarkSent, marks),
    (PriceSent, price),
    (TextSent, metals),
    (SwapSent, swap),
    (ResizeSent, resize),
    (SheetSent, sheet),
    (PicturesSent, pictures),
    (TextSent, to_send),
    (TextSent, listed),
    (FileSent, file),
    (GridSent, grid),
    (GridSent, grid_file),
    (StepSent, step),
)
"""Every question of the papers, with what may be sent for it."""
