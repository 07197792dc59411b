/** The drawing: ring, line, obstacles with their numbers, and the handles of what is chosen. */
import { distance, placed } from "./geometry.js";
import { courseOrder, find, idOf } from "./plan.js";
import { corners, draw, s } from "./svg.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Obstacle} Obstacle */
/** @typedef {import("./types.js").Point} Point */

const TO_METRES = "scale(0.2)"; // the program draws on a sheet of 1 : 200, five units a metre
export const HANDLE_M = 1.9;

export class Sheet {
  /** @param {State} state @param {SVGSVGElement} svg */
  constructor(state, svg) {
    this.state = state;
    this.svg = svg;
    const layer = (/** @type {string} */ name) => /** @type {SVGElement} */ (svg.querySelector(`#${name}`));
    this.ring = layer("ring");
    this.ground = layer("ground");
    this.line = layer("line");
    this.obstacles = layer("obstacles");
    this.handles = layer("handles");
    /** @type {Map<string, SVGElement>} */
    this.groups = new Map();
    this._ring = "";
    this._line = "";
    this._order = "";
    state.on(["plan", "answer", "selection", "mode"], () => this.paint());
  }

  paint() {
    const answer = this.state.answer;
    if (answer && answer.ring !== this._ring) draw(this.ring, (this._ring = answer.ring));
    if (answer && answer.lines !== this._line) draw(this.line, (this._line = answer.lines));
    const plan = this.state.plan;
    for (const [id, group] of this.groups) {
      if (find(plan, id)) continue;
      group.remove();
      this.groups.delete(id);
    }
    for (const obstacle of plan.obstacle) this._obstacle(obstacle);
    this._sort(courseOrder(plan));
    this._handles();
  }

  /** @param {Obstacle} obstacle */
  _obstacle(obstacle) {
    const { state } = this;
    const drawn = state.answer?.obstacles[obstacle.id];
    let group = this.groups.get(obstacle.id);
    if (!group) {
      group = s("g", { class: "obstacle", tabindex: 0, role: "button", "data-id": obstacle.id },
        s("polygon", { class: "hit" }), s("g", { class: "ink", transform: TO_METRES }), s("g", { class: "figures" }));
      this.groups.set(obstacle.id, group);
      this.obstacles.append(group);
    }
    const [hit, ink, figures] = /** @type {any} */ (group.children);
    const kind = state.kind(obstacle.kind);
    const key = drawn && state.answer ? drawn.symbol : `new ${obstacle.kind}`;
    if (group.dataset.symbol !== key) {
      group.dataset.symbol = key;
      draw(ink, drawn && state.answer ? state.answer.symbols[drawn.symbol] : kind.symbol);
    }
    const [x0, y0, x1, y1] = kind.bounds;
    const outline = /** @type {Point[]} */ (drawn ? drawn.outline : [[y0, x0], [y0, x1], [y1, x1], [y1, x0]]);
    hit.setAttribute("points", outline.map(([along, right]) => `${right},${-along}`).join(" "));
    const [x, y] = obstacle.at;
    group.setAttribute("transform", `translate(${x} ${-y}) rotate(${obstacle.bearing})`);
    group.setAttribute("aria-label", this.describe(obstacle));
    const chosen = state.selection.has(obstacle.id);
    group.classList.toggle("chosen", chosen);
    group.setAttribute("aria-pressed", String(chosen));
    figures.replaceChildren(...(drawn ? this._figures(obstacle, drawn.numbers) : []));
  }

  /** @param {Obstacle} obstacle @param {{words: string, at: Point}[]} numbers */
  _figures(obstacle, numbers) {
    return numbers.map(({ words, at: [along, right] }) =>
      s("text", { class: "number", transform: `translate(${right} ${-along}) rotate(${-obstacle.bearing}) ${TO_METRES}` }, words));
  }

  /** Words for a screen reader. @param {Obstacle} obstacle */
  describe(obstacle) {
    const numbers = this.state.plan.sequence.run.flatMap((word, i) => (idOf(word) === obstacle.id ? [i + 1] : []));
    const taken = numbers.length ? `number ${numbers.join(", ")}` : "not in the sequence";
    const [x, y] = obstacle.at.map((v) => v.toFixed(2));
    return `${obstacle.id}, ${this.state.kind(obstacle.kind).title}, ${taken}, at ${x}, ${y}, bearing ${Math.round(obstacle.bearing)} degrees`;
  }

  /** The middle of an obstacle's ground. @param {Obstacle} obstacle @returns {Point} */
  middle(obstacle) {
    const drawn = this.state.answer?.obstacles[obstacle.id];
    return drawn ? placed(obstacle, drawn.centre) : obstacle.at;
  }

  /** The elements in course order, so that Tab follows the course. @param {string[]} order */
  _sort(order) {
    const key = order.join(" ");
    if (key === this._order) return;
    this._order = key;
    const focused = document.activeElement;
    for (const id of order) {
      const group = this.groups.get(id);
      if (group) this.obstacles.append(group);
    }
    if (focused instanceof SVGElement && this.obstacles.contains(focused)) focused.focus();
  }

  /** Handles to turn, and to bend a tunnel, of the one obstacle that is chosen. */
  _handles() {
    const { state } = this;
    const id = state.selection.size === 1 ? [...state.selection][0] : "";
    const obstacle = find(state.plan, id);
    if (!obstacle || state.mode !== "draw" || !state.draws) {
      this.handles.replaceChildren();
      return;
    }
    const drawn = state.answer?.obstacles[id];
    const isTunnel = obstacle.kind === "tunnel";
    const tip = placed(obstacle, [isTunnel ? -HANDLE_M : HANDLE_M, 0]);
    const parts = [
      s("line", { class: "stem", x1: obstacle.at[0], y1: -obstacle.at[1], x2: tip[0], y2: -tip[1] }),
      this._handle("turn", tip, "drag to turn"),
    ];
    if (isTunnel && drawn) parts.push(this._handle("bend", placed(obstacle, drawn.exit), "drag to bend"));
    this.handles.replaceChildren(...parts);
  }

  /** @param {string} name @param {Point} at @param {string} words */
  _handle(name, at, words) {
    const handle = s("circle", { class: `handle ${name}`, cx: at[0], cy: -at[1], "data-handle": name }, s("title", {}, words));
    return handle;
  }

  /** The obstacle at a point that a press on empty ground is surely meant for, or null. @param {Point} at @param {number} reach */
  nearest(at, reach) {
    let best = null;
    let least = reach;
    for (const o of this.state.plan.obstacle) {
      const away = Math.min(distance(at, this.middle(o)), distance(at, o.at));
      if (away < least) [best, least] = [o, away];
    }
    return best;
  }

  /** @param {[number, number][][]} rings of the free ground; none takes it away */
  freeGround(rings) {
    const d = rings.map((ring) => `M${ring.map(([x, y]) => `${x} ${-y}`).join("L")}Z`).join("");
    this.ground.replaceChildren(...(d ? [s("path", { class: "free", d, "fill-rule": "evenodd" })] : []));
  }
}

/** @param {SVGElement} layer @param {Point[]} points @param {string} className */
export function strip(layer, points, className) {
  layer.append(s("polyline", { class: className, points: corners(points) }));
}
