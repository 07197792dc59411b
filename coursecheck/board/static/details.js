/** What is chosen, in exact figures: place, bearing, sizes; and what can be done with it. */
import { lengthField, numberField, refill, textField } from "./fields.js";
import { changed, find, renamed } from "./plan.js";
import { h } from "./svg.js";
import { figureIn } from "./units.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Obstacle} Obstacle */

/** @param {State} state @param {HTMLElement} panel @param {Object<string, () => void>} acts by their words */
export function details(state, panel, acts) {
  state.on(["plan", "selection", "answer", "pen", "tab"], () => {
    if (state.preview || panel.hidden) return;
    const ids = [...state.selection];
    const obstacle = ids.length === 1 ? find(state.plan, ids[0]) : undefined;
    const off = !state.draws;
    const buttons = Object.entries(acts).map(([words, act]) => h("button", { type: "button", "data-key": words, disabled: off || !ids.length, onclick: act }, words));
    refill(panel, [
      h("h2", {}, obstacle ? `Obstacle ${obstacle.id}` : ids.length ? `${ids.length} obstacles` : "Obstacle"),
      ...(ids.length ? [] : [h("p", { class: "small" }, "None is chosen. Press one on the sheet, or Tab to it.")]),
      ...(obstacle ? fields(obstacle, off) : []),
      h("p", { class: "buttons" }, ...buttons),
    ]);
  });

  /** @param {Obstacle} o @param {boolean} off */
  function fields(o, off) {
    const put = (/** @type {string} */ name, /** @type {object} */ values) => state.commit(`${name} of ${o.id}`, changed(state.history.present, o.id, values));
    const kind = state.kind(o.kind);
    const ruled = state.answer?.symbols[state.answer.obstacles[o.id]?.symbol]?.sizes ?? {};
    return [
      h("p", { class: "small" }, kind.title),
      textField("name", o.id, { key: "id", off }, (name) => {
        if (!/^[A-Za-z0-9_-]{1,40}$/.test(name) || (name !== o.id && find(state.plan, name))) {
          state.say("A name has letters, digits, - and _, and no other obstacle has it.", true);
          state.tell("selection");
          return;
        }
        const next = renamed(state.history.present, o.id, name);
        state.selection = new Set([name]);
        state.commit(`Name ${name}`, next);
      }),
      lengthField("x", o.at[0], { units: state.units, key: "x", off }, (v) => v !== undefined && put("Place", { at: [v, o.at[1]] })),
      lengthField("y", o.at[1], { units: state.units, key: "y", off }, (v) => v !== undefined && put("Place", { at: [o.at[0], v] })),
      numberField("bearing", o.bearing, { unit: "°", key: "bearing", off }, (v) => v !== undefined && put("Bearing", { bearing: ((v % 360) + 360) % 360 })),
      ...kind.sizes.map((size) => {
        const usual = ruled[size.name] ?? size.default;
        const take = (/** @type {number|undefined} */ v) => put(size.about[0].toUpperCase() + size.about.slice(1), { [size.name]: v });
        return size.unit === "m"
          ? lengthField(size.name, o[size.name], { units: state.units, placeholder: String(figureIn(usual, state.units)), key: `size ${size.name}`, off }, take)
          : numberField(size.name, o[size.name], { unit: size.unit === "deg" ? "°" : "", placeholder: String(usual), key: `size ${size.name}`, off }, take);
      }),
      h("p", { class: "small" }, "A size that is left empty is the rulebook's."),
    ];
  }
}
