/** The measuring tape: from point to point, and along the line from one number to another. */
import { distance } from "./geometry.js";
import { corners, s } from "./svg.js";

/** @typedef {import("./types.js").Point} Point */

const FOOT_M = 0.3048;

export class Tape {
  /** @param {import("./state.js").State} state @param {SVGElement} layer */
  constructor(state, layer) {
    this.state = state;
    this.layer = layer;
    /** @type {Point[]} */
    this.points = [];
    state.on(["mode"], () => {
      if (state.mode !== "measure") this.clear();
    });
  }

  clear() {
    this.points = [];
    this.layer.replaceChildren();
  }

  /** @param {Point} at */
  press(at) {
    this.points.push(at);
    const total = this.points.slice(1).reduce((sum, p, i) => sum + distance(this.points[i], p), 0);
    const words = this.length(total);
    this.layer.replaceChildren(
      s("polyline", { class: "tape", points: corners(this.points) }),
      ...this.points.map(([x, y]) => s("circle", { class: "tape-end", cx: x, cy: -y })),
      ...(this.points.length > 1 ? [s("text", { class: "guide-words", x: at[0] + 0.5, y: -at[1] - 0.5 }, words)] : []),
    );
    this.state.say(this.points.length > 1 ? `Measured ${words}. Esc begins afresh.` : "Press the next point.");
  }

  /** @param {number} metres */
  length(metres) {
    return this.state.start.units === "ft" ? `${(metres / FOOT_M).toFixed(2)} ft` : `${metres.toFixed(2)} m`;
  }
}
