// Papers that a command tells as it stands: melts, castings, making, marks, another size.

import { answerOf, asked, asOf, old, part } from "./papers-asked.js";
import { toldNodes } from "./told-lines.js";
import { el } from "./tongue.js";

/** Ask, and set what is told in its place. */
export async function tell(place, address, sent, how) {
  const found = await asked(place, address, sent, how);
  if (!found) return;
  answerOf(place).replaceChildren(...toldNodes(found.told));
  old(place, false);
  place.dataset.of = asOf();
  place.dataset.count = String(Number(place.dataset.count ?? 0) + 1);
}

export const meltsPaper = (paper) => tell(part(paper, "told-melts", "What to weigh out"), "melts");
export const castingPaper = (paper) => tell(part(paper, "told-castings", "What is cast"), "castings");
export const makingPaper = (paper) => tell(part(paper, "told-making", "How it goes together"), "making");

const REGIONS = [["", "every region"], ["uk", "United Kingdom"], ["us", "United States"], ["convention", "Convention"], ["iso", "ISO"]];

export function marksPaper(paper) {
  const region = paper.querySelector("select") ?? el("select", { id: "region", onchange: () => ask() }, ...REGIONS.map(([value, words]) => el("option", { value }, words)));
  const place = part(paper, "told-marks", "What may be stamped", el("label", {}, "marked in", region));
  const ask = () => tell(place, "marks", { region: region.value });
  ask();
}

export function resizePaper(paper) {
  const size = paper.querySelector("#to-size") ?? el("input", { id: "to-size", placeholder: "US 8", size: 12 });
  const place = part(paper, "told-resize", "Another size", el("label", {}, "the finished ring to", size), el("button", { onclick: () => ask() }, "What does it take?"));
  const ask = () => tell(place, "resize", { to: size.value.trim() });
  if (size.value.trim()) ask();
  else answerOf(place).replaceChildren(el("p", { class: "soft" }, "A size of any scale, such as US 8, ISO 56, UK P, 17.9 mm across: which way works, what every part gains or loses, the ring made anew."));
}
