// The shop: its stock, prices and figures as fields, saved in its own file with every remark kept.

import { again, ask, bench, say } from "./bench.js";
import { handOut, words } from "./papers-asked.js";
import { el, isInch, length, typedLength, typedNumber } from "./tongue.js";

const TITLES = {
  casting: "Casting", shrink: "Shrink", stock: "Finishing stock", melt: "Melting", prices: "Prices", labour: "Labour", fit: "Fit on the finger", limits: "Limits: where a warning begins",
  joining: "Joining", fabricating: "Strip, wire and turning", mesh: "Printed files", sheet: "Sheets", marks: "Marks",
};
const OPEN = ["casting", "shrink", "stock"];
const UNITS = [["_g_cm3", "g/cm³"], ["_percent", "%"], ["_permille", "‰"], ["_minutes_per_m", "min/m"], ["_minutes", "min"], ["_per_hour", "per hour"], ["_days", "days"], ["_deg", "°"], ["_mm", "mm"], ["_us", "US sizes"], ["_g", "g"], ["_c", "°C"]];

let shop = null;
let place = null;
let inInch = false;
const unfolded = new Set(OPEN);

export async function shopPaper(paper) {
  place = paper;
  try {
    const found = await ask("shop", { text: bench.text });
    // what is being typed is not swept away by an answer that says nothing new
    if (!paper.firstChild || inInch !== isInch() || JSON.stringify(found) !== JSON.stringify(shop)) draw(found);
  } catch (error) {
    paper.replaceChildren(el("p", { class: "status error", role: "status" }, error.message));
  }
}

/** Send a change; refused, it is told at its field and the last good shop stays. */
async function send(address, sent, told) {
  try {
    const found = await ask(address, { text: bench.text, turn: shop.turn, ...sent });
    draw(found);
    await again();
    return true;
  } catch (error) {
    if (error.status === 409) {
      told("the shop was changed elsewhere since; nothing was overwritten");
      conflict();
    } else told((error.problems ?? [{ text: String(error) }]).map(words).join(". "));
    return false;
  }
}

function conflict() {
  place.querySelector("#shop-conflict")?.remove();
  place.prepend(el("p", { id: "shop-conflict", class: "status error", role: "alert" }, "The shop was changed elsewhere since. ",
    el("button", { onclick: () => send("shop_read", { turn: undefined }, tellTop) }, "Take the file as it is")));
}

const tellTop = (text) => {
  const said = place.querySelector("#shop-said");
  said.className = "status error";
  said.textContent = text;
};

function draw(found) {
  shop = found;
  inInch = isInch();
  const active = place.contains(document.activeElement) ? document.activeElement : null;
  const focus = active?.dataset.shop;
  const typing = active?.matches("input:not([type]), textarea") && active.value !== active.defaultValue ? active.value : null;
  const top = place.scrollTop;
  place.replaceChildren(head(), stock(), prices(), ...shop.tables.map(tableNode), byHand());
  place.scrollTop = top;
  const back = focus && place.querySelector(`[data-shop="${CSS.escape(focus)}"]`);
  back?.focus();
  if (back && typing !== null) back.value = typing;
  document.body.dataset.shopTurn = String(shop.turn);
}

function head() {
  const file = bench.name ? (shop.folder === "." ? bench.name : `${shop.folder}/${bench.name}`) : "DESIGN";
  const design = /\s/.test(file) ? `"${file}"` : file;
  const where = shop.file
    ? shop.is_saved ? `Saved in ${shop.file}.` : `Not saved yet: used here, and kept until the program ends or you save it into ${shop.file}.`
    : shop.is_saved ? "No shop file: these are the figures that come with the program." : "Not saved yet: used here, and kept until the program ends. Saving writes a new file beside the design.";
  return el("section", { class: "shop-head" }, el("h2", {}, "Shop and stock"),
    el("div", { class: "asks" },
      el("button", { id: "shop-save", class: shop.is_saved ? null : "main", disabled: shop.is_saved, onclick: save }, "Save the shop"),
      el("button", { onclick: () => handOut(new Blob([shop.text], { type: "text/plain" }), shop.file || "shop.toml") }, "A copy"),
      el("span", { id: "shop-where" }, where)),
    shop.option ? el("p", { class: "soft small" }, "Commands use it with ", el("code", {}, shop.option), "; the page opens on it by ", el("code", {}, `ringgeom bench ${design} ${shop.option}`), ".") : null,
    el("p", { id: "shop-said", class: "status soft", role: "status" }));
}

async function save() {
  if (await send("shop_save", {}, tellTop)) {
    say(`${shop.file} is saved`);
    document.body.dataset.shopSaved = shop.file;
  }
}

