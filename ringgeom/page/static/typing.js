// A field over a figure or a grip, to type a value exactly; and figures that open one.

import { settle } from "./bench.js";
import { shown, svg, typed } from "./tongue.js";

const WANTED = { mm: ["length", "a number, with a point or a comma, and mm or in if you like"], deg: ["angle", "degrees, with a point or a comma"], count: ["number", "a whole number"] };

const told = (problems) => document.dispatchEvent(new CustomEvent("problems", { detail: problems }));

/** `one` has a key, a value and a unit; `changes` says what else follows the value typed. */
export function typeOver(group, one, changes = (value) => [{ key: one.key, value }]) {
  document.querySelector("#typed")?.remove();
  const drawing = group.ownerSVGElement;
  const around = drawing.parentElement;
  const unit = one.unit ?? "mm";
  const [box, frame] = [group.getBoundingClientRect(), around.getBoundingClientRect()];
  const field = document.createElement("input");
  field.id = "typed";
  field.inputMode = "decimal";
  field.value = shown(one.value, unit);
  field.setAttribute("aria-label", group.getAttribute("aria-label"));
  field.style.left = `${Math.max(4, Math.min(frame.width - 100, box.x + box.width / 2 - frame.x - 46))}px`;
  field.style.top = `${Math.max(4, Math.min(frame.height - 40, box.y + box.height / 2 - frame.y - 17))}px`;
  around.append(field);
  field.select();
  let done = false;
  const close = (again) => {
    done = true;
    field.remove();
    if (again) (group.isConnected ? group : drawing.querySelector(`[aria-label^="${CSS.escape(group.getAttribute("aria-label").split(/, (?=[^,]*$)|;/)[0])}"]`))?.focus();
  };
  const enter = async () => {
    const value = typed(field.value, unit);
    if (Number.isNaN(value)) {
      field.setAttribute("aria-invalid", "true");
      const [name, allowed] = WANTED[unit];
      told([{ text: `"${field.value}" is no ${name}`, allowed }]);
      return;
    }
    if (Math.abs(value - one.value) < 1e-9) return close(true);
    const view = await settle(changes(Math.round(value * 1e6) / 1e6));
    if (view.problems.length) {
      field.setAttribute("aria-invalid", "true");
      told(view.problems);
    } else close(true);
  };
  field.addEventListener("keydown", (event) => {
    event.stopPropagation();
    if (event.key === "Enter") enter();
    if (event.key === "Escape") close(true);
  });
  field.addEventListener("blur", () => !done && close(false));
}

/** The figure of a dimension line; one with a key can be typed. */
export function figure(one, at, anchor, { turned = false, before = "" } = {}) {
  const words = shown(one.value, "mm");
  const text = svg("text", { x: at[0], y: at[1], "text-anchor": anchor, transform: turned ? `rotate(-90 ${at[0]} ${at[1]})` : null }, before + words);
  if (!one.key) return text;
  const group = svg("g", { class: "figure", tabindex: 0, role: "button", "aria-label": `${one.says}, ${words}; type another` }, text);
  group.addEventListener("click", () => typeOver(group, one));
  group.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    typeOver(group, one);
  });
  return group;
}
