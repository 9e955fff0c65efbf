// The outside unrolled, seen from without: waves, pieces, the hours of the clock, where it is cut.

import { bench } from "./bench.js";
import { layGrips } from "./grips.js";
import { patterns } from "./hatch.js";
import { redrawnAtSize, redrawnOnPaper, sizeOf } from "./printed.js";
import { isInch, length, svg, widthOf } from "./tongue.js";
import { figure } from "./typing.js";

const MARGIN = { side: 58, top: 50, bottom: 32 };
const LETTER = 7.4;
const root = document.querySelector("#outside");
const shapes = svg("g");
const over = svg("g");
root.append(patterns("out"), shapes, over);
const HOURS = [[0, "12 o’clock"], [0.25, "3 o’clock"], [0.5, "6 o’clock"], [0.75, "9 o’clock"], [1, "12 o’clock"]];

let patches = [];
let letters = [];

function place({ around_mm, half_mm }) {
  const { width, height } = sizeOf(root);
  root.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const side = MARGIN.side + (isInch() ? 14 : 0);
  const k = Math.max(1, Math.min((width - 2 * side) / around_mm, (height - MARGIN.top - MARGIN.bottom) / (2 * half_mm)));
  const left = (width - around_mm * k) / 2;
  const middle = MARGIN.top + (height - MARGIN.top - MARGIN.bottom) / 2;
  return { root, k, width, left, x: (s) => left + s * k, y: (z) => middle - z * k };
}

let drawn = "";

export function drawOutside(view) {
  const { outside } = view;
  const scale = place(outside);
  const now = JSON.stringify([outside, scale.k, scale.width, isInch(), (view.design.part ?? []).map((one) => [one.name, one.wave, one.count])]);
  if (now === drawn) return;
  drawn = now;
  const { x, y, left, k } = scale;
  const stale = !outside.patches.length;
  if (!stale) patches = outside.patches;
  letters = outside.letters ?? letters;
  const box = { x: left, y: y(outside.half_mm), width: outside.around_mm * k, height: 2 * outside.half_mm * k };
  const path = (areas) => areas.map((area) => "M" + area.map(([s, z]) => `${x(s).toFixed(1)} ${y(z).toFixed(1)}`).join("L") + "Z").join("");
  const said = svg("text", { class: "note", x: left, y: box.y - 34 });
  shapes.replaceChildren(
    svg("clipPath", { id: "unrolled" }, svg("rect", box)),
    svg("g", { "clip-path": "url(#unrolled)", class: stale ? "stale" : "" }, ...patches.flatMap((patch) => [
      svg("path", { d: path(patch.areas), fill: patch.fill, class: "face" }, svg("title", {}, patch.part)),
      svg("path", { d: path(patch.areas), fill: `url(#out-hatch-${patch.hatch % 8})`, class: "hatched" }),
    ]), svg("path", { d: path(letters), class: "on-metal" })),
    svg("rect", { ...box, fill: "none", class: "face" }),
    said,
    ...HOURS.flatMap(([share, text]) => [
      svg("path", { class: "dim", d: `M${x(share * outside.around_mm)} ${box.y + box.height + 3}v6` }),
      svg("text", { class: "note", x: x(share * outside.around_mm), y: box.y + box.height + 23, "text-anchor": "middle" }, text),
    ]),
    ...cutLine(outside.cut, scale, box),
    ...along(outside, scale, box),
    ...heights(outside, scale, box),
  );
  tellAll(said, view, scale.width - left - 12);
  layGrips(over, outside.grips, scale);
}

/** What the drawing is, in as many words as there is room for. */
function tellAll(said, { design, outside }, room) {
  const parts = design.part ?? [];
  const waves = parts.filter((one) => one.wave?.amplitude_mm).map((one) => `${one.name}: ${one.wave.count} ${one.wave.count === 1 ? "wave" : "waves"} of ${length(one.wave.amplitude_mm)}`);
  const pieces = parts.filter((one) => one.count).map((one) => `${one.name}: ${one.count} round`);
  const words = ["outside unrolled", `${length(outside.around_mm)} round`, ...waves, ...pieces];
  while (words.length > 1 && widthOf(words.join("  ·  "), 13) > room) words.pop();
  said.textContent = words.join("  ·  ");
}

/** The place that the section above shows. */
function cutLine([[s0, z0], [s1, z1]], { x, y }, box) {
  const top = x(s1) + (x(s1) - x(s0)) * (8 / box.height);
  return [
    svg("path", { class: "cut", d: `M${x(s0)} ${y(z0) + 3}L${x(s1)} ${y(z1)}L${top} ${box.y - 8}` }),
    svg("text", { class: "note", x: top, y: box.y - 12, "text-anchor": "middle" }, "cut", svg("title", {}, "the section above is cut here")),
  ];
}

/** Lengths along the ring, over it; one that would touch another is left out. */
function along({ measures, cut }, { x, y, width }, box) {
  const line = box.y - 13;
  const taken = [[x(cut[1][0]) - 16, x(cut[1][0]) + 16]];
  return measures.filter((one) => one.side === "above").flatMap((one) => {
    const [a, b] = [x(one.from_mm), x(one.to_mm)];
    const before = one.row ? "gap " : "";
    const words = LETTER * (before + length(one.value)).length;
    const inside = b - a > words + 12;
    const reach = inside ? [a - 4, b + 4] : [a - 9, b + 12 + words];
    if (reach[1] > width || taken.some(([low, high]) => reach[0] < high && low < reach[1])) return [];
    taken.push(reach);
    const lines = inside ? `M${a} ${line}H${(a + b - words) / 2 - 4}M${(a + b + words) / 2 + 4} ${line}H${b}M${a} ${line - 5}v10M${b} ${line - 5}v10`
      : `M${a - 8} ${line}H${a}M${b} ${line}H${b + 8}M${a} ${line - 5}v10M${b} ${line - 5}v10`;
    return [
      svg("path", { class: "reach", d: `M${a} ${line + 6}V${y(one.at_mm) - 2}M${b} ${line + 6}V${y(one.at_mm) - 2}` }),
      svg("path", { class: "dim", d: lines }),
      figure(one, inside ? [(a + b) / 2, line + 5] : [b + 11, line + 5], inside ? "middle" : "start", { before }),
    ];
  });
}

/** Heights of waves, right of the ring. */
function heights({ measures }, { x, y }, box) {
  const at = box.x + box.width + 12;
  const taken = [];
  return measures.filter((one) => one.side === "right").flatMap((one) => {
    const [low, high] = [y(one.from_mm), y(one.to_mm)];
    const middle = (low + high) / 2;
    if (taken.some((other) => Math.abs(other - middle) < 17)) return [];
    taken.push(middle);
    return [
      svg("path", { class: "reach", d: `M${Math.max(x(one.at_mm) + 10, box.x + box.width - 120)} ${high}H${at + 5}M${box.x + box.width + 4} ${low}H${at + 5}` }),
      svg("path", { class: "dim", d: `M${at} ${low}V${high}M${at - 4} ${low}h8M${at - 4} ${high}h8` }),
      figure(one, [at + 8, middle + 5], "start"),
    ];
  });
}

const again = () => bench.view && !root.querySelector(".held") && drawOutside(bench.view);
redrawnAtSize(root, again);
redrawnOnPaper(again);
