/** What is chosen, in exact figures: place, bearing, sizes; and what can be done with it. */
import { lengthField, numberField, refill, textField } from "./fields.js";
import { rounded } from "./geometry.js";
import { changed, find, renamed } from "./plan.js";
import { h } from "./svg.js";
import { figureIn } from "./units.js";
import { capital, say, sayCount, written } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Obstacle} Obstacle */

/** @param {State} state @param {HTMLElement} panel @param {{words: string, act: () => void}[]} acts */
export function details(state, panel, acts) {
  state.on(["plan", "selection", "answer", "pen", "tab"], () => {
    if (state.preview || panel.hidden) return;
    const ids = [...state.selection];
    const obstacle = ids.length === 1 ? find(state.plan, ids[0]) : undefined;
    const off = !state.draws;
    const buttons = acts.map(({ words, act }) => h("button", { type: "button", "data-key": words, disabled: off || !ids.length, onclick: act }, words));
    refill(panel, [
      h("h2", {}, obstacle ? say("Obstacle {name}", { name: obstacle.id }) : ids.length ? sayCount("{count} obstacle", "{count} obstacles", ids.length) : say("Obstacle")),
      ...(ids.length ? [] : [h("p", { class: "small" }, say("None is chosen. Press one on the sheet, or Tab to it."))]),
      ...(obstacle ? fields(obstacle, off) : []),
      h("p", { class: "buttons" }, ...buttons),
    ]);
  });

  /** @param {Obstacle} o @param {boolean} off */
  function fields(o, off) {
    const put = (/** @type {string} */ step, /** @type {object} */ values) => state.commit(step, changed(state.history.present, o.id, values));
    const [place, bearing] = [say("Place of {name}", { name: o.id }), say("Bearing of {name}", { name: o.id })];
    const kind = state.kind(o.kind);
    const ruled = state.answer?.symbols[state.answer.obstacles[o.id]?.symbol]?.sizes ?? {};
    return [
      h("p", { class: "small" }, kind.title),
      textField(say("name"), o.id, { key: "id", off }, (name) => {
        if (!/^[A-Za-z0-9_-]{1,40}$/.test(name)) return say("Letters from A to Z, digits, - and _, 40 at most");
        if (name !== o.id && find(state.plan, name)) return say("Another obstacle has this name");
        const next = renamed(state.history.present, o.id, name);
        state.selection = new Set([name]);
        state.commit(say("Name {name}", { name }), next);
        return "";
      }),
      lengthField("x", o.at[0], { units: state.units, key: "x", needed: true, off }, (v) => v !== undefined && put(place, { at: [v, o.at[1]] })),
      lengthField("y", o.at[1], { units: state.units, key: "y", needed: true, off }, (v) => v !== undefined && put(place, { at: [o.at[0], v] })),
      numberField(say("bearing"), o.bearing, { unit: "°", key: "bearing", needed: true, off }, (v) => v !== undefined && put(bearing, { bearing: v >= 0 && v < 360 ? v : rounded(((v % 360) + 360) % 360, 6) % 360 })),
      ...kind.sizes.map((size) => {
        const usual = ruled[size.name] ?? size.default;
        const take = (/** @type {number|undefined} */ v) => put(say("{size} of {name}", { size: capital(size.title), name: o.id }), { [size.name]: v });
        return size.unit === "m"
          ? lengthField(size.title, o[size.name], { units: state.units, placeholder: written(figureIn(usual, state.units)), key: `size ${size.name}`, off }, take)
          : numberField(size.title, o[size.name], { unit: size.unit === "deg" ? "°" : "", placeholder: written(usual), key: `size ${size.name}`, off }, take);
      }),
      h("p", { class: "small" }, say("A size that is left empty is the rulebook's.")),
    ];
  }
}
