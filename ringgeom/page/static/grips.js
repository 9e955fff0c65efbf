// What the hand takes hold of on a drawing: dragged, nudged with arrow keys, typed exactly.

import { attempt, bench, settle, say } from "./bench.js";
import { shown, svg } from "./tongue.js";
import { typeOver } from "./typing.js";

const FAR = 10;
const NEAR_PX = 26;
const layers = new Map();
let held = null;

const rounded = (value) => Math.round(value * 1e6) / 1e6;
const RAD = Math.PI / 180;

/** How a value grows with the hand: f of a law grows evenly, and this is f and its way back. */
const LAWS = {
  even: [(value) => value, (grown) => grown],
  inverse: [(value) => 1 / value, (grown) => (grown > 0 ? 1 / grown : Infinity)],
  slant: [(value) => Math.tan(value * RAD), (grown) => Math.atan(grown) / RAD],
};

/** The value of a move when the hand has gone so many mm, on a whole step and within its ends. */
function valueAt(grip, one, mm) {
  const [f, back] = LAWS[grip.law];
  return allowed(grip, back(f(one.value) + mm * one.per));
}

function allowed(grip, value) {
  const [least, most] = [grip.least ?? -1e9, grip.most ?? 1e9];
  const to = Math.max(least, Math.min(most, value));
  return Math.max(least, Math.min(most, rounded(Math.round(to / grip.snap) * grip.snap)));
}

/** How many mm the hand goes for a move to take a value. */
function wayTo(grip, one, value) {
  const [f] = LAWS[grip.law];
  return (f(value) - f(one.value)) / one.per;
}

/** Keys and values of some moves when the first of them takes a value. */
function changesTo(grip, moves, value) {
  const [first] = moves;
  const [f, back] = LAWS[grip.law];
  const mm = wayTo(grip, first, value);
  return moves.map((one) => ({
    key: one.key,
    value: turned(grip, one.value === first.value && one.per === first.per ? value : rounded(back(f(one.value) + mm * one.per))),
  }));
}

/** The same angle within half a turn of none. */
const turned = (grip, value) => (grip.turn ? rounded(value - grip.turn * Math.ceil(value / grip.turn - 0.5)) : value);

/** Lay grips over a drawing; `scale` holds x and y of its mm, mm to pixels, and the drawing itself. */
export function layGrips(over, grips, scale) {
  if (!layers.has(over)) layers.set(over, new Map());
  const layer = layers.get(over);
  const names = new Set(grips.map((one) => one.name));
  for (const [name, node] of layer) {
    if (names.has(name) || held?.node === node) continue;
    node.remove();
    layer.delete(name);
  }
  const order = [...grips].sort((a, b) => scale.x(a.at_mm[0]) - scale.x(b.at_mm[0]) || scale.y(a.at_mm[1]) - scale.y(b.at_mm[1]));
  for (const grip of order) {
    if (!layer.has(grip.name)) layer.set(grip.name, made(grip));
    const node = layer.get(grip.name);
    node.scale = scale;
    if (held?.node === node) continue;
    node.grip = grip;
    put(node, grip.at_mm, grip.moves[0].value);
  }
  inOrder(over, order.map((grip) => layer.get(grip.name)));
}

/** Tab goes from left to right; what has the focus is not moved, for it would lose it. */
function inOrder(over, nodes) {
  if (nodes.every((node, n) => over.children[n] === node)) return;
  const still = nodes.find((node) => node === document.activeElement);
  let after = !still;
  for (const node of nodes) {
    if (node === still) after = true;
    else if (after) over.append(node);
    else over.insertBefore(node, still);
  }
}

function put(node, at, value) {
  const { grip, scale } = node;
  const [cx, cy] = [scale.x(at[0]), scale.y(at[1])];
  const figure = shown(turned(grip, value), grip.unit);
  const words = `${grip.says}, ${figure}`;
  node.setAttribute("aria-label", words);
  node.setAttribute("aria-valuenow", turned(grip, value));
  node.setAttribute("aria-valuetext", words);
  node.setAttribute("transform", `translate(${cx} ${cy})`);
  node.dataset.value = turned(grip, value);
  const [, dot, tag] = node.children;
  if (grip.name.endsWith("centre")) dot.setAttribute("d", "M-11 0L0 -7L11 0L0 7Z");
  tag.lastChild.textContent = `${grip.says}\u2002${figure}`;
  const wide = 7.3 * tag.lastChild.textContent.length + 16;
  tag.firstChild.setAttribute("width", wide);
  const left = Math.max(6 - cx, Math.min(-wide / 2, scale.width - cx - wide - 6));
  tag.setAttribute("transform", `translate(${left} ${cy < 46 ? 16 : -44})`);
}

