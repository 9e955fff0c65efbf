// The quote on a day, and the ring in other alloys.

import { answerOf, asOf, old, part } from "./papers-asked.js";
import { tell } from "./papers-told.js";
import { ask, bench } from "./bench.js";
import { el } from "./tongue.js";

// the day on the wall beside this page
const today = () => {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((one) => String(one).padStart(2, "0")).join("-");
};

export function pricePaper(paper) {
  const day = paper.querySelector("#price-day") ?? el("input", { id: "price-day", type: "date", value: today(), onchange: () => ask() });
  const place = part(paper, "told-price", "What it costs", el("label", {}, "on", day),
    el("span", { class: "soft small" }, "Prices and minutes are yours, under Shop. None is built in."));
  const ask = () => tell(place, "price", { on: day.value });
  ask();
  swapPart(paper);
}

async function swapPart(paper) {
  let which = paper.querySelector("#swap-part");
  if (!which) {
    which = el("select", { id: "swap-part" });
    const together = el("input", { type: "checkbox", id: "swap-together" });
    const place = part(paper, "told-swap", "In other alloys", el("label", {}, "part", which), el("label", { class: "tick" }, together, "all at once"),
      el("button", { onclick: () => tell(place, "swap", { part: together.checked ? "" : which.value, together: together.checked }, { doing: "Weighing it in every sensible alloy…" }) }, "Try the alloys"));
    answerOf(place).append(el("p", { class: "soft" }, "Every catalogue alloy of the same metal and fineness: grams, price, contrast, and the rules it would break."));
  }
  const place = paper.querySelector("#told-swap");
  if (place.dataset.of) old(place, place.dataset.of !== asOf());
  const { seats } = await ask("metals", { text: bench.text }).catch(() => ({ seats: [] }));
  const kept = which.value;
  which.replaceChildren(el("option", { value: "" }, "one after the other"), ...seats.map((name) => el("option", { value: name }, name)));
  which.value = seats.includes(kept) ? kept : "";
}