// One field: its key, its words, its unit, what is in force.
function field(key, kind, value, { words: said, choices = [], written = true, wide = false } = {}) {
  const [plain, unit] = said ? [said, ""] : named(key.at(-1));
  const mm = unit === "mm";
  const id = key.join(".");
  const error = el("span", { class: "error", role: "alert" });
  const put = (given, input) => {
    input.removeAttribute("aria-invalid");
    error.textContent = "";
    return send("shop_change", { changes: [{ key, value: given }] }, (text) => {
      input.setAttribute("aria-invalid", "true");
      error.textContent = text;
    });
  };
  let input;
  if (kind === "yes") {
    input = el("input", { type: "checkbox", checked: value, "data-shop": id });
    input.addEventListener("change", () => put(input.checked, input));
    return el("label", { class: "tick" }, input, plain, error);
  }
  if (kind === "choice") {
    input = el("select", { "data-shop": id }, ...(choices.includes(value) ? [] : [el("option", { value: "" }, "")]), ...choices.map((one) => el("option", { selected: one === value }, one)));
    input.addEventListener("change", () => put(input.value || null, input));
  } else {
    const shown = value == null ? "" : mm ? length(value) : String(value);
    input = el("input", { value: shown, "data-shop": id, inputmode: kind === "number" ? "decimal" : null, class: written ? null : "unwritten" });
    input.addEventListener("change", () => put(typed(input.value.trim(), kind, mm), input));
  }
  const unitWords = mm && isInch() ? "in" : unit;
  return el("label", { class: wide ? "wide" : null }, unitWords ? `${plain}, ${unitWords}` : plain, input, error);
}

// empty takes the key away; what is no number goes as it is, and is refused in the program's own words
function typed(text, kind, mm) {
  if (!text) return null;
  if (kind === "list") return text.split(/[\s,;]+/).filter(Boolean);
  if (kind !== "number") return text;
  const found = mm ? typedLength(text) : typedNumber(text);
  return Number.isNaN(found) ? text : Math.round(found * 1e6) / 1e6;
}

function named(key) {
  const [end, unit] = UNITS.find(([one]) => key.endsWith(one)) ?? ["", ""];
  return [key.slice(0, key.length - end.length).replaceAll("_", " "), unit];
}

function folded(name, title, ...inner) {
  return el("details", { "data-table": name, open: unfolded.has(name), ontoggle: (event) => (event.target.open ? unfolded.add(name) : unfolded.delete(name)) }, el("summary", {}, el("h3", {}, title)), ...inner);
}

function tableNode(table) {
  const fields = table.fields.map((one) => field([table.name, one.key], one.kind, one.value, one));
  const alloys = table.name !== "shrink" ? [] : shop.shrink_of.map((one) => field(["shrink", "alloy", one.alloy], "number", one.percent,
    { words: `${one.alloy}, %${one.castings ? ` (from ${one.castings} castings)` : ""}`, wide: true }));
  return folded(table.name, TITLES[table.name] ?? table.name, el("div", { class: "fields many" }, ...fields, ...alloys));
}

function prices() {
  const { currency, date, fields, metals } = shop.prices;
  const add = el("input", { size: 6, placeholder: "Rh", "aria-label": "symbol of a further metal", "data-shop": "prices.more", onchange: () => add.value.trim() && one({ symbol: add.value.trim(), price: null }, true) });
  const one = (metal, fresh) => {
    const found = field(["prices", metal.symbol], "number", metal.price, { words: metal.symbol });
    if (fresh) {
      add.parentElement.before(found);
      add.value = "";
      found.querySelector("input").focus();
    }
    return found;
  };
  const day = el("input", { type: "date", value: date, "data-shop": "prices.date" });
  const error = el("span", { class: "error", role: "alert" });
  day.addEventListener("change", () => send("shop_change", { changes: [{ key: ["prices", "date"], value: day.value || null }] }, (text) => (error.textContent = text)));
  const rest = currency ? [el("label", {}, "prices of the day", day, error), ...fields.filter((each) => !["date", "ounce_g"].includes(each.key)).map((each) => field(["prices", each.key], each.kind, each.value, each)),
    ...metals.map((metal) => one(metal)), el("label", {}, "another metal", add)] : [];
  return folded("prices", "Prices", el("p", { class: "soft small" }, currency ? "What you pay today, per unit as chosen. None is built in." : "None yet: begin with your currency."),
    el("div", { class: "fields many" }, field(["prices", "currency"], "word", currency, { words: "currency" }), ...rest));
}

