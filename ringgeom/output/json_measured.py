"""Castings as they were measured, as JSON: shrink, weight, ledgers, proposed shop numbers."""

from __future__ import annotations

from typing import Any

from ringgeom.afterwards import JobMeasured
from ringgeom.making.ledger import Ledger, WeightResidual
from ringgeom.making.shop_numbers import Proposal, ProposedLoss
from ringgeom.making.shrinkage import Shrinkage


def measured_json(found: JobMeasured) -> dict[str, Any]:
    """Everything that a file of readings says."""
    return {
        "job": {"name": found.job.design.job.name},
        "date": found.readings.date.isoformat(),
        "castings": [
            _casting(one, pattern)
            for one, pattern in zip(found.shrinkages, found.pattern_percent, strict=True)
        ],
        "not_read": list(found.not_read),
        "ledgers": [_ledger(one) for one in found.ledgers],
        "proposals": [_proposal(one) for one in found.proposals],
        "proposed_loss": None if found.loss is None else _loss(found.loss),
        "words": list(found.words),
    }


def _casting(found: Shrinkage, pattern_percent: float | None) -> dict[str, Any]:
    return {
        "part": found.expected.part,
        "alloy": found.expected.alloy_name,
        "shrink_percent": found.percent,
        "band_percent": found.band_percent,
        "measures_agree": found.agree,
        "pattern_shrink_percent": pattern_percent,
        "measures": [
            {
                "which": one.which,
                "read_mm": one.mm,
                "expected_mm": one.expected_mm,
                "shrink_percent": one.percent,
                "band_percent": one.band_percent,
            }
            for one in found.measures
        ],
        "weight": None if found.weight is None else _weight(found.weight),
        "words": list(found.words),
    }


def _weight(found: WeightResidual) -> dict[str, Any]:
    return {
        "read_g": found.weight_g,
        "expected_g": found.expected_g,
        "residual_g": found.residual_g,
        "residual_percent": found.residual_percent,
        "band_g": found.band_g,
        "points_to": list(found.points_to),
        "density_g_cm3": None if found.weighed is None else found.weighed.density_g_cm3,
    }


def _ledger(found: Ledger) -> dict[str, Any]:
    return {
        "alloy": found.alloy,
        "issued_g": found.issued_g,
        "in_ring_g": found.in_ring_g,
        "clean_returns_g": found.clean_returns_g,
        "filings_g": found.filings_g,
        "unexplained_g": found.unexplained_g,
        "unexplained_percent": found.unexplained_percent,
        "band_g": found.band_g,
        "predicted_g": found.predicted_g,
        "verdict": found.verdict,
        "words": list(found.words),
    }


def _proposal(found: Proposal) -> dict[str, Any]:
    return {
        "alloy": found.alloy_name,
        "now_percent": found.now_percent,
        "percent": found.percent,
        "castings": found.count,
        "new_castings": found.new_count,
        "date": found.on.isoformat(),
        "lowest_percent": found.lowest_percent,
        "highest_percent": found.highest_percent,
        "trusted": found.trusted,
        "pattern_scale_now": found.scale_now,
        "pattern_scale": found.scale,
        "bore_off_mm": found.bore_off_mm,
        "left_out": list(found.left_out),
        "words": list(found.words),
    }


def _loss(found: ProposedLoss) -> dict[str, Any]:
    return {
        "now_percent": found.now_percent,
        "percent": found.percent,
        "band_percent": found.band_percent,
        "melts": found.melts,
        "new_melts": found.new_melts,
        "issued_g": found.issued_g,
        "date": found.on.isoformat(),
        "trusted": found.trusted,
        "left_out": list(found.left_out),
        "words": list(found.words),
    }
