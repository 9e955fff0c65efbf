// The cut section: faces, dimension lines, marks of what is wrong. Grips lie over it.

import { bench } from "./bench.js";
import { layGrips } from "./grips.js";
import { patterns } from "./hatch.js";
import { redrawnAtSize, redrawnOnPaper, sizeOf } from "./printed.js";
import { length, svg } from "./tongue.js";
import { figure } from "./typing.js";

const MARGIN = { left: 104, right: 118, top: 96, bottom: 52 };
const ROW = 34;
const root = document.querySelector("#section");
const shapes = svg("g");
const over = svg("g");
root.append(patterns("cut"), shapes, over);

let scale = null;
let faces = [];

/** Where mm lie on the screen; kept while the hand drags, so that nothing slips under it. */
function place(section, keep) {
  const { width, height } = sizeOf(root);
  if (keep && scale && scale.width === width && scale.height === height) return scale;
  const wide = 2 * section.half_mm;
  const high = section.crest_mm - section.bore_mm;
  const k = Math.max(4, Math.min((width - MARGIN.left - MARGIN.right) / wide, (height - MARGIN.top - MARGIN.bottom) / high));
  const middle = (width + MARGIN.left - MARGIN.right) / 2;
  const spare = height - MARGIN.top - MARGIN.bottom - high * k;
  scale = { k, width, height, middle, base: MARGIN.top + spare / 2 + high * k, bore: section.bore_mm };
  return scale;
}

const x = (z) => scale.middle + z * scale.k;
const y = (r) => scale.base - (r - scale.bore) * scale.k;

export function drawSection(view, { trying }) {
  const { section } = view;
  place(section, trying);
  root.setAttribute("viewBox", `0 0 ${scale.width} ${scale.height}`);
  if (section.faces.length) faces = section.faces;
  shapes.replaceChildren(
    svg("g", { class: section.faces.length ? "" : "stale" }, ...faces.flatMap(drawFace)),
    ...ground(view),
    ...section.measures.flatMap((one, n) => drawMeasure(one, n, section)),
    ...marks(view),
  );
  layGrips(over, section.grips, { x, y, k: scale.k, width: scale.width, root });
}

const path = (loops) =>
  loops.map((loop) => "M" + loop.map(([z, r]) => `${x(z).toFixed(2)} ${y(r).toFixed(2)}`).join("L") + "Z").join("");

function drawFace(face) {
  const d = path(face.loops);
  return [
    svg("path", { d, class: "face", fill: face.fill, "fill-rule": "evenodd" }, svg("title", {}, `${face.part}, ${face.alloy}`)),
    svg("path", { d, class: "hatched", fill: `url(#cut-hatch-${face.hatch % 8})`, "fill-rule": "evenodd" }),
  ];
}

function ground({ section, ring }) {
  const low = y(section.bore_mm);
  const said = `bore ⌀ ${length(ring.inside_diameter_mm)} at mid-width, ${ring.asked}`;
  return [
    svg("line", { class: "axis", x1: x(0), x2: x(0), y1: y(section.crest_mm) - 16, y2: low + 30 }),
    svg("line", { class: "bore", x1: x(-section.half_mm) - 20, x2: x(section.half_mm) + 20, y1: low, y2: low }),
    svg("text", { class: "note", x: x(section.half_mm) + 20, y: low + (section.half_mm * scale.k + 20 > 7 * said.length ? 20 : 48), "text-anchor": "end" }, said),
  ];
}

function drawMeasure(one, number, section) {
  const out = [];
  if (one.side === "above") {
    const top = y(section.crest_mm) - 22 - one.row * ROW;
    const [a, b] = [x(one.from_mm), x(one.to_mm)];
    const needs = length(one.value).length * 7.4 + 4;
    out.push(svg("path", { class: "dim", d: `M${a} ${top}H${b}M${a} ${top - 5}v10M${b} ${top - 5}v10` }));
    for (const end of [a, b]) out.push(svg("path", { class: "reach", d: `M${end} ${y(section.crest_mm) - 6}V${top + 7}` }));
    // a figure wider than its line moves up, out of its neighbours' way, unless that is taken
    const narrow = b - a < needs;
    if (!narrow) out.push(figure(one, [(a + b) / 2, top - 6], "middle"));
    else if (b - a > needs / 2.4 || one.key) out.push(figure(one, [(a + b) / 2, top - 17], "middle"));
    return out;
  }
  const [low, high] = [y(one.from_mm), y(one.to_mm)];
  if (one.side === "in") {
    const at = x(one.at_mm) - 30;
    out.push(svg("path", { class: "floor", d: `M${at} ${low - 1}V${high + 1}M${at - 4} ${low - 1}h8M${at - 4} ${high + 1}h8` }));
    if (low - high > 19) out.push(svg("text", { class: "on-metal", x: at - 8, y: (low + high) / 2 + 5, "text-anchor": "end" }, `${one.says} ${length(one.value)}`));
    return out;
  }
  const right = one.side === "right";
  const edge = right ? x(section.half_mm) + 34 : x(-section.half_mm) - 34;
  const at = edge + (right ? 1 : -1) * one.row * 40;
  out.push(svg("path", { class: "dim", d: `M${at} ${low}V${high}M${at - 5} ${low}h10M${at - 5} ${high}h10` }));
  const from = right ? x(section.half_mm) + 6 : x(-section.half_mm) - 6;
  out.push(svg("path", { class: "reach", d: `M${from} ${high}H${at + (right ? -7 : 7)}M${from} ${low}H${at + (right ? -7 : 7)}` }));
  out.push(figure(one, [at - 6, (low + high) / 2], "middle", { turned: true }));
  return out;
}

function marks(view) {
  const taken = view.section.grips.map((one) => [x(one.at_mm[0]), y(one.at_mm[1])]);
  const out = [];
  view.findings.forEach((finding, index) => {
    if (!finding.mark || finding.level === "note") return;
    const level = finding.level;
    if (finding.mark.ends_mm) {
      const [[z0, r0], [z1, r1]] = finding.mark.ends_mm;
      out.push(svg("line", { class: `thin ${level}`, x1: x(z0), y1: y(r0), x2: x(z1), y2: y(r1) }));
    }
    const cy = y(finding.mark.at_mm[1]);
    let cx = x(finding.mark.at_mm[0]) + 26;
    // a mark gives way to what can be grabbed, and to the marks before it
    while (taken.some(([a, b]) => Math.hypot(a - cx, b - cy) < 21)) cx += 3;
    taken.push([cx, cy]);
    const shape = level === "stop" ? svg("rect", { x: cx - 9, y: cy - 9, width: 18, height: 18 }) : svg("circle", { cx, cy, r: 9 });
    out.push(svg("g", { class: `mark ${level}` }, svg("title", {}, finding.text), shape, svg("text", { x: cx, y: cy + 4 }, String(index + 1))));
  });
  return out;
}

const again = () => bench.view && !root.querySelector(".held") && drawSection(bench.view, { trying: false });
redrawnAtSize(root, again);
redrawnOnPaper(again);
