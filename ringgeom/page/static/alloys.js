// Alloys to choose from: swatch, fineness, density, where the figures come from.

import { ask, bench, settle } from "./bench.js";
import { alloyWords, el, swatch } from "./tongue.js";

const box = document.querySelector("#box");

export async function chooseAlloy(view, part, key) {
  let data;
  try {
    data = await ask("alloys", { text: bench.text, part });
  } catch (error) {
    document.dispatchEvent(new CustomEvent("problems", { detail: error.problems }));
    return;
  }
  const take = async (value) => {
    const found = await settle([{ key, value }]);
    if (found.problems.length) box.querySelector(".error").textContent = found.problems.map((one) => [one.text, one.allowed, one.nearest].filter(Boolean).join("; ")).join(". ");
    else box.close();
  };
  const own = el("input", { id: "recipe", placeholder: "Au 75 Ag 25", "aria-label": "Own recipe, percent by mass" });
  const named = el("input", { id: "recipe-name", placeholder: "its name", "aria-label": "Name of the recipe" });
  box.replaceChildren(
    el("h2", { id: "box-title" }, `Metal of ${part}`),
    el("p", { class: "soft small" }, data.beside.length ? `Most contrast with ${data.beside.map(alloyWords).join(" and ")} first; colours are predictions.` : "Colours are predictions."),
    el("p", { class: "error", role: "alert" }),
    el("table", { id: "alloy-table" },
      el("thead", {}, el("tr", {}, ...["alloy", "‰", "g/cm³", "ΔE", "reads", "density from"].map((one) => el("th", { scope: "col" }, one)))),
      el("tbody", {}, ...data.alloys.map((one) => el("tr", one.now ? { class: "now" } : {},
        el("td", {}, swatch(one.hex), el("button", { class: "link", "data-alloy": one.name, onclick: () => take(one.name) }, alloyWords(one.name)), one.hazards.length ? el("span", { class: "error" }, ` ${one.hazards.join(", ")}`) : null),
        el("td", {}, one.fineness == null ? "" : one.fineness.toFixed(0)), el("td", {}, one.density_g_cm3.toFixed(2)), el("td", {}, one.delta_e == null ? "" : one.delta_e.toFixed(1)),
        el("td", { class: "small" }, one.verdict ?? ""), el("td", { class: "soft small" }, one.source))))),
    el("h3", {}, "Or your own recipe, percent by mass"),
    el("div", { class: "row" }, named, own, el("button", { onclick: () => take(recipe(own.value, named.value)) }, "Use it")),
    el("div", { class: "row" }, el("button", { onclick: () => box.close() }, "Back to the bench")));
  box.showModal();
}

function recipe(text, name) {
  const found = { name: name.trim() || "Own" };
  for (const [, metal, percent] of text.matchAll(/([A-Z][a-z]?)\s*(\d+(?:[.,]\d+)?)/g)) found[metal] = Number(percent.replace(",", "."));
  return found;
}
