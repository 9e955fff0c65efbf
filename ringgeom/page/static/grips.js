// What the hand takes hold of: dragged, nudged with arrow keys, typed exactly.

import { attempt, bench, settle, say } from "./bench.js";
import { perMm, typeOver, x, y } from "./section.js";
import { length, svg } from "./tongue.js";

const SNAP_MM = 0.05;
const FAR_MM = 0.5;
const layer = new Map();
let held = null;

const snapped = (mm) => Math.round(Math.round(mm / SNAP_MM) * SNAP_MM * 1e6) / 1e6;

/** Keys and values of some moves when the first of them takes a value. */
function changesTo(moves, value) {
  const by = (value - moves[0].value) / moves[0].per;
  return moves.map((one, n) => ({ key: one.key, value: n ? Math.round((one.value + by * one.per) * 1e6) / 1e6 : value }));
}

export function layGrips(root, section) {
  const names = new Set(section.grips.map((one) => one.name));
  for (const [name, node] of layer) if (!names.has(name)) { node.remove(); layer.delete(name); }
  for (const grip of section.grips) {
    if (!layer.has(grip.name)) {
      const node = made(grip);
      layer.set(grip.name, node);
    }
    const node = layer.get(grip.name);
    if (node.parentNode !== root) root.append(node);
    if (held?.node !== node) {
      node.grip = grip;
      put(node, grip.at_mm, grip.moves[0].value);
    }
  }
}

function put(node, [z, r], value) {
  const { grip } = node;
  const [cx, cy] = [x(z), y(r)];
  const words = `${grip.says}, ${length(value)}`;
  node.setAttribute("aria-label", words);
  node.setAttribute("aria-valuenow", value);
  node.setAttribute("aria-valuetext", words);
  node.setAttribute("transform", `translate(${cx} ${cy})`);
  node.dataset.value = value;
  const [, dot, tag] = node.children;
  if (grip.name.endsWith("centre")) dot.setAttribute("d", "M-11 0L0 -7L11 0L0 7Z");
  tag.lastChild.textContent = `${grip.says}  ${length(value)}`;
  const wide = 7.3 * tag.lastChild.textContent.length + 16;
  tag.firstChild.setAttribute("width", wide);
  const left = Math.max(6 - cx, Math.min(-wide / 2, document.querySelector("#section").clientWidth - cx - wide - 6));
  tag.setAttribute("transform", `translate(${left} ${cy < 60 ? 16 : -44})`);
}

function made(grip) {
  const tag = svg("g", { class: "tag" }, svg("rect", { height: 27, rx: 4 }), svg("text", { x: 8, y: 18.5 }));
  const node = svg("g", { class: `grip ${grip.axis}`, tabindex: 0, role: "slider", "data-grip": grip.name, "aria-orientation": grip.axis === "z" ? "horizontal" : "vertical" },
    svg("circle", { class: "hit", r: 18 }), svg("path", { class: "dot", d: "M-7 0A7 7 0 1 0 7 0A7 7 0 1 0 -7 0Z" }), tag);
  node.addEventListener("pointerdown", (event) => take(event, node));
  node.addEventListener("pointermove", (event) => held?.node === node && move(event));
  node.addEventListener("pointerup", (event) => held?.node === node && release(event, true));
  node.addEventListener("pointercancel", (event) => held?.node === node && release(event, false));
  node.addEventListener("dblclick", () => typeGrip(node));
  node.addEventListener("keydown", (event) => nudge(event, node));
  return node;
}

function typeGrip(node) {
  const { moves } = node.grip;
  typeOver(node, moves[0].key, moves[0].value, (mm) => changesTo(moves, mm));
}

function take(event, node) {
  if (event.button !== 0 || !bench.view) return;
  node.setPointerCapture(event.pointerId);
  node.focus();
  node.classList.add("held");
  held = { node, grip: node.grip, from: [event.clientX, event.clientY], value: node.grip.moves[0].value };
  event.preventDefault();
}

function move(event) {
  const { grip, from, node } = held;
  const moves = event.altKey && grip.alone.length ? grip.alone : grip.moves;
  const by = grip.axis === "z" ? (event.clientX - from[0]) / perMm() : (from[1] - event.clientY) / perMm();
  const least = grip.says.startsWith("rise") ? 0 : grip.name.endsWith("centre") || /from_mm|to_mm/.test(grip.name) ? -Infinity : SNAP_MM;
  const value = Math.max(least, snapped(moves[0].value + by * moves[0].per));
  if (value === held.value && moves === held.moves) return;
  held.value = value;
  held.moves = moves;
  // the grip itself goes with the hand at once; the metal follows as soon as it is cut anew
  const went = (value - moves[0].value) / moves[0].per;
  const at = grip.axis === "z" ? [grip.at_mm[0] + went, grip.at_mm[1]] : [grip.at_mm[0], grip.at_mm[1] + went];
  put(node, at, value);
  attempt(changesTo(moves, value));
}

async function release(event, good) {
  const { node, grip, value, moves } = held;
  held = null;
  node.classList.remove("held");
  node.releasePointerCapture?.(event.pointerId);
  if (!moves || !good || value === grip.moves[0].value) {
    await settle([]);
    return;
  }
  await finish(changesTo(moves, value));
}

async function finish(changes) {
  const view = await settle(changes);
  if (view.problems.length) document.dispatchEvent(new CustomEvent("problems", { detail: view.problems }));
}

async function nudge(event, node) {
  const { grip } = node;
  if (event.key === "Enter") {
    event.preventDefault();
    typeGrip(node);
    return;
  }
  const way = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
  if (!way) return;
  event.preventDefault();
  const moves = event.altKey && grip.alone.length ? grip.alone : grip.moves;
  const step = event.shiftKey ? FAR_MM : SNAP_MM;
  const to = snapped(moves[0].value + way * step * Math.sign(moves[0].per));
  await finish(changesTo(moves, to));
  say(node.getAttribute("aria-label"));
}