function stock() {
  const error = el("p", { class: "error", role: "alert" });
  const told = (text) => (error.textContent = text);
  const change = (key, value, input) => {
    error.textContent = "";
    return send("shop_change", { changes: [{ key: ["lot", ...key], value }] }, (text) => {
      input.setAttribute("aria-invalid", "true");
      told(text);
    });
  };
  const cell = (n, key, value, said, size, kind = "word") => {
    const input = el("input", { value: value ?? "", size, "data-shop": `lot.${n}.${key}`, "aria-label": said, inputmode: kind === "number" ? "decimal" : null });
    input.addEventListener("change", () => change([n, key], typed(input.value.trim(), kind), input));
    return el("td", {}, input);
  };
  const rows = shop.lots.map((lot, n) => el("tr", { "data-lot": lot.name },
    cell(n, "name", lot.name, `name of lot ${n + 1}`, 15), cell(n, "grams", lot.grams, `grams of ${lot.name}`, 6, "number"), cell(n, "recipe", lot.recipe, `recipe of ${lot.name}`, 22),
    el("td", {}, kindOf(lot.kind, lot.as_kind, `kind of ${lot.name}`, `lot.${n}.kind`, (value, input) => change([n, "kind"], value || null, input))),
    el("td", {}, flagsOf(lot, n, (value, input) => change([n, "flags"], value, input))),
    cell(n, "uncertainty_permille", lot.uncertainty_permille, `how far the fineness of ${lot.name} may be off, permille`, 4, "number"),
    el("td", {}, el("button", { "aria-label": `take ${lot.name} out of the stock`, onclick: () => change([n], null, error) }, "Take out"))));
  const fresh = { name: el("input", { id: "lot-name", "data-shop": "lot.new.name", size: 15, placeholder: "yellow buttons", "aria-label": "name of a new lot" }), grams: el("input", { id: "lot-grams", "data-shop": "lot.new.grams", size: 6, placeholder: "9.4", inputmode: "decimal", "aria-label": "grams of the new lot" }),
    recipe: el("input", { id: "lot-recipe", "data-shop": "lot.new.recipe", size: 22, placeholder: "Au 75 Ag 25", "aria-label": "recipe of the new lot" }), kind: kindOf("", "", "kind of the new lot", "lot.new.kind", () => {}) };
  const add = () => {
    error.textContent = "";
    const value = { name: fresh.name.value.trim(), grams: typed(fresh.grams.value.trim(), "number") ?? "" };
    if (fresh.recipe.value.trim()) value.recipe = fresh.recipe.value.trim();
    if (fresh.kind.value) value.kind = fresh.kind.value;
    return send("shop_change", { changes: [{ key: ["lot", shop.lots.length], value }] }, told);
  };
  return el("section", { id: "stock" }, el("h3", {}, "Metal on hand"),
    el("div", { class: "wide-table", tabindex: "0", role: "group", "aria-label": "metal on hand" }, el("table", { class: "told-table lots" },
      el("thead", {}, el("tr", {}, ...["lot", "g", "recipe, percent", "kind", "kept out for", "± ‰"].map((one) => el("th", { scope: "col" }, one)), el("td", {}))),
      el("tbody", {}, ...rows, el("tr", { class: "fresh" }, el("td", {}, fresh.name), el("td", {}, fresh.grams), el("td", {}, fresh.recipe), el("td", {}, fresh.kind), el("td", {}), el("td", {}), el("td", {}, el("button", { id: "lot-add", onclick: add }, "Put in")))))),
    error);
}

function kindOf(value, usual, said, id, act) {
  const select = el("select", { "aria-label": said, "data-shop": id }, el("option", { value: "" }, usual ? `${usual}, as usual` : "as usual"), ...shop.kinds.map((one) => el("option", { selected: one === value }, one)));
  select.addEventListener("change", () => act(select.value, select));
  return select;
}

function flagsOf(lot, n, act) {
  const boxes = shop.flags.map((one) => {
    const input = el("input", { type: "checkbox", checked: lot.flags.includes(one), value: one, "data-shop": `lot.${n}.flags.${one}` });
    input.addEventListener("change", () => act(shop.flags.filter((flag) => (flag === one ? input.checked : lot.flags.includes(flag))), input));
    return el("label", { class: "tick" }, input, one);
  });
  return el("details", { class: "flags", "data-table": `flags-${lot.name}`, open: unfolded.has(`flags-${lot.name}`), ontoggle: (event) => (event.target.open ? unfolded.add(`flags-${lot.name}`) : unfolded.delete(`flags-${lot.name}`)) },
    el("summary", { "aria-label": `what keeps ${lot.name} out` }, lot.flags.join(", ") || "nothing"), ...boxes);
}

function byHand() {
  const area = el("textarea", { id: "shop-text", "data-shop": "text", spellcheck: "false", wrap: "off", rows: 16, "aria-label": "The shop file's text, TOML; lengths in mm" });
  area.value = shop.text;
  const error = el("p", { class: "error", role: "alert" });
  const take = () => send("shop_text", { shop: area.value }, (text) => {
    area.setAttribute("aria-invalid", "true");
    error.textContent = text;
  });
  return folded("text", "The file's text", el("p", { class: "soft small" }, "The same file as on the command line; what has no field here is written in it. Remarks stay."), area,
    el("div", { class: "asks" }, el("button", { id: "shop-text-take", onclick: take }, "Take it as written")), error);
}
