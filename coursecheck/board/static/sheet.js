/** The drawing: ring, line, obstacles with their numbers, and the handles of what is chosen. */
import { distance, placed } from "./geometry.js";
import { courseOrder, find, idOf } from "./plan.js";
import { draw, likenChildren, redraw, s } from "./svg.js";
import { say, written } from "./words.js";

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
    /** @type {Map<string, any[]>} what each group was last painted from */
    this._painted = new Map();
    this._ring = "";
    /** @type {string[]} */
    this._lines = [];
    this._order = "";
    state.on(["plan", "preview", "answer", "selection", "mode", "pen"], () => this.paint());
  }

  paint() {
    const { answer, plan } = this.state;
    if (answer && answer.ring !== this._ring) draw(this.ring, (this._ring = answer.ring));
    if (answer && answer.lines !== this._lines) {
      redraw(this.line, this._lines, answer.lines);
      this._lines = answer.lines;
    }
    const here = new Set(plan.obstacle.map((o) => o.id));
    for (const [id, group] of this.groups) {
      if (here.has(id)) continue;
      group.remove();
      this.groups.delete(id);
      this._painted.delete(id);
    }
    const numbers = numbersOf(plan);
    for (const obstacle of plan.obstacle) this._obstacle(obstacle, numbers.get(obstacle.id) ?? "");
    this._sort(courseOrder(plan));
    this._handles();
  }

  /** How an obstacle is drawn, as far as the program said. @param {string} id */
  symbol(id) {
    const { answer } = this.state;
    const drawn = answer?.obstacles[id];
    return drawn ? answer?.symbols[drawn.symbol] : undefined;
  }

  /** @param {Obstacle} obstacle @param {string} taken its numbers */
  _obstacle(obstacle, taken) {
    const { state } = this;
    const { id, kind } = obstacle;
    const drawn = state.answer?.obstacles[id];
    const symbol = this.symbol(id);
    const chosen = state.selection.has(id);
    const from = [obstacle.at[0], obstacle.at[1], obstacle.bearing, kind, drawn, symbol, chosen, taken];
    const before = this._painted.get(id);
    if (before && from.every((value, i) => value === before[i])) return;
    this._painted.set(id, from);
    let group = this.groups.get(id);
    if (!group) {
      group = s("g", { class: "obstacle", tabindex: 0, role: "button", "data-id": id },
        s("polygon", { class: "hit" }), s("g", { class: "ink", transform: TO_METRES }), s("g", { class: "figures" }));
      this.groups.set(id, group);
      this.obstacles.append(group);
    }
    const [hit, ink, figures] = /** @type {any} */ (group.children);
    const key = drawn ? drawn.symbol : `new ${kind}`;
    if (group.dataset.symbol !== key) {
      group.dataset.symbol = key;
      draw(ink, symbol ? symbol.drawing : state.kind(kind).symbol);
      const [x0, y0, x1, y1] = state.kind(kind).bounds;
      const outline = /** @type {Point[]} */ (symbol ? symbol.outline : [[y0, x0], [y0, x1], [y1, x1], [y1, x0]]);
      hit.setAttribute("points", outline.map(([along, right]) => `${right},${-along}`).join(" "));
    }
    const [x, y] = obstacle.at;
    group.setAttribute("transform", `translate(${x} ${-y}) rotate(${obstacle.bearing})`);
    group.setAttribute("aria-label", this.describe(obstacle, taken));
    group.classList.toggle("chosen", chosen);
    group.setAttribute("aria-pressed", String(chosen));
    likenChildren(figures, drawn && symbol ? this._figures(obstacle, drawn.numbers, symbol.sides) : []);
  }

  /** @param {Obstacle} obstacle @param {string[]} numbers taken forwards and in reverse @param {Point[]} sides */
  _figures(obstacle, numbers, sides) {
    return numbers.flatMap((words, i) => (words ? [s("text", {
      class: "number", transform: `translate(${sides[i][1]} ${-sides[i][0]}) rotate(${-obstacle.bearing}) ${TO_METRES}`,
    }, words)] : []));
  }

  /** Words for a screen reader. @param {Obstacle} obstacle @param {string} taken its numbers */
  describe(obstacle, taken) {
    const [x, y] = obstacle.at.map((v) => written(v.toFixed(2)));
    const facts = { name: obstacle.id, kind: this.state.kind(obstacle.kind).title, x, y, bearing: Math.round(obstacle.bearing) };
    return taken ? say("{name}, {kind}, number {numbers}, at {x}, {y}, bearing {bearing} degrees", { ...facts, numbers: taken })
      : say("{name}, {kind}, not in the sequence, at {x}, {y}, bearing {bearing} degrees", facts);
  }

  /** The middle of an obstacle's ground. @param {Obstacle} obstacle @returns {Point} */
  middle(obstacle) {
    const symbol = this.symbol(obstacle.id);
    return symbol ? placed(obstacle, symbol.centre) : obstacle.at;
  }

  /** Gives the focus to the obstacle that is chosen, else to the sheet. */
  focus() {
    const [id = ""] = this.state.selection;
    (this.groups.get(id) ?? this.svg).focus();
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
    const symbol = this.symbol(id);
    const isTunnel = obstacle.kind === "tunnel";
    const tip = placed(obstacle, [isTunnel ? -HANDLE_M : HANDLE_M, 0]);
    const parts = [
      s("line", { class: "stem", x1: obstacle.at[0], y1: -obstacle.at[1], x2: tip[0], y2: -tip[1] }),
      this._handle("turn", tip, say("drag to turn")),
    ];
    if (isTunnel && symbol) parts.push(this._handle("bend", placed(obstacle, symbol.exit), say("drag to bend")));
    likenChildren(this.handles, parts);
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

/** The numbers of each obstacle that has any, as words. @param {import("./types.js").Plan} plan @returns {Map<string, string>} */
function numbersOf(plan) {
  const numbers = new Map();
  plan.sequence.run.forEach((word, i) => {
    const id = idOf(word);
    numbers.set(id, numbers.has(id) ? `${numbers.get(id)}, ${i + 1}` : String(i + 1));
  });
  return numbers;
}
