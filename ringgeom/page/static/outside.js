// The outside unrolled, seen from without, with the hours of the clock under it.

import { bench } from "./bench.js";
import { patterns } from "./hatch.js";
import { length, svg } from "./tongue.js";

const root = document.querySelector("#outside");
const shapes = svg("g");
root.append(patterns("out"), shapes);
const HOURS = [[0, "12 o’clock"], [0.25, "3 o’clock"], [0.5, "6 o’clock"], [0.75, "9 o’clock"], [1, "12 o’clock"]];

export function drawOutside(view) {
  const { width, height } = root.getBoundingClientRect();
  root.setAttribute("viewBox", `0 0 ${width} ${height}`);
  const { around_mm, half_mm, patches } = view.outside;
  if (!patches.length) return;
  const k = Math.min((width - 110) / around_mm, (height - 76) / (2 * half_mm));
  const left = (width - around_mm * k) / 2;
  const middle = 34 + (height - 76) / 2;
  const x = (s) => left + s * k;
  const y = (z) => middle - z * k;
  const box = { x: left, y: y(half_mm), width: around_mm * k, height: 2 * half_mm * k };
  const path = (areas) => areas.map((area) => "M" + area.map(([s, z]) => `${x(s).toFixed(1)} ${y(z).toFixed(1)}`).join("L") + "Z").join("");
  const inside = svg("clipPath", { id: "unrolled" }, svg("rect", box));
  const waves = (view.design.part ?? []).filter((one) => one.wave?.amplitude_mm).map((one) => `${one.name}: ${one.wave.count} ${one.wave.count === 1 ? "wave" : "waves"} of ${length(one.wave.amplitude_mm)}`);
  const parts = (view.design.part ?? []).filter((one) => one.count).map((one) => `${one.name}: ${one.count} round`);
  const words = ["outside unrolled", `${length(around_mm)} round`, ...waves, ...parts];
  const said = svg("text", { class: "note", x: left, y: box.y - 10 });
  shapes.replaceChildren(
    inside,
    svg("g", { "clip-path": "url(#unrolled)" }, ...patches.flatMap((patch) => [
      svg("path", { d: path(patch.areas), fill: patch.fill, class: "face" }, svg("title", {}, patch.part)),
      svg("path", { d: path(patch.areas), fill: `url(#out-hatch-${patch.hatch % 8})`, class: "hatched" }),
    ]), svg("path", { d: path(view.outside.letters ?? []), fill: "currentColor" })),
    svg("rect", { ...box, fill: "none", class: "face" }),
    said,
    ...HOURS.flatMap(([share, text]) => [
      svg("path", { class: "dim", d: `M${x(share * around_mm)} ${box.y + box.height + 3}v6` }),
      svg("text", { class: "note", x: x(share * around_mm), y: box.y + box.height + 23, "text-anchor": "middle" }, text),
    ]),
  );
  // as much of it as there is room for
  do said.textContent = words.join("  ·  ");
  while (said.getComputedTextLength() > width - left - 12 && words.pop());
}

new ResizeObserver(() => bench.view && drawOutside(bench.view)).observe(root);
