"""One HTML file to send: the ring to turn, its metals and sizes; no network, no server."""

from __future__ import annotations

import gzip
import json
from base64 import b64encode
from hashlib import sha256
from html import escape

from ringgeom.asked import file_word
from ringgeom.drawing.views import front_view
from ringgeom.errors import StopError
from ringgeom.finger import labels
from ringgeom.fonts import BOLD, SANS, SERIF, font_path
from ringgeom.jobs import Job
from ringgeom.making.tapering import tapers_to
from ringgeom.output.svg import drawing_svg
from ringgeom.page.build import STATIC
from ringgeom.page.meshes import ring_bytes
from ringgeom.resizing import resize_outlook
from ringgeom.sheet.client import contrasts, living, metals
from ringgeom.units import grams

FACES = (
    ("Bench Sans", 400, SANS),
    ("Bench Sans", 600, BOLD),
    ("Bench Serif", 600, SERIF),
)


def sent_name(job: Job) -> str:
    """What the file is called."""
    word = file_word(job.design.job.name).encode()[:200].decode(errors="ignore")
    return f"{word}_to-send.html"


def sent_html(job: Job) -> bytes:
    """The whole page as one file, the same bytes for the same job.

    Nothing of the shop's own is in it: no melts, no gaps, no prices. Its policy forbids
    every request; without WebGL or script the drawn ring stays.

    Raises
    ------
    StopError
        A finding stops the design.
    """
    if job.ring is None:
        raise StopError("a finding stops this design: no picture is drawn")
    turning = (STATIC / "turning.js").read_text(encoding="utf-8")
    turning = turning.replace('"./three.js"', '"three"').replace("export ", "")
    three = (STATIC / "three.js").read_bytes()
    maps = json.dumps({"imports": {"three": f"data:text/javascript;base64,{_b64(three)}"}})
    script = turning + (STATIC / "sent.js").read_text(encoding="utf-8")
    style = "".join(
        f'@font-face {{ font-family: "{family}"; font-weight: {weight}; '
        f"src: url(data:font/ttf;base64,{_b64(font_path(name).read_bytes())}); }}\n"
        for family, weight, name in FACES
    ) + (STATIC / "sent.css").read_text(encoding="utf-8")
    policy = (
        f"default-src 'none'; script-src {_hash(maps)} {_hash(script)} data:; "
        f"style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'"
    )
    ring = _b64(gzip.compress(ring_bytes(job, quick=False), mtime=0))
    name = escape(job.design.job.name)
    drawn = drawing_svg(front_view(job), title="The ring seen along the finger")
    return f"""<!doctype html>
<html lang="en">
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{name}</title>
<style>{style}</style>
<script type="importmap">{maps}</script>
<main>
<h1>{name}</h1>
<p class="made">{escape(_made(job))}</p>
<figure>
<div id="drawn">{drawn.decode()}</div>
<canvas id="turn" tabindex="0" role="img" hidden
 aria-label="The ring in three dimensions; the arrow keys turn it"></canvas>
<div id="tools" hidden>
<label>apart <input id="apart" type="range" min="0" max="100" value="0"></label>
<label><input id="open" type="checkbox">cut open</label>
<label><input id="brushed" type="checkbox">brushed</label>
</div>
<figcaption>A prediction: screens differ, and metal lives from what it mirrors.</figcaption>
</figure>
{_metals(job)}
<h2>Size</h2>
<p>This ring {escape(resize_outlook(job))}.</p>
<h2>Care and wear</h2>
{"".join(f"<p>{escape(words)}</p>" for words in living(job))}
</main>
<script type="application/octet-stream" id="ring">{ring}</script>
<script type="module">{script}</script>
</html>
""".encode()


def _made(job: Job) -> str:
    near = ", ".join(one.label for one in labels(job.made.inside_diameter_mm))
    return (
        f"inside ⌀ {job.made.inside_diameter_mm:.2f} mm ({near}); {job.form.width_mm:g} mm wide, "
        f"{job.form.thickness_mm:g} mm thick, "
        + (f"{tapers_to(job.form)}, " if job.form.taper else "")
        + f"{grams(job.finished_g)} g"
    )


def _metals(job: Job) -> str:
    rows = "".join(
        f'<tr><td><svg width="46" height="22" role="img" aria-label="{one.fill}">'
        f'<rect width="46" height="22" rx="4" fill="{one.fill}"/></svg></td>'
        f"<td>{escape(one.where)}</td><td>{escape(one.kind)}</td>"
        f"<td>{one.fine}</td><td>{one.weight}</td></tr>"
        for one in metals(job)
    )
    seen = escape("; ".join(contrasts(job)))
    return (
        "<h2>Metals</h2><table><thead><tr><th>colour</th><th>where</th><th>metal</th>"
        f"<th>fine</th><th>weight</th></tr></thead><tbody>{rows}</tbody></table>"
        f"<p>{seen + '. ' if seen else ''}Colours are a prediction for polished "
        "metal in daylight; a screen is no proof.</p>"
    )


def _b64(data: bytes) -> str:
    return b64encode(data).decode()


def _hash(text: str) -> str:
    return f"'sha256-{_b64(sha256(text.encode()).digest())}'"
