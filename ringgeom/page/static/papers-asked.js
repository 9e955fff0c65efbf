// Questions of the papers: the latest answer counts, one of an older ring is dropped; long work is told in words.

import { ask, bench } from "./bench.js";
import { el } from "./tongue.js";

const LONG_MS = 600000;
const WORDS_AFTER_MS = 700;
const turns = {};

export const words = (problem) => [[problem.where, problem.text].filter(Boolean).join(": "), problem.value && `here ${problem.value}`,
  problem.allowed && `allowed: ${problem.allowed}`, problem.nearest && `nearest: ${problem.nearest}`].filter(Boolean).join("; ");

/**
 * Ask something of the ring as it stands, and tell in `place` how it goes.
 * Resolves to the answer, or to null when it was refused or when nobody waits for it any more.
 */
export async function asked(place, address, sent = {}, { kind = "json", long = "", doing = "Working it out…", loose = false } = {}) {
  const key = `${address} ${place.id}`;
  const mine = (turns[key] = (turns[key] ?? 0) + 1);
  const text = bench.text;
  const stale = () => turns[key] !== mine || (!loose && bench.text !== text);
  const said = status(place);
  said.className = "status soft";
  place.dataset.state = "asking";
  const telling = setTimeout(() => (said.textContent = doing), WORDS_AFTER_MS);
  const steps = long && setInterval(async () => {
    const found = await ask("step", { kind: long }).catch(() => null);
    if (found?.step && !stale()) said.textContent = `${doing} ${found.step}`;
  }, 1000);
  try {
    const found = await ask(address, { text, ...sent }, kind, LONG_MS);
    if (stale()) return null;
    said.textContent = "";
    place.dataset.state = "told";
    return found;
  } catch (error) {
    if (stale()) return null;
    said.className = "status error";
    said.textContent = (error.problems ?? [{ text: String(error) }]).map(words).join(". ");
    place.dataset.state = "refused";
    return null;
  } finally {
    clearTimeout(telling);
    clearInterval(steps);
  }
}

function status(place) {
  return place.querySelector(":scope > .status") ?? place.appendChild(el("p", { class: "status soft", role: "status" }));
}

/** The ring and the shop as they stand, to tell later whether what was told is still so. */
export const asOf = () => `${document.body.dataset.shopTurn ?? 0} ${bench.text}`;

/** A file into the downloads. */
export function handOut(blob, name) {
  const link = el("a", { href: URL.createObjectURL(blob), download: name });
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}

/** A part of a paper that is asked by itself: its heading, what is chosen, and where the answer goes. */
export function part(paper, id, title, ...chosen) {
  let found = paper.querySelector(`#${id}`);
  if (!found) {
    found = el("section", { id }, title ? el("h2", {}, title) : null, chosen.length ? el("form", { class: "asks", onsubmit: (event) => event.preventDefault() }, ...chosen) : null,
      el("p", { class: "status soft", role: "status" }), el("div", { class: "answer" }));
    paper.append(found);
  }
  return found;
}

export const answerOf = (place) => place.querySelector(":scope > .answer");

/** What a ring said is no longer true of this one: it stays, paler, until it is asked again. */
export function old(place, is) {
  place.classList.toggle("old", is);
  if (is) {
    const said = status(place);
    said.className = "status soft";
    said.textContent = "The ring has changed since: ask again.";
  }
}
