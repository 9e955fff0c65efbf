"""ringgeom: two-tone rings, from size and section to parts, grams and wax files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"

_PUBLIC = {
    "Design": "ringgeom.design",
    "design_from_text": "ringgeom.design",
    "read_design": "ringgeom.design",
    "Shop": "ringgeom.shop",
    "read_shop": "ringgeom.shop",
    "shop_from_text": "ringgeom.shop",
    "Job": "ringgeom.jobs",
    "job": "ringgeom.jobs",
    "section": "ringgeom.output.shown_section",
    "write": "ringgeom.output.pack",
}

__all__ = [
    "Design",
    "Job",
    "Shop",
    "__version__",
    "design_from_text",
    "job",
    "read_design",
    "read_shop",
    "section",
    "shop_from_text",
    "write",
]

if TYPE_CHECKING:
    from ringgeom.design import Design, design_from_text, read_design
    from ringgeom.jobs import Job, job
    from ringgeom.output.pack import write
    from ringgeom.output.shown_section import section
    from ringgeom.shop import Shop, read_shop, shop_from_text


def __getattr__(name: str) -> Any:
    """Load a public name when it is first used, so that a light command stays light."""
    if name not in _PUBLIC:
        raise AttributeError(f"module 'ringgeom' has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_PUBLIC[name]), name)
