/** Findings on the plan: what was measured, with the number of the finding on a flag. */
import { placed } from "./geometry.js";
import { corners, likenChildren, s } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Finding} Finding */
/** @typedef {import("./types.js").Point} Point */

const PLACES = /** @type {Point[]} */ ([[0.9, 1.2], [-0.9, 1.2], [0.9, -1.2], [-0.9, -1.2], [2.2, 0.4], [-2.2, 0.4], [0.9, 2.4], [-0.9, -2.4]]);

export class Marks {
  /** @param {State} state @param {SVGElement} layer */
  constructor(state, layer) {
    this.state = state;
    this.layer = layer;
    /** @type {any[]} */
    this._painted = [];
    state.on(["answer", "selection"], () => this.paint());
  }

  paint() {
    const from = [this.state.answer?.findings, this.state.finding];
    if (from.every((value, i) => value === this._painted[i])) return;
    this._painted = from;
    const findings = this.state.answer?.findings ?? [];
    const shown = findings.map((finding, i) => ({ finding, number: i + 1 }))
      .filter(({ finding }) => finding.witness && (finding.key === this.state.finding || finding.severity !== "note"));
    /** @type {Point[]} where a flag hangs already */
    const taken = [];
    const figures = this._numbers();
    likenChildren(this.layer, shown.map(({ finding, number }) => this._mark(finding, number, taken, figures)));
  }

  /** Where the numbers of obstacles stand, which no flag should hide. @returns {Point[]} */
  _numbers() {
    const { answer, plan } = this.state;
    return plan.obstacle.flatMap((o) => {
      const drawn = answer?.obstacles[o.id];
      const sides = drawn ? answer?.symbols[drawn.symbol]?.sides ?? [] : [];
      return sides.flatMap((side, i) => (drawn?.numbers[i] ? [placed(o, side)] : []));
    });
  }

  /** @param {Finding} finding @param {number} number @param {Point[]} taken @param {Point[]} figures */
  _mark(finding, number, taken, figures) {
    const witness = /** @type {{type: string, points: Point[]}} */ (finding.witness);
    const chosen = finding.key === this.state.finding;
    const group = s("g", { class: `mark ${finding.outcome} ${finding.severity}${chosen ? " shown" : ""}`, "data-finding": finding.key },
      s("title", {}, say("Finding {number}: {finding}", { number, finding: say("{title}, {place}", { title: finding.title, place: finding.place }) })));
    group.append(...measured(witness), ...flag(middle(witness.points), number, taken, figures));
    return group;
  }
}

/** @param {{type: string, points: Point[]}} witness */
export function measured({ type, points }) {
  if (type === "area") return [s("polygon", { class: "measured-area", points: corners(points) })];
  if (type === "point") return points.map(([x, y]) => s("circle", { class: "measured-spot", cx: x, cy: -y, r: 0.3 }));
  return [s("polyline", { class: type === "path" ? "measured-way" : "measured", points: corners(points) })];
}

/** Half way along. @param {Point[]} points @returns {Point} */
export function middle(points) {
  const lengths = points.slice(1).map((p, i) => Math.hypot(p[0] - points[i][0], p[1] - points[i][1]));
  let rest = lengths.reduce((a, b) => a + b, 0) / 2;
  for (let i = 0; i < lengths.length; i += 1) {
    if (rest <= lengths[i] && lengths[i] > 0) {
      const t = rest / lengths[i];
      const [a, b] = [points[i], points[i + 1]];
      return [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])];
    }
    rest -= lengths[i];
  }
  return points[0];
}

/**
 * A flag on its staff, where no other one hangs and, if there is room, where it hides no number of an obstacle.
 * @param {Point} at @param {number} number @param {Point[]} taken takes its place @param {Point[]} figures
 */
export function flag([x, y], number, taken, figures = []) {
  const wide = 0.55 + 0.28 * String(number).length;
  const free = (/** @type {Point[]} */ others) => (/** @type {Point} */ [dx, dy]) => !others.some(([u, v]) => Math.abs(u - x - dx) < 1.3 && Math.abs(v - y - dy) < 0.9);
  const [dx, dy] = PLACES.find(free([...taken, ...figures])) ?? PLACES.find(free(taken)) ?? PLACES[0];
  const [u, v] = [x + dx, y + dy];
  taken.push([u, v]);
  return [
    s("line", { class: "staff", x1: x, y1: -y, x2: u, y2: -v }),
    s("rect", { class: "cloth", x: u - wide / 2, y: -v - 0.4, width: wide, height: 0.8 }),
    s("text", { class: "flag-number", x: u, y: -v }, String(number)),
  ];
}
