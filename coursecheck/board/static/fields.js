/** Fields that take exact figures and words; each change is one step. */
import { h } from "./svg.js";
import { figureIn, metresOf } from "./units.js";
import { figuresIn, numberOf, PAIR, say, written } from "./words.js";

/** Says under a field what is wrong with what was written there; without words nothing is. @param {HTMLInputElement} input @param {string} words */
function judge(input, words) {
  input.setAttribute("aria-invalid", String(words !== ""));
  input.closest(".field")?.querySelector(".wrong")?.remove();
  if (words) input.closest(".field")?.append(h("span", { class: "wrong", role: "alert" }, words));
}

/**
 * @param {string} label @param {number|undefined} value undefined where the default holds
 * @param {{unit?: string, placeholder?: string, step?: number, off?: boolean, needed?: boolean, key: string}} how `needed`: left empty, it shows again what holds
 * @param {(value: number|undefined) => void} change
 */
export function numberField(label, value, how, change) {
  const input = /** @type {HTMLInputElement} */ (h("input", {
    type: "text", inputmode: "decimal", autocomplete: "off", "data-key": how.key, disabled: how.off,
    value: value === undefined ? "" : written(value), placeholder: how.placeholder ?? "",
  }));
  const take = () => {
    if (how.needed && value !== undefined && !input.value.trim()) input.value = written(value);
    input.defaultValue = input.value;
    const number = input.value.trim() ? numberOf(input.value) : undefined;
    const wrong = number !== undefined && !Number.isFinite(number);
    judge(input, wrong ? say("A number, such as {number}", { number: 4.5 }) : "");
    if (!wrong && number !== value) change(number);
  };
  input.addEventListener("change", take);
  return h("label", { class: "field" }, h("span", {}, label), input, h("span", { class: "unit" }, how.unit ?? ""));
}

/** A whole number from 0 on. @param {string} label @param {number} value @param {{key: string, off?: boolean}} how @param {(value: number) => void} change */
export function wholeField(label, value, how, change) {
  const field = numberField(label, value, how, (number) => {
    const right = number !== undefined && Number.isInteger(number) && number >= 0;
    judge(/** @type {HTMLInputElement} */ (field.querySelector("input")), right ? "" : say("A whole number, 0 or more"));
    if (right) change(number);
  });
  return field;
}

/**
 * A length, read and written in a unit.
 * @param {string} label @param {number|undefined} metres
 * @param {{units: string, key: string, placeholder?: string, off?: boolean, needed?: boolean}} how @param {(metres: number|undefined) => void} change
 */
export function lengthField(label, metres, { units, ...how }, change) {
  return numberField(label, metres === undefined ? undefined : figureIn(metres, units), { ...how, unit: units },
    (figure) => change(figure === undefined ? undefined : metresOf(figure, units)));
}

/**
 * Points, read and written in a unit.
 * @param {string} label @param {[number, number][]} points @param {{units: string, key: string, off?: boolean}} how
 * @param {(points: [number, number][]) => void} change
 */
export function pointsField(label, points, { units, ...how }, change) {
  const words = points.map((p) => p.map((v) => written(figureIn(v, units))).join(PAIR)).join("; ");
  const field = textField(say("{label} (x, y; … in {unit})", { label, unit: units }), words, how, (text) => {
    const next = text === "" ? [] : text.split(";").map((pair) => figuresIn(pair).map((v) => metresOf(v, units)));
    const right = next.every((p) => p.length === 2 && p.every(Number.isFinite));
    judge(/** @type {HTMLInputElement} */ (field.querySelector("input")), right ? "" : say("Points, such as {points}", { points: `0${PAIR}0; 30${PAIR}0` }));
    if (right) change(/** @type {[number, number][]} */ (next));
  });
  return field;
}

/**
 * @param {string} label @param {string} value
 * @param {{key: string, off?: boolean, needed?: boolean}} how `needed`: left empty, it shows again what holds
 * @param {(value: string) => unknown} change may tell what is wrong with it, in words
 */
export function textField(label, value, how, change) {
  const input = /** @type {HTMLInputElement} */ (h("input", { type: "text", value, autocomplete: "off", "data-key": how.key, disabled: how.off }));
  input.addEventListener("change", () => {
    if (how.needed && !input.value.trim()) input.value = value;
    input.defaultValue = input.value;
    judge(input, "");
    const wrong = change(input.value.trim());
    if (typeof wrong === "string") judge(input, wrong);
  });
  return h("label", { class: "field wide" }, h("span", {}, label), input);
}

/**
 * @param {string} label @param {string} value @param {[string, string][]} options value and words
 * @param {{key: string, off?: boolean}} how @param {(value: string) => void} change
 */
export function choice(label, value, options, how, change) {
  const select = /** @type {HTMLSelectElement} */ (h("select", { "data-key": how.key, disabled: how.off },
    ...options.map(([word, text]) => h("option", { value: word, selected: word === value }, text))));
  select.addEventListener("change", () => change(select.value));
  return h("label", { class: "field wide" }, h("span", {}, label), select);
}

/** @param {string} label @param {boolean} value @param {{key: string, off?: boolean}} how @param {(value: boolean) => void} change */
export function tick(label, value, how, change) {
  const input = /** @type {HTMLInputElement} */ (h("input", { type: "checkbox", checked: value, "data-key": how.key, disabled: how.off }));
  input.addEventListener("change", () => change(input.checked));
  return h("label", { class: "line" }, input, label);
}

/** Whether what stands in a field is not what holds: somebody writes, or it was refused. @param {HTMLInputElement} input */
const isOpen = (input) => input.type === "text" && (input.value !== input.defaultValue || input.ariaInvalid === "true");

/**
 * Fills a panel anew and leaves the focus where it was. Nothing is done while somebody is at one of its fields and what
 * stands there is not what holds.
 * @param {HTMLElement} panel @param {Node[]} children
 */
export function refill(panel, children) {
  const held = document.activeElement;
  if (held instanceof HTMLInputElement && panel.contains(held) && isOpen(held)) return;
  const key = held instanceof HTMLElement && panel.contains(held) ? held.dataset.key : undefined;
  const open = new Set([...panel.querySelectorAll("details[open]")].map((node) => node.getAttribute("data-key")));
  panel.replaceChildren(...children);
  for (const node of panel.querySelectorAll("details")) if (open.has(node.getAttribute("data-key"))) node.open = true;
  if (key) /** @type {HTMLElement|null} */ (panel.querySelector(`[data-key="${CSS.escape(key)}"]`))?.focus();
}
