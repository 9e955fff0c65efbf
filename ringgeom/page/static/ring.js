// The ring beside its section: coarse while the hand moves, fine when it rests.

import { ask, bench } from "./bench.js";
import { el, svg } from "./tongue.js";
import { Turning, unpacked } from "./turning.js";

const canvas = document.querySelector("#turn");
const tools = document.querySelector("#ring-tools");
let turning = null;
let flying = false;
let wanted = null;
let resting = 0;
let last = 0;
let took = 0;
// while the hand moves, the ring takes no more than a fifth of the time: the section comes first
const TRYING_MS = 110;
const SHARE = 4;

export function begin() {
  try {
    turning = new Turning(canvas);
  } catch {
    canvas.hidden = true;
    document.body.dataset.ring = "drawn";
    document.addEventListener("shown", (event) => drawn(event.detail.view));
    if (bench.view) drawn(bench.view);
    return;
  }
  document.body.dataset.ring = "turns";
  const apart = el("input", { type: "range", min: 0, max: 100, value: 0, "aria-label": "parts lifted apart" });
  apart.addEventListener("input", () => change({ apart: apart.value / 100 }));
  const tick = (key, words) => {
    const box = el("input", { type: "checkbox", onchange: () => change({ [key]: box.checked }) });
    return el("label", {}, box, words);
  };
  tools.replaceChildren(el("label", {}, "apart", apart), tick("open", "cut open"), tick("brushed", "brushed"));
  document.addEventListener("shown", (event) => want(event.detail));
  if (bench.view) want({ view: bench.view, trying: false });
}

function change(what) {
  Object.assign(turning, what);
  turning.dress();
}

function want({ view, trying }) {
  clearTimeout(resting);
  if (view.stopped) return;
  if (!trying || performance.now() - last > Math.max(TRYING_MS, SHARE * took)) fetchRing(view.text, true);
  if (!trying) resting = setTimeout(() => fetchRing(view.text, false), 160);
}

/** When so many frames have been drawn: where the machine has no graphics, that takes long. */
const afterFrames = (n) => new Promise((done) => requestAnimationFrame(() => (n > 1 ? afterFrames(n - 1).then(done) : done())));

async function fetchRing(text, quick) {
  wanted = { text, quick };
  if (flying) return;
  flying = true;
  last = performance.now();
  try {
    while (wanted) {
      const sent = wanted;
      wanted = null;
      const begun = performance.now();
      const head = unpacked(await ask("ring", sent, "bytes"));
      if (wanted && !sent.quick) continue;
      turning.show(head);
      document.body.dataset.ringMs = (performance.now() - begun).toFixed(1);
      if (sent.quick) afterFrames(2).then(() => (took = performance.now() - begun));
      document.body.dataset.ringIs = sent.quick ? "quick" : "full";
    }
  } catch {
    // what is wrong is told where it is wrong; the last good ring stays
  } finally {
    flying = false;
    last = performance.now();
  }
}

/** Without three dimensions: the ring seen along the finger, drawn. */
function drawn({ ring, section }) {
  const [bore, out] = [ring.inside_diameter_mm / 2, ring.outside_diameter_mm / 2];
  const circle = (r) => `M${-r} 0A${r} ${r} 0 1 0 ${r} 0A${r} ${r} 0 1 0 ${-r} 0Z`;
  const washer = (high, low, fill) => svg("path", { d: circle(high) + circle(low), fill, "fill-rule": "evenodd", class: "face", "vector-effect": "non-scaling-stroke" });
  // what reaches furthest along the finger is seen before what lies behind it
  const ends = (face, n) => face.loops.flat().map((point) => point[n]);
  const faces = [...section.faces].sort((a, b) => Math.max(...ends(a, 0)) - Math.max(...ends(b, 0)));
  if (!faces.length) return;
  document.querySelector("#ring svg")?.remove();
  const picture = svg("svg", { viewBox: `${-out - 2} ${-out - 2} ${2 * out + 4} ${2 * out + 4}`, role: "img", "aria-label": "The ring seen along the finger", width: "100%", height: "84%" },
    ...faces.map((face) => washer(Math.max(...ends(face, 1)), Math.min(...ends(face, 1)), face.fill)), washer(out, bore, "none"));
  canvas.before(picture);
  tools.textContent = "Seen along the finger; this browser has no WebGL to turn the ring.";
}
