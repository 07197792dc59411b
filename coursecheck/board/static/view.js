/** What part of the plan the sheet shows: zoom, shift, and from the screen to the plan. */

/** @typedef {import("./types.js").Point} Point */

const MARGIN_M = 2.2;
const LEAST_M = 4;
const MOST_M = 400;

export class View {
  /** @param {SVGSVGElement} svg */
  constructor(svg) {
    this.svg = svg;
    /** @type {number[]} */
    this.box = [0, 0, 30, 40];
    this.fitted = false;
    this.x = 0;
    this.y = 0;
    this.width = 30;
    this.height = 40;
    new ResizeObserver(() => this._apply()).observe(svg);
  }

  /** Shows the whole ring. @param {number[]} box x0, y0, x1, y1 of the plan */
  fit(box) {
    this.box = box;
    this.fitted = true;
    const [x0, y0, x1, y1] = box;
    this.x = x0 - MARGIN_M;
    this.y = -y1 - MARGIN_M;
    this.width = x1 - x0 + 2 * MARGIN_M;
    this.height = y1 - y0 + 2 * MARGIN_M;
    this._apply();
  }

  _apply() {
    this.svg.setAttribute("viewBox", [this.x, this.y, this.width, this.height].join(" "));
    this.svg.style.setProperty("--px", `${1 / this.scale}px`);
  }

  /** Pixels of the screen for a metre. */
  get scale() {
    const rect = this.svg.getBoundingClientRect();
    return Math.max(0.01, Math.min(rect.width / this.width, rect.height / this.height));
  }

  /** The point of the plan under a point of the screen. @param {{clientX: number, clientY: number}} at @returns {Point} */
  toPlan({ clientX, clientY }) {
    const matrix = this.svg.getScreenCTM();
    if (!matrix) return [0, 0];
    const point = new DOMPoint(clientX, clientY).matrixTransform(matrix.inverse());
    return [point.x, -point.y];
  }

  /** Shifts so that one point of the plan comes to lie where another one is. @param {Point} from @param {Point} to */
  shift(from, to) {
    this.x -= to[0] - from[0];
    this.y += to[1] - from[1];
    this._apply();
  }

  /** @param {number} factor above 1 to come nearer @param {Point} about stays where it is */
  zoom(factor, about) {
    const width = Math.min(MOST_M, Math.max(LEAST_M, this.width / factor));
    const by = width / this.width;
    this.x = about[0] - (about[0] - this.x) * by;
    this.y = -about[1] - (-about[1] - this.y) * by;
    this.width = width;
    this.height *= by;
    this._apply();
  }

  /** @returns {Point} the middle of what is seen */
  get middle() {
    return [this.x + this.width / 2, -(this.y + this.height / 2)];
  }

  /** Brings a point into sight if it is not. @param {Point} point */
  reveal(point) {
    const [x, y] = [point[0], -point[1]];
    const inside = x > this.x && x < this.x + this.width && y > this.y && y < this.y + this.height;
    if (!inside) this.shift(point, this.middle);
  }
}