function made(grip) {
  const tag = svg("g", { class: "tag" }, svg("rect", { height: 27, rx: 4 }), svg("text", { x: 8, y: 18.5 }));
  const node = svg("g", { class: `grip ${grip.axis}`, tabindex: 0, role: "slider", "data-grip": grip.name, "aria-orientation": grip.axis === "x" ? "horizontal" : "vertical" },
    svg("circle", { class: "hit", r: 18 }), svg("path", { class: "dot", d: "M-7 0A7 7 0 1 0 7 0A7 7 0 1 0 -7 0Z" }), tag);
  node.addEventListener("pointerdown", (event) => take(event, nearest(event, node)));
  node.addEventListener("pointermove", (event) => held?.node === node && move(event));
  node.addEventListener("pointerup", (event) => held?.node === node && release(event, true));
  node.addEventListener("pointercancel", (event) => held?.node === node && release(event, false));
  // a finger that has taken hold does not move the page as well
  node.addEventListener("touchmove", (event) => held?.node === node && event.cancelable && event.preventDefault(), { passive: false });
  node.addEventListener("dblclick", () => typeGrip(node));
  node.addEventListener("keydown", (event) => press(event, node));
  node.addEventListener("blur", () => (node.begun = null));
  return node;
}

/** Of grips whose reaches overlap, the one whose middle is nearest to the hand. */
function nearest(event, node) {
  const far = (one) => {
    const box = one.querySelector(".dot").getBoundingClientRect();
    return Math.hypot(box.x + box.width / 2 - event.clientX, box.y + box.height / 2 - event.clientY);
  };
  const near = [...node.parentNode.children].filter((one) => far(one) <= NEAR_PX);
  return near.reduce((best, one) => (far(one) < far(best) ? one : best), node);
}

function typeGrip(node) {
  const { grip } = node;
  const [first] = grip.moves;
  typeOver(node, { key: first.key, value: first.value, unit: grip.unit }, (value) => changesTo(grip, grip.moves, value));
}

function take(event, node) {
  if (event.button !== 0 || !bench.view || held) return;
  node.setPointerCapture(event.pointerId);
  node.focus({ preventScroll: true });
  node.classList.add("held");
  held = { node, grip: node.grip, from: [event.clientX, event.clientY], value: node.grip.moves[0].value, pointer: event.pointerId };
  event.preventDefault();
}

function move(event) {
  const { grip, from, node } = held;
  if (event.pointerId !== held.pointer) return;
  const moves = event.altKey && grip.alone.length ? grip.alone : grip.moves;
  const mm = (grip.axis === "x" ? event.clientX - from[0] : from[1] - event.clientY) / node.scale.k;
  const value = valueAt(grip, moves[0], mm);
  if (value === held.value && moves === held.moves) return;
  held.value = value;
  held.moves = moves;
  // the grip itself goes with the hand at once; the metal follows as soon as it is cut anew
  const went = wayTo(grip, moves[0], value);
  put(node, grip.axis === "x" ? [grip.at_mm[0] + went, grip.at_mm[1]] : [grip.at_mm[0], grip.at_mm[1] + went], value);
  attempt(changesTo(grip, moves, value));
}

async function release(event, good) {
  const { node, grip, value, moves, pointer } = held;
  held = null;
  node.classList.remove("held");
  if (node.hasPointerCapture(pointer)) node.releasePointerCapture(pointer);
  if (!moves || !good || value === grip.moves[0].value) {
    await settle([]);
    return;
  }
  await finish(changesTo(grip, moves, value));
}

async function finish(changes) {
  const view = await settle(changes);
  if (view.problems.length) document.dispatchEvent(new CustomEvent("problems", { detail: view.problems }));
}

const WAYS = { ArrowRight: ["x", 1], ArrowUp: ["y", 1], ArrowLeft: ["x", -1], ArrowDown: ["y", -1] };

function press(event, node) {
  if (event.key === "Enter") {
    event.preventDefault();
    typeGrip(node);
  } else if (event.key === "Escape") {
    if (held?.node === node) release(event, false);
    else if (node.begun) putBack(node);
  } else if (WAYS[event.key]) {
    event.preventDefault();
    nudge(event, node);
  }
}

/** Along its axis an arrow moves the grip; across it, up and right are more. */
async function nudge(event, node) {
  const { grip } = node;
  const [axis, way] = WAYS[event.key];
  const moves = event.altKey && grip.alone.length ? grip.alone : grip.moves;
  const grows = axis === grip.axis ? Math.sign(moves[0].per) * (grip.law === "inverse" ? -1 : 1) : 1;
  const from = node.going ?? moves[0].value;
  const to = allowed(grip, from + way * grows * grip.snap * (event.shiftKey ? FAR : 1));
  if (to === from) return;
  node.begun ??= [...moves, ...grip.moves].map((one) => ({ key: one.key, value: one.value }));
  node.going = to;
  node.waiting = (node.waiting ?? 0) + 1;
  await finish(changesTo(grip, moves, to));
  node.waiting -= 1;
  if (!node.waiting) node.going = null;
  say(node.getAttribute("aria-label"));
}

async function putBack(node) {
  const { begun } = node;
  node.begun = null;
  await finish(begun);
  say(node.getAttribute("aria-label"));
}
