// Grams, colours and what is wrong, in words and figures.

import { bench, settle } from "./bench.js";
import { LEVELS, alloyWords, el, grams, hatched, inUnit, isInch, length, svg, swatch } from "./tongue.js";

const $ = (id) => document.querySelector(id);

export function tellHead(view) {
  const { ring, job } = view;
  $("#name").textContent = job.name;
  document.title = `${job.name} on the bench`;
  const mm = ring.inside_diameter_mm;
  const other = isInch() ? `${mm.toFixed(2)} mm` : `${(mm / 25.4).toFixed(4)} in`;
  const scales = [ring.labels["North America"], ring.labels["ISO 8653"]].filter((one) => one && one !== ring.asked);
  $("#made").replaceChildren(
    el("strong", {}, `⌀ ${length(mm)} ${isInch() ? "in" : "mm"}`),
    ` made for ${ring.asked}`, ...scales.map((one) => ` · ${one}`), ` · ${other}`,
  );
}

const hatches = ({ section, outside }) => Object.fromEntries([...outside.patches, ...section.faces].map((one) => [one.alloy, one.hatch]));

export function tellGrams(view, { sketch } = {}) {
  const fills = Object.fromEntries(view.colours.map((one) => [one.alloy, one.hex ?? one.srgb]));
  for (const face of view.section.faces) fills[face.alloy] ??= face.fill;
  if (!view.castings.length) {
    $("#grams").dataset.old = "yes";
    return;
  }
  delete $("#grams").dataset.old;
  // while the hand moves, what is to melt is that of the last time it rested
  $("#grams").dataset.melt = sketch ? "old" : "new";
  const hatch = hatches(view);
  const rows = view.castings.map((casting) => {
    const mine = view.parts.filter((one) => casting.parts.includes(one.name));
    const finished = mine.reduce((sum, one) => sum + one.finished_g, 0);
    const volume = mine.reduce((sum, one) => sum + one.volume_mm3, 0);
    const title = `${mine.map((one) => one.name).join(", ")}: ${casting.alloy}`;
    const stems = [...new Set(mine.map((one) => one.name.replace(/ \d+$/, "")))];
    const who = stems.length === 1 && mine.length > 2 ? `${stems[0]}, ${mine.length} pieces` : stems.join(", ");
    return [title, [fills[casting.alloy], hatch[casting.alloy]], `${who} · ${alloyWords(casting.alloy)}`, finished, casting.melt_g, volume];
  });
  const sum = (n) => rows.reduce((total, row) => total + row[n], 0);
  $("#grams").replaceChildren(el("table", {},
    el("thead", {}, el("tr", {}, ...["metal", "finished g", "to melt g", "mm³"].map((one) => el("th", { scope: "col" }, one)))),
    el("tbody", {}, ...rows.map(([title, fill, words, finished, melt, volume]) =>
      el("tr", {}, el("td", { title }, swatch(...fill), words), el("td", {}, grams(finished)), el("td", { class: "melt" }, grams(melt)), el("td", {}, volume.toFixed(1))))),
    el("tfoot", {}, el("tr", {}, el("td", {}, "ring"), el("td", { id: "total", "data-g": view.ring.finished_g }, grams(view.ring.finished_g)),
      el("td", { class: "melt" }, grams(sum(4))), el("td", {}, view.ring.volume_mm3.toFixed(1))))),
  el("p", { class: "soft small" }, `${sketch && view.design.engraving?.length ? "before engraving; " : ""}± ${grams(view.ring.uncertainty_g)} g, from the densities; ⌀ ${length(view.ring.outside_diameter_mm)} over the outside`));
}

