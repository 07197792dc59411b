/** The measuring tape: straight from point to point, and along the dog's line where its ends lie on it. */
import { distance } from "./geometry.js";
import { find, idOf } from "./plan.js";
import { ask } from "./server.js";
import { corners, draw, s } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./types.js").Point} Point */

export class Tape {
  /**
   * @param {import("./state.js").State} state @param {SVGElement} layer @param {import("./view.js").View} view
   * @param {(o: import("./types.js").Obstacle) => Point} middle of an obstacle
   */
  constructor(state, layer, view, middle) {
    this.view = view;
    this.state = state;
    this.layer = layer;
    this.middle = middle;
    /** @type {{at: Point, end: Point|number}[]} where it was laid; an end is a point or the number of a pass */
    this.points = [];
    this.stretch = /** @type {SVGElement} */ (s("g", { transform: "scale(0.2)" }));
    state.on(["mode", "plan"], () => this.clear());
  }

  clear() {
    this.points = [];
    this.layer.replaceChildren();
  }

  /** @param {Point} at */
  press(at) {
    return this.lay(at, at);
  }

  /** Lays it to where an obstacle is gone into. @param {string} id */
  pass(id) {
    const o = find(this.state.plan, id);
    const number = this.state.plan.sequence.run.findIndex((word) => idOf(word) === id) + 1;
    if (o) this.lay(this.middle(o), number || this.middle(o));
  }

  /** @param {Point} at @param {Point|number} end */
  async lay(at, end) {
    this.points.push({ at, end });
    const { points, state } = this;
    this.stretch.replaceChildren();
    this.paint();
    if (points.length < 2) {
      state.announce(say("Press the next point."));
      return;
    }
    const { plan, shown } = state;
    try {
      const found = await ask("tape", { plan, shown, ends: [points[0].end, end] });
      if (points !== this.points || points.at(-1)?.at !== at) return;
      if (found.drawing) draw(this.stretch, found.drawing);
      const straight = points.length === 2 && found.ends ? found.straight : this.straight;
      if (points.length === 2 && found.ends) [points[0].at, points[1].at] = found.ends;
      this.paint("along" in found ? [
        say("{length} straight", { length: state.length(straight) }), say("{length} along the line of {height}", { length: state.length(found.along), height: shown }),
      ] : [state.length(straight)]);
    } catch (error) {
      state.announce(/** @type {Error} */ (error).message, true);
    }
  }

  /** From point to point, in metres. */
  get straight() {
    return this.points.slice(1).reduce((sum, { at }, i) => sum + distance(this.points[i].at, at), 0);
  }

  /** @param {string[]} words */
  paint(words = this.points.length > 1 ? [this.state.length(this.straight)] : []) {
    const [x, y] = this.points[this.points.length - 1].at;
    const leftwards = x > this.view.middle[0];
    const line = (/** @type {string} */ text, /** @type {number} */ i) => s("tspan", { x: x + (leftwards ? -0.5 : 0.5), dy: i ? "1.3em" : 0 }, text);
    this.layer.replaceChildren(
      this.stretch,
      s("polyline", { class: "tape", points: corners(this.points.map(({ at }) => at)) }),
      ...this.points.map(({ at }) => s("circle", { class: "tape-end", cx: at[0], cy: -at[1] })),
      ...(words.length ? [s("text", { class: `guide-words${leftwards ? " leftwards" : ""}`, y: -y - 0.5 }, ...words.map(line))] : []),
    );
    if (words.length) this.state.announce(say("Measured {what}. Esc begins afresh.", { what: words.join(", ") }));
  }
}
