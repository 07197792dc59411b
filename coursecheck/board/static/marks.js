/** Findings on the plan: what was measured, with the number of the finding on a flag. */
import { corners, s } from "./svg.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Finding} Finding */
/** @typedef {import("./types.js").Point} Point */

const ALWAYS = new Set(["breach", "unmeasurable"]);

export class Marks {
  /** @param {State} state @param {SVGElement} layer */
  constructor(state, layer) {
    this.state = state;
    this.layer = layer;
    state.on(["answer", "selection"], () => this.paint());
  }

  paint() {
    const findings = this.state.answer?.findings ?? [];
    const shown = findings.map((finding, i) => ({ finding, number: i + 1 }))
      .filter(({ finding }) => finding.witness && (finding.key === this.state.finding || (ALWAYS.has(finding.outcome) && finding.severity !== "note")));
    this.layer.replaceChildren(...shown.map(({ finding, number }) => this._mark(finding, number)));
  }

  /** @param {Finding} finding @param {number} number */
  _mark(finding, number) {
    const witness = /** @type {{type: string, points: Point[]}} */ (finding.witness);
    const chosen = finding.key === this.state.finding;
    const group = s("g", { class: `mark ${finding.outcome} ${finding.severity}${chosen ? " shown" : ""}`, "data-finding": finding.key },
      s("title", {}, `Finding ${number}: ${finding.title}, ${finding.place}`));
    group.append(...measured(witness), ...flag(middle(witness.points), number));
    return group;
  }
}

/** @param {{type: string, points: Point[]}} witness */
function measured({ type, points }) {
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

/** @param {Point} at @param {number} number */
function flag([x, y], number) {
  const wide = 0.55 + 0.28 * String(number).length;
  return [
    s("line", { class: "staff", x1: x, y1: -y, x2: x + 0.5, y2: -y - 0.9 }),
    s("rect", { class: "cloth", x: x + 0.5, y: -y - 1.6, width: wide, height: 0.8 }),
    s("text", { class: "flag-number", x: x + 0.5 + wide / 2, y: -y - 1.2 }, String(number)),
  ];
}
