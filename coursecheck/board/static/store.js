/** The store: what the club has, each kind as it lies on the ground, with how many are left. */
import { owned, ownedPlace } from "./owned.js";
import { left } from "./plan.js";
import { draw, h, s } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Kind} Kind */

/** @param {State} state @param {HTMLElement} panel @param {(kind: string) => void} placeByKey */
export function store(state, panel, placeByKey) {
  const counts = new Map();
  const buttons = state.kinds.map((kind) => {
    const count = h("span", { class: "count" });
    counts.set(kind.name, count);
    const button = h("button", {
      type: "button",
      class: "kind",
      "aria-pressed": "false",
      "data-kind": kind.name,
      onclick: (/** @type {MouseEvent} */ event) => (event.detail === 0 ? placeByKey(kind.name) : arm(kind.name)),
    }, icon(kind), h("span", {}, kind.title), count);
    return button;
  });
  const numbering = /** @type {HTMLInputElement} */ (h("input", { type: "checkbox", checked: true, id: "numbering" }));
  numbering.addEventListener("change", () => {
    state.numbering = numbering.checked;
  });
  panel.append(
    h("h2", {}, say("Store")),
    h("p", { class: "small" }, say("Choose a kind; press on the sheet where it shall stand and drag the way it shall be run. From the keyboard, Enter puts one ahead of the last.")),
    h("label", { class: "line" }, numbering, say("number each as it is placed")),
    h("div", { class: "kinds" }, ...buttons),
  );
  owned(state, ownedPlace(panel), panel);

  /** @param {string} name */
  function arm(name) {
    state.armed = name; // pressed again, too: for the next one of its kind
    state.mode = "draw";
    state.tell("mode");
  }

  state.on(["plan", "mode", "pen", "tab"], () => {
    if (panel.hidden) return;
    for (const button of buttons) {
      const name = /** @type {string} */ (button.getAttribute("data-kind"));
      const rest = left(state.plan, name);
      counts.get(name).textContent = rest === null ? "" : rest >= 0 ? say("{count} left", { count: rest }) : say("{count} too many", { count: -rest });
      button.setAttribute("aria-pressed", String(state.armed === name));
      /** @type {HTMLButtonElement} */ (button).disabled = !state.draws;
    }
  });
}

/** @param {Kind} kind */
function icon(kind) {
  const [x0, y0, x1, y1] = kind.bounds;
  const across = Math.max(x1 - x0, y1 - y0, 2) + 0.4;
  const [x, y] = [(x0 + x1) / 2, (y0 + y1) / 2];
  // Long things lie on their side, so that they fit beside their name.
  const lying = y1 - y0 > x1 - x0 ? ` rotate(90)` : "";
  const ink = s("g", { transform: `${lying} translate(${-x} ${y}) scale(0.2)` });
  draw(ink, kind.symbol);
  const svg = s("svg", { class: "plan icon", viewBox: `${-across / 2} ${-across / 4} ${across} ${across / 2}`, "aria-hidden": "true" }, ink);
  return svg;
}
