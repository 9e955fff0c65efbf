"""Castings as JSON: the arithmetic of a flask, its sprues, its tree, how hot to pour."""

from __future__ import annotations

from typing import Any

from ringgeom.making.poured import Casting
from ringgeom.making.sprue import Sprue
from ringgeom.making.tree import Tree
from ringgeom.metal.melting import Pour


def casting_json(casting: Casting) -> dict[str, Any]:
    """One alloy poured in one flask. Yield and recovery are two numbers, never one word."""
    flask = casting.flask
    return {
        "alloy": casting.alloy.name,
        "parts": list(casting.names),
        "parts_g": flask.parts_g,
        "sprue_g": flask.sprue_g,
        "button_g": flask.button_g,
        "button_by": flask.button_by,
        "loss_g": flask.loss_g,
        "melt_g": flask.melt_g,
        "returns_g": flask.returns_g,
        "finished_g": flask.finished_g,
        "filings_g": flask.filings_g,
        "yield_percent": flask.yield_percent,
        "recovery_percent": flask.recovery_percent,
        "pour": pour_json(casting.pour),
        "tree": _tree(casting.tree),
        "sprues": [
            _sprue(name, sprue) for name, sprue in zip(casting.names, casting.sprues, strict=True)
        ],
    }


def pour_json(pour: Pour | None) -> dict[str, Any] | None:
    """How hot to pour, into what, and where the rule is from; null where no liquidus is known."""
    if pour is None:
        return None
    return {
        "aim_c": pour.aim_c,
        "low_c": pour.low_c,
        "high_c": pour.high_c,
        "investment": pour.investment,
        "text": pour.text,
        "flask": pour.flask,
        "source": pour.source,
    }


def _tree(tree: Tree) -> dict[str, Any]:
    return {
        "waxes": tree.waxes,
        "tiers": tree.tiers,
        "per_tier": tree.per_tier,
        "stem_mm": tree.stem_mm,
        "stem_length_mm": tree.stem_length_mm,
        "stem_mm3": tree.stem_mm3,
        "flask_across_mm": tree.flask_across_mm,
        "flask_height_mm": tree.flask_height_mm,
    }


def _sprue(name: str, sprue: Sprue) -> dict[str, Any]:
    return {
        "part": name,
        "diameter_mm": sprue.diameter_mm,
        "across_mm": sprue.across_mm,
        "along_mm": sprue.along_mm,
        "by_modulus_mm": sprue.by_modulus_mm,
        "by_section_mm": sprue.by_section_mm,
        "casting_modulus_mm": sprue.casting_modulus_mm,
        "modulus_mm": sprue.modulus_mm,
        "freezes_later": sprue.freezes_later,
        "count": sprue.count,
        "length_mm": sprue.length_mm,
        "fillet_mm": sprue.fillet_mm,
        "stands_at_mm": sprue.stand.z_mm,
        "volume_mm3": sprue.volume_mm3,
    }
