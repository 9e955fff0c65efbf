"""Metals as JSON: colours, contrasts, melts, marks, cautions, one alloy."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ringgeom.colour import Colour, colour
from ringgeom.colour.pair import FINISH_WORDS, FinishPair, Pair
from ringgeom.colour.partners import Partner
from ringgeom.marks import ArticleMark, PartMark, Region
from ringgeom.melt import Melt, MeltPlan
from ringgeom.metal import Alloy, Recipe, fineness, recipe_faults
from ringgeom.metal.caution import Caution
from ringgeom.metal.melting import hints, pour_c
from ringgeom.output.json_casting import pour_json


def colour_json(alloy: Alloy, found: Colour) -> dict[str, Any]:
    """A prediction, with how far to trust it; or what the maker measured."""
    return {
        "alloy": alloy.name,
        "lab": list(found.lab),
        "lab_a": list(found.lab_a),
        "hex": found.hex,
        "linear_rgb": list(found.linear_rgb),
        "yellowness_index": found.yellowness,
        "finish": found.finish,
        "trust": found.trust.kind,
        "trust_words": found.trust.words,
        "band_de00": found.trust.band_de00,
    }


def contrast_json(
    met: Pair, better: tuple[Sequence[Partner], Sequence[Partner]] = ((), ())
) -> dict[str, Any]:
    """Two metals side by side, polished and brushed, and what would contrast more."""
    found = met.contrast
    return {
        "between": list(met.names),
        "delta_e_00_d65": found.delta_e_00_d65,
        "delta_e_00_a": found.delta_e_00_a,
        "band_de00": found.band,
        "verdict": found.verdict,
        "uncertain": found.uncertain,
        "reads_green": None if found.reads_green is None else met.names[found.reads_green],
        "told_apart": met.told_apart,
        "words": met.words,
        "finishes": [_finish(one) for one in met.finishes],
        "better": [
            {"instead_of": name, "alloys": [_partner(one) for one in found_better]}
            for name, found_better in zip(met.names, better, strict=True)
            if found_better
        ],
    }


def _finish(one: FinishPair) -> dict[str, Any]:
    return {
        "finishes": list(one.finishes),
        "delta_e_00_d65": one.contrast.delta_e_00_d65,
        "delta_e_00_a": one.contrast.delta_e_00_a,
        "verdict": one.contrast.verdict,
        "basis": FINISH_WORDS if "brushed" in one.finishes else "predicted, polished",
    }


def _partner(one: Partner) -> dict[str, Any]:
    return {
        "alloy": one.alloy.name,
        "delta_e_00_d65": one.contrast.delta_e_00_d65,
        "delta_e_00_a": one.contrast.delta_e_00_a,
        "hazards": list(one.hazards),
    }


def recipe_json(recipe: Recipe) -> dict[str, float]:
    """Symbol to percent by mass, largest first."""
    return dict(recipe.shares)


def melts_json(plan: MeltPlan) -> list[dict[str, Any]]:
    """Every melt: what to weigh out in order of melting, what comes of it, what is left."""
    left = {one.lot: one.grams for one in plan.left}
    return [_melt(melt, left) for melt in plan.melts]


def _melt(melt: Melt, left: dict[str, float]) -> dict[str, Any]:
    wanted = melt.wanted
    return {
        "job": wanted.job,
        "alloy": wanted.alloy.name,
        "melt_g": wanted.grams,
        "take": [
            {
                "from": portion.source.name,
                "grams": portion.grams,
                "kind": portion.source.kind,
                "bought": portion.source.bought,
                "recipe": recipe_json(portion.source.recipe),
            }
            for portion in melt.take
        ],
        "poured_g": melt.poured_g,
        "zinc_fume_g": melt.fume_g,
        "made": recipe_json(melt.made.recipe),
        "fineness_permille": melt.fineness_permille,
        "worst_permille": melt.worst_permille,
        "wanted_permille": wanted.wanted_permille if wanted.mark_symbol else None,
        "colour_shift_de00": melt.shift_de00,
        "remelt_percent": melt.remelt_percent,
        "possible": melt.possible,
        "missing": [{"metal": one.symbol, "grams": one.grams} for one in melt.missing],
        "why": list(melt.why),
        "left": [
            {"lot": portion.source.name, "grams": left[portion.source.name]}
            for portion in melt.take
            if portion.source.name in left
        ],
        "excluded": [{"lot": one.lot, "why": one.why} for one in melt.excluded],
    }


def marks_json(proposal: ArticleMark) -> dict[str, Any]:
    """What one region would have stamped; a proposal, never a certificate."""
    return {
        "region": proposal.region,
        "proposal": proposal.line,
        "stamps": [
            {
                "part": stamp.part,
                "metal": stamp.metal,
                "mark": stamp.mark,
                "covers": list(stamp.covers),
                "assay_office_mark": stamp.office_mark,
            }
            for stamp in proposal.stamps
        ],
        "average_that_may_not_be_stamped": proposal.average_permille,
        "whole_permille": proposal.whole_permille,
        "exempt": proposal.exempt,
        "words": [
            {"text": said.text, "source": said.source, "known": said.known}
            for said in proposal.words
        ],
        "doubts": [
            {"code": doubt.code, "part": doubt.part, "text": doubt.text, "fix": doubt.fix}
            for doubt in proposal.doubts
        ],
    }


def caution_json(caution: Caution) -> dict[str, str]:
    """A caution with its source."""
    return {"id": caution.id, "text": caution.text, "source": caution.source}


def alloy_json(
    alloy: Alloy, marks: Sequence[tuple[Region, PartMark]], cautions: Sequence[Caution]
) -> dict[str, Any]:
    """Everything that is known of one alloy."""
    return {
        "alloy": alloy.name,
        "recipe": recipe_json(alloy.recipe),
        "metal": alloy.recipe.precious,
        "fineness_permille": fineness(alloy.recipe),
        "density_g_cm3": alloy.density_g_cm3,
        "density_uncertainty_g_cm3": alloy.density_uncertainty_g_cm3,
        "density_basis": alloy.density_basis,
        "density_published_g_cm3": alloy.density_published_g_cm3,
        "solidus_c": alloy.solidus_c,
        "liquidus_c": alloy.liquidus_c,
        "pour": pour_json(pour_c(alloy)),
        "colour": colour_json(alloy, colour(alloy)),
        "brushed": colour_json(alloy, colour(alloy, "brushed")),
        "marks": [
            {
                "region": region.key,
                "mark": None if mark.legal is None else mark.legal.label,
                "next_mark_up": mark.next_mark_up,
                "short_of_it_permille": mark.next_short_permille,
            }
            for region, mark in marks
        ],
        "hazards": [
            {"code": fault.code, "level": fault.level, "text": fault.text, "fix": fault.fix}
            for fault in recipe_faults(alloy.recipe)
        ],
        "hints": [
            {"code": hint.code, "text": hint.text, "source": hint.source}
            for hint in hints(alloy.recipe)
        ],
        "cautions": [caution_json(caution) for caution in cautions],
        "source": alloy.source,
        "known": alloy.known,
        "note": alloy.note,
    }
