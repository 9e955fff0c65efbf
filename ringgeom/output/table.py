"""weights.csv: one row per part, one per melt, one for the ring; for a spreadsheet."""

from __future__ import annotations

import csv
import io

from ringgeom.jobs import Job

HEAD = (
    "row",
    "name",
    "alloy",
    "density_g_cm3",
    "volume_mm3",
    "finished_g",
    "uncertainty_g",
    "as_cast_mm3",
    "as_cast_g",
    "pattern_scale",
    "wax_bore_mm",
    "wax_outside_mm",
    "wax_width_mm",
    "sprue_g",
    "button_g",
    "loss_g",
    "melt_g",
    "returns_g",
    "filings_g",
)


def weights_csv(job: Job) -> str:
    """The weights of a job; mm3 to 4 decimals, g to 4."""
    stream = io.StringIO(newline="")
    writer = csv.DictWriter(stream, HEAD, restval="", lineterminator="\r\n")
    writer.writeheader()
    for part in job.parts:
        writer.writerow(
            {
                "row": "part",
                "name": part.name,
                "alloy": part.alloy.name,
                "density_g_cm3": f"{part.alloy.density_g_cm3:.4f}",
                "volume_mm3": f"{part.volume_mm3:.4f}",
                "finished_g": f"{part.finished_g:.4f}",
                "uncertainty_g": f"{part.uncertainty_g:.4f}",
                "as_cast_mm3": f"{part.cast_mm3:.4f}",
                "as_cast_g": f"{part.as_cast_g:.4f}",
                "pattern_scale": f"{part.scale.scale:.6f}",
                "wax_bore_mm": f"{part.wax.bore_mm:.3f}",
                "wax_outside_mm": f"{part.wax.outside_mm:.3f}",
                "wax_width_mm": f"{part.wax.width_mm:.3f}",
            }
        )
    for casting in job.castings:
        flask = casting.flask
        writer.writerow(
            {
                "row": "melt",
                "name": " + ".join(part.name for part in casting.parts),
                "alloy": casting.alloy.name,
                "density_g_cm3": f"{casting.alloy.density_g_cm3:.4f}",
                "finished_g": f"{flask.finished_g:.4f}",
                "as_cast_g": f"{flask.parts_g:.4f}",
                "sprue_g": f"{flask.sprue_g:.4f}",
                "button_g": f"{flask.button_g:.4f}",
                "loss_g": f"{flask.loss_g:.4f}",
                "melt_g": f"{flask.melt_g:.4f}",
                "returns_g": f"{flask.returns_g:.4f}",
                "filings_g": f"{flask.filings_g:.4f}",
            }
        )
    writer.writerow(
        {
            "row": "ring",
            "name": job.design.job.name,
            "volume_mm3": f"{job.volume_mm3:.4f}",
            "finished_g": f"{job.finished_g:.4f}",
            "uncertainty_g": f"{job.uncertainty_g:.4f}",
        }
    )
    return stream.getvalue()