export function tellColours(view) {
  if (view.stopped) return;
  const fills = Object.fromEntries(view.colours.map((one) => [one.alloy, one.hex]));
  for (const face of [...view.section.faces, ...view.outside.patches]) fills[face.alloy] ??= face.fill;
  const hatch = hatches(view);
  const seen = new Set();
  const pairs = view.contrasts.filter((one) => {
    const key = [...(one.alloys ?? one.between)].sort().join();
    return seen.has(key) ? false : seen.add(key);
  });
  const named = (name) => view.parts.find((one) => one.name === name)?.alloy ?? name;
  $("#colours").replaceChildren(
    ...(pairs.length ? [] : [el("p", { class: "soft" }, "One metal only: no colours meet.")]),
    ...pairs.map((one) => {
      const alloys = one.between.map(named);
      const strip = svg("svg", { viewBox: "0 0 100 20", preserveAspectRatio: "none", role: "img", "aria-label": `${one.between.join(" beside ")}, as predicted` },
        ...alloys.flatMap((alloy, n) => {
          const half = { x: 50 * n, y: 0, width: 50, height: 20 };
          return [svg("rect", { ...half, fill: fills[alloy] }), hatch[alloy] === undefined ? null : hatched(half, hatch[alloy])];
        }));
      return el("div", { class: "pair" }, strip,
        el("p", {}, el("b", {}, `${one.between.join(" beside ")} `), `${one.verdict}${one.uncertain ? ", uncertain: make a test button" : ""}`),
        el("p", { class: "soft small" }, `ΔE ${one.delta_e_00_d65.toFixed(1)} by day, ${one.delta_e_00_a.toFixed(1)} under a lamp; a prediction, both polished`));
    }),
  );
}

let told = "";

export function tellWrong(view, { sketch } = {}) {
  const now = JSON.stringify([view.findings.map((one) => [one.code, one.level, one.text, one.fix, one.fixes]), isInch()]);
  if (now !== told || !$("#wrong").childElementCount) tellCards(view);
  told = now;
  if (!sketch) more();
}

function tellCards(view) {
  const card = (one, number) => el("div", { class: `card ${one.level}`, "data-code": one.code },
    el("span", { class: "level" }, `${number} ${LEVELS[one.level]} `), el("b", {}, sentence(one.text)), " ",
    ...(one.fixes.length
      ? one.fixes.map((fix) => el("button", { class: "link", "data-fix": one.code, title: one.fix, onclick: () => follow(fix) }, inUnit(fix)))
      : [el("span", { class: "soft" }, one.fix)]));
  const cards = view.findings.map((one, n) => [one, card(one, n + 1)]);
  const grave = cards.filter(([one]) => one.level !== "note").map(([, node]) => node);
  const notes = cards.filter(([one]) => one.level === "note").map(([, node]) => node);
  const open = $("#wrong details")?.open ?? false;
  $("#wrong").replaceChildren(
    ...(grave.length ? grave : [el("p", { class: "well" }, "Nothing is wrong with this ring.")]),
    ...(notes.length ? [el("details", open ? { open: true } : {}, el("summary", {}, notes.length === 1 ? "1 note" : `${notes.length} notes`), ...notes)] : []),
  );
  document.body.dataset.stops = String(view.findings.filter((one) => one.level === "stop").length);
}

/** How many cards lie below the edge; pressing it shows them. */
function more() {
  const box = $("#wrong");
  box.querySelector(".more")?.remove();
  const below = () => [...box.querySelectorAll(":scope > .card")].filter((one) => one.offsetTop + 12 > box.offsetTop + box.scrollTop + box.clientHeight).length;
  const found = below();
  if (!found) return;
  const down = el("button", { class: "more", onclick: () => box.scrollBy({ top: box.clientHeight - 20 }) }, `${found} more below`);
  box.append(down);
}
$("#wrong").addEventListener("scroll", more);
addEventListener("resize", more);

const sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1);

async function follow(fix) {
  const view = await settle([fix.change]);
  if (view.problems.length) document.dispatchEvent(new CustomEvent("problems", { detail: view.problems }));
}

/** What could not be read, each with its place and its way out; the last good ring stays. */
export function tellProblems(problems) {
  told = "";
  $("#wrong").replaceChildren(...problems.map((one) => el("div", { class: "card stop", "data-problem": one.where ?? "" },
    el("span", { class: "level" }, one.line ? `line ${one.line} ` : "refused "), el("b", {}, [one.where, one.text].filter(Boolean).join(": ")),
    el("span", { class: "soft" }, [one.value && ` here ${one.value}`, one.allowed && ` allowed: ${one.allowed}`, one.nearest && ` nearest: ${one.nearest}`].filter(Boolean).join(";")))));
  document.body.dataset.problems = String(problems.length);
}
