"""The shop as fields: every key with what it may hold, what is in force, what is written."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from ringgeom.jobs import Job
from ringgeom.page.shop_desk import ShopDesk, from_here
from ringgeom.shop import Flag, Lot, LotKind, Prices, Shop

FIRST = ("casting", "shrink", "stock", "melt", "prices", "labour")
"""What a bench asks for most; the other tables come after, as the file has them."""


def shop_told(desk: ShopDesk, job: Job | None) -> dict[str, Any]:
    """Everything the page shows of the shop; a job brings the metals that its alloys need."""
    state = desk.state
    written = tomllib.loads(state.text.replace("\r\n", "\n"))
    return {
        "file": desk.name,
        "option": desk.option,
        "folder": from_here(desk.folder),
        "turn": state.turn,
        "text": state.text,
        "is_saved": state.saved == state.text or (state.saved is None and not state.text.strip()),
        "tables": [_table(name, state.shop, written) for name in _names()],
        "shrink_of": _shrinks(state.shop, job),
        "prices": _prices(state.shop, job),
        "lots": [_lot(one) for one in written.get("lot", [])],
        "kinds": list(get_args(LotKind)),
        "flags": list(get_args(Flag)),
    }


def _names() -> list[str]:
    plain = [name for name in Shop.model_fields if _model(Shop, name) is not None]
    return [*(one for one in FIRST if one in plain), *(one for one in plain if one not in FIRST)]


def _model(parent: type[BaseModel], name: str) -> type[BaseModel] | None:
    found = parent.model_fields[name].annotation
    return found if isinstance(found, type) and issubclass(found, BaseModel) else None


def _table(name: str, shop: Shop, written: dict[str, Any]) -> dict[str, Any]:
    model = _model(Shop, name)
    assert model is not None
    there = written.get(name, {})
    return {"name": name, "fields": list(_fields(model, getattr(shop, name), there))}


def _fields(
    model: type[BaseModel], values: BaseModel | None, written: dict[str, Any]
) -> Iterator[dict[str, Any]]:
    for key, info in model.model_fields.items():
        kind, choices = _kind(info.annotation)
        if kind:
            value = info.default if values is None else getattr(values, key)
            shown = ", ".join(value) if kind == "list" else value
            plain = shown if isinstance(shown, bool | int | float | str | None) else str(shown)
            yield {
                "key": key,
                "kind": kind,
                "choices": choices,
                "value": plain,
                "written": key in written,
            }


def _kind(annotation: Any) -> tuple[str, list[str]]:
    """What a field holds; nothing where it is a table of its own."""
    if get_origin(annotation) is Annotated:
        return _kind(get_args(annotation)[0])
    if get_origin(annotation) in (Union, UnionType):
        found = [one for one in get_args(annotation) if one is not type(None)]
        return _kind(found[0]) if len(found) == 1 else ("", [])
    if get_origin(annotation) is Literal:
        return "choice", [str(one) for one in get_args(annotation)]
    if get_origin(annotation) is tuple and get_args(annotation)[1:] == (Ellipsis,):
        return "list", []
    plain = {bool: "yes", int: "number", float: "number", str: "word"}
    return plain.get(annotation, ""), []


def _shrinks(shop: Shop, job: Job | None) -> list[dict[str, Any]]:
    """Shrink by alloy: those that the file has, and those of the ring."""
    mine = [part.alloy.name for part in job.parts] if job else []
    found = []
    for name in dict.fromkeys((*shop.shrink.alloy, *mine)):
        learnt = shop.shrink.alloy.get(name)
        found.append(
            {
                "alloy": name,
                "percent": None if learnt is None else learnt.percent,
                "castings": 0 if learnt is None else learnt.castings,
            }
        )
    return found


def _prices(shop: Shop, job: Job | None) -> dict[str, Any]:
    prices = shop.prices
    mine = [symbol for part in (job.parts if job else ()) for symbol in part.alloy.recipe.symbols]
    metals = {} if prices is None else prices.metals
    values = [one for one in _fields(Prices, prices, {}) if one["key"] != "currency"]
    return {
        "currency": "" if prices is None else prices.currency,
        "date": "" if prices is None or prices.date is None else prices.date.isoformat(),
        "fields": values,
        "metals": [
            {"symbol": symbol, "price": metals.get(symbol)}
            for symbol in dict.fromkeys((*metals, *mine))
        ],
    }


def _lot(one: dict[str, Any]) -> dict[str, Any]:
    """A lot as it is written; its recipe in one line."""
    recipe = one.get("recipe", "")
    if isinstance(recipe, dict):
        recipe = " ".join(f"{symbol} {share:.10g}" for symbol, share in recipe.items())
    lot = Lot.model_validate(one)
    return {
        "name": lot.name,
        "grams": lot.grams,
        "recipe": recipe,
        "kind": one.get("kind", ""),
        "as_kind": lot.is_kind,
        "flags": list(lot.flags),
        "uncertainty_permille": lot.uncertainty_permille,
    }
