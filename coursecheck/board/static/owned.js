/** What the club owns: how many of each kind, and of tunnels how long each is. */
import { refill, textField, tick, wholeField } from "./fields.js";
import { h } from "./svg.js";
import { figureIn, metresOf } from "./units.js";
import { figuresIn, LIST, say, written } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Kind} Kind */
/** @typedef {NonNullable<import("./types.js").Plan["store"]>} Store */

/** @param {State} state @param {HTMLElement} panel @param {HTMLElement} tab the panel that it stands in */
export function owned(state, panel, tab) {
  state.on(["plan", "pen", "tab"], () => {
    if (!state.preview && !tab.hidden) refill(panel, [limited(), ...(state.plan.store ? state.kinds.flatMap(fields) : [])]);
  });

  function limited() {
    return tick(say("only what the club owns"), Boolean(state.plan.store), { key: "store", off: !state.draws }, (on) => state.edit(on ? say("Count the store") : say("Forget the store"), (plan) => {
      if (on) plan.store = Object.fromEntries(state.kinds.map(({ name }) => [name, plan.obstacle.filter((o) => o.kind === name).length]));
      else delete plan.store;
    }));
  }

  /** @param {Kind} kind */
  function fields({ name, title, sizes }) {
    const stock = state.plan.store?.[name] ?? 0;
    const { count, lengths } = typeof stock === "number" ? { count: stock, lengths: [] } : stock;
    const usual = sizes.find((size) => size.name === "length")?.default ?? 0;
    const put = (/** @type {number} */ n, /** @type {number[]} */ list) => state.edit(say("Store of {kind}", { kind: title }), (plan) => {
      /** @type {Store} */ (plan.store)[name] = list.length ? { count: n, lengths: list } : n;
    });
    const off = !state.draws;
    const many = wholeField(title, count, { key: `own ${name}`, off }, (n) => put(n, lengths.length ? Array.from({ length: n }, (_, i) => lengths[i] ?? usual) : []));
    if (name !== "tunnel") return [many];
    const words = lengths.map((v) => written(figureIn(v, state.units))).join(LIST);
    const long = textField(say("their lengths ({unit})", { unit: state.units }), words, { key: `own ${name} lengths`, off }, (text) => {
      const list = text ? figuresIn(text).map((figure) => metresOf(figure, state.units)) : [];
      const right = list.every((v) => Number.isFinite(v) && v > 0);
      if (right) put(list.length || count, list);
      return right ? "" : say("Lengths, such as {lengths}", { lengths: `3${LIST}5` });
    });
    return [many, long];
  }
}

/** @param {HTMLElement} panel @returns {HTMLElement} where the figures go */
export function ownedPlace(panel) {
  const place = h("div", { class: "owned" });
  panel.append(h("details", { "data-key": "owned" }, h("summary", {}, say("What the club owns")), place));
  return place;
}
