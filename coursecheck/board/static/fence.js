/** Drawing the ring by hand: its parts on the sheet, moved by pointer and by key. */
import { rounded, toCentimetre } from "./geometry.js";
import { partsOf, put, STEPS } from "./parts.js";
import { corners, fill, s } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./parts.js").Part} Part */
/** @typedef {import("./types.js").Point} Point */

const GRID_M = 0.5;
const TWICE_MS = 400;

export class Fence {
  /** @param {State} state @param {SVGElement} layer */
  constructor(state, layer) {
    this.state = state;
    this.layer = layer;
    this._tapped = { key: "", at: 0, plan: state.plan };
    state.on(["plan", "preview", "mode", "pen"], () => this.paint());
  }

  get parts() {
    const { state } = this;
    return state.mode === "ring" && state.draws ? partsOf(state.plan, (metres) => state.length(metres)) : [];
  }

  paint() {
    const { parts } = this;
    const shapes = fill(this.layer, parts.map(({ key, drawn }) => ({
      key, make: () => s(Object.keys(drawn)[0].replace("line", "polyline").replace("disc", "circle"), { class: `part ${Object.keys(drawn)[0]}`, tabindex: 0, role: "button", "data-part": key }, s("title")),
    })));
    shapes.forEach((shape, i) => place(shape, parts[i]));
  }

  /** The part that an element shows. @param {EventTarget|null} target */
  partOf(target) {
    const key = target instanceof Element ? target.closest("[data-part]")?.getAttribute("data-part") : null;
    return key ? this.parts.find((part) => part.key === key) ?? null : null;
  }

  /** @param {Part} part @param {Point} from where it was taken @returns {import("./pointer.js").Gesture} */
  drag(part, from) {
    const { state } = this;
    const before = state.history.present;
    const made = (/** @type {Point} */ at, /** @type {PointerEvent} */ event) => {
      const to = /** @type {Point} */ ([part.at[0] + at[0] - from[0], part.at[1] + at[1] - from[1]]);
      return part.move(before, event.altKey ? toCentimetre(to) : /** @type {Point} */ (to.map((v) => rounded(Math.round(v / GRID_M) * GRID_M, 2))));
    };
    return {
      move: (at, event) => state.show(made(at, event)),
      end: (at, event, moved) => (moved ? state.commit(say("Move {what}", { what: part.name }), made(at, event)) : this.tap(part, at)),
      cancel: () => state.cancel(),
    };
  }

  /** A press that did not move: a wall or none; the second one of two adds a corner instead. @param {Part} part @param {Point} at */
  tap(part, at) {
    const { state } = this;
    this.focus(part.key);
    const twice = part.key === this._tapped.key && Date.now() - this._tapped.at < TWICE_MS;
    const before = twice ? this._tapped.plan : state.history.present;
    this._tapped = { key: twice ? "" : part.key, at: Date.now(), plan: before };
    const [name, edit] = (twice ? part.add : part.press) ?? ["", null];
    if (edit) state.commit(name, edit(before, at), `tap ${part.key}`);
  }

  /** @param {string} thing one of THINGS @param {Point} at */
  put(thing, at) {
    const { state } = this;
    const before = state.history.present;
    state.armed = null;
    state.commit(STEPS[thing], put(before, thing, toCentimetre(at)));
    state.tell("mode");
    this.focus(thing === "pillar" || thing === "area" ? `place ${(before.ring.blocked ?? []).length}` : thing);
  }

  /** @param {string} key */
  focus(key) {
    /** @type {SVGElement|null} */ (this.layer.querySelector(`[data-part="${CSS.escape(key)}"]`))?.focus({ preventScroll: true });
  }

  /** @param {Part} part @param {KeyboardEvent} event @param {[number, number]|undefined} arrow @param {number} step metres @returns {boolean} whether the key meant something */
  key(part, event, arrow, step) {
    const { state } = this;
    const now = state.history.present;
    const { press, add, remove } = part;
    if (arrow) {
      const moved = (/** @type {number} */ by) => part.move(now, [rounded(part.at[0] + arrow[0] * by, 3), rounded(part.at[1] + arrow[1] * by, 3)]);
      const next = moved(step);
      const stuck = part.leap && JSON.stringify(next) === JSON.stringify(now);
      state.commit(say("Move {what}", { what: part.name }), stuck ? moved(part.leap ?? step) : next, `move ${part.key}`);
    } else if (event.key === " " && press) state.commit(press[0], press[1](now));
    else if (event.key === "Enter" && add) state.commit(add[0], add[1](now, part.at));
    else if ((event.key === "Delete" || event.key === "Backspace") && remove) {
      state.commit(remove[0], remove[1](now));
      if (!this.layer.contains(document.activeElement)) /** @type {SVGElement|null} */ (this.layer.firstElementChild)?.focus();
    } else return false;
    return true;
  }
}

/** Puts the element of a part where the part is. @param {Element} shape @param {Part} part */
function place(shape, { drawn, words }) {
  if ("circle" in drawn || "disc" in drawn) {
    const [x, y] = "circle" in drawn ? drawn.circle : drawn.disc;
    shape.setAttribute("cx", String(x));
    shape.setAttribute("cy", String(-y));
    if ("disc" in drawn) shape.setAttribute("r", String(drawn.radius));
  } else shape.setAttribute("points", corners("line" in drawn ? drawn.line : drawn.polygon));
  shape.setAttribute("aria-label", words);
  /** @type {Element} */ (shape.firstElementChild).textContent = words;
}
