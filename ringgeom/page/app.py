"""The page's addresses, all under a secret first word; each reads, calls one function, answers."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from importlib.resources import files
from typing import TYPE_CHECKING, TypeVar

from pydantic import ValidationError
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.routing import Mount, Route

from ringgeom.errors import InputError, OutputError, RinggeomError
from ringgeom.fonts import BOLD, SANS, SERIF, font_path
from ringgeom.output.json import problems_json
from ringgeom.page import answers, papers, shop_answers
from ringgeom.page.asked import (
    AlloysSent,
    FilesSent,
    ForgetSent,
    KeepSent,
    LookSent,
    RingSent,
    SaveSent,
    Sent,
)
from ringgeom.page.desk import Changed, Desk
from ringgeom.page.guard import Guard
from ringgeom.page.latest import Latest
from ringgeom.page.long import Overtaken
from ringgeom.page.shop_desk import ShopChanged, ShopDesk

if TYPE_CHECKING:
    from starlette.types import ASGIApp

Model = TypeVar("Model", bound=Sent)

KINDS = {
    "html": "text/html; charset=utf-8",
    "css": "text/css; charset=utf-8",
    "js": "text/javascript; charset=utf-8",
    "svg": "image/svg+xml",
    "txt": "text/plain; charset=utf-8",
    "ttf": "font/ttf",
}


def bench_app(desk: Desk, shop: ShopDesk, *, token: str, port: int) -> ASGIApp:
    """The whole page as an ASGI application, guarded."""
    latest = Latest(shop, desk.folder)

    def asking(model: type[Model], answer: Callable[..., Response]) -> Route:
        async def endpoint(request: Request) -> Response:
            try:
                sent = model.model_validate_json(await request.body())
            except (ValidationError, RecursionError):
                return refused(400, "this is not what the page sends")
            return await _answered(partial(answer, desk, latest, sent))

        return Route(f"/{answer.__name__}", endpoint, methods=["POST"])

    async def state(request: Request) -> Response:
        name, kind = (request.query_params.get(key, "") for key in ("name", "kind"))
        return await _answered(
            partial(answers.state, desk, latest, name, kind, "list" in request.query_params)
        )

    routes = [
        Route("/", _page),
        Route("/static/{name}", _static),
        Route("/fonts/{name}", _font),
        Route("/state", state),
        asking(LookSent, answers.look),
        asking(RingSent, answers.ring),
        asking(KeepSent, answers.keep),
        asking(ForgetSent, answers.forget),
        asking(SaveSent, answers.save),
        asking(FilesSent, answers.take),
        asking(AlloysSent, answers.alloys),
        *(asking(model, answer) for model, answer in (*papers.ASKED, *shop_answers.ASKED)),
    ]
    app = Starlette(routes=[Mount(f"/{token}", routes=routes)])
    hosts = frozenset(f"{name}:{port}" for name in ("127.0.0.1", "localhost"))
    return Guard(app, hosts=hosts)


async def _answered(work: Callable[[], Response]) -> Response:
    """An answer worked out beside the server's own loop; what was refused is told as JSON."""
    try:
        return await run_in_threadpool(work)
    except InputError as error:
        return JSONResponse(problems_json(error), status_code=422)
    except Changed:
        return refused(409, "another page or program has changed this design since")
    except ShopChanged:
        return refused(409, "another page or program has changed the shop's figures since")
    except Overtaken:
        return refused(409, "something else was asked for since")
    except (OutputError, RinggeomError) as error:
        return refused(422, str(error))


def refused(status: int, text: str) -> Response:
    """A refusal in words."""
    return JSONResponse({"problems": [{"text": text}]}, status_code=status)


async def _page(request: Request) -> Response:
    return _file("index.html")


async def _static(request: Request) -> Response:
    return _file(str(request.path_params["name"]))


def _file(name: str) -> Response:
    folder = files("ringgeom.page") / "static"
    if name not in {item.name for item in folder.iterdir()}:
        return PlainTextResponse("there is no such file\n", status_code=404)
    kind = KINDS[name.rsplit(".", 1)[-1]]
    return Response((folder / name).read_bytes(), media_type=kind)


async def _font(request: Request) -> Response:
    name = str(request.path_params["name"]).removesuffix(".ttf")
    if name not in (SANS, BOLD, SERIF):
        return PlainTextResponse("there is no such font\n", status_code=404)
    return Response(font_path(name).read_bytes(), media_type=KINDS["ttf"])
