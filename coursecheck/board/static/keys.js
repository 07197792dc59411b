/** The keyboard: everything that the mouse can do. */
import { h } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./acts.js").Acts} Acts */

const ARROWS = /** @type {Object<string, [number, number]>} */ ({ ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] });

const WORDS = [
  [say("Tab"), say("to the next obstacle, in course order")],
  [say("Arrows"), say("move it 0.1 m; with Shift 1 m; with Alt 0.01 m")],
  ["R", say("turn it 15° to the right; with Shift to the left; with Alt by 1°")],
  ["B", say("bend a tunnel 5° to the right; with Shift to the left")],
  [say("Space"), say("choose several: add the obstacle to those chosen, or take it out")],
  ["N", say("give it the next number")],
  [say("Enter"), say("to its exact figures; with Measure chosen, the tape is laid to it")],
  [say("Delete, Backspace"), say("take it out of the ring")],
  [say("Space, Enter on a side of the ring"), say("a wall or none; one more corner. With Ring chosen, Tab goes on to the ring's parts")],
  [say("Ctrl D, Ctrl A"), say("duplicate; choose all")],
  [say("Ctrl Z, Ctrl Shift Z"), say("undo; do again")],
  ["+ - 0", say("nearer, farther, the whole ring")],
  [say("Alt while dragging"), say("no snapping")],
  [say("Shift drag on empty ground"), say("choose everything in a frame")],
  [say("Esc"), say("let go, choose nothing; in a field: take back what was typed, and to the sheet")],
  ["?", say("this list")],
];

/** @param {(title: string, ...children: Node[]) => void} show */
export function showKeys(show) {
  show(say("Keys"), h("dl", {}, ...WORDS.flatMap(([key, words]) => [h("dt", {}, key), h("dd", {}, words)])));
}

/**
 * @param {State} state @param {Acts} acts @param {import("./fence.js").Fence} fence @param {SVGSVGElement} svg
 * @param {{cancel: () => void, help: () => void, fields: () => void, tape: (id: string) => void, zoom: (factor: number) => void, whole: () => void, back: () => void}} more `back`: from a field to the sheet
 */
export function keys(state, acts, fence, svg, more) {
  svg.addEventListener("focusin", (event) => {
    const id = idOf(event.target);
    if (id && !state.selection.has(id)) state.select([id]);
  });
  document.addEventListener("keydown", (event) => {
    const target = /** @type {Element} */ (event.target);
    if (event.key === "Escape" && target instanceof HTMLInputElement && target.type === "text" && !target.closest("dialog")) {
      target.value = target.defaultValue;
      more.back();
      return;
    }
    const typing = target.matches("input[type=text], select, textarea") || target.closest("dialog");
    if (command(event, Boolean(typing)) || (!typing && onSheet(event, target))) event.preventDefault();
  });

  /** @param {KeyboardEvent} event @param {boolean} typing */
  function command(event, typing) {
    if (!(event.ctrlKey || event.metaKey) || typing) return false;
    const key = event.key.toLowerCase();
    if (key === "z" && !event.shiftKey) state.undo();
    else if (key === "y" || key === "z") state.redo();
    else if (key === "a") state.select(state.plan.obstacle.map((o) => o.id));
    else if (key === "d") acts.duplicate();
    else return false;
    return true;
  }

  /** @param {KeyboardEvent} event @param {Element} target */
  function onSheet(event, target) {
    if (event.ctrlKey || event.metaKey) return false;
    const arrow = ARROWS[event.key];
    const id = idOf(target);
    const free = id !== null || target === document.body || target === svg;
    const part = fence.partOf(target);
    const step = event.shiftKey ? 1 : event.altKey ? 0.01 : 0.1;
    if (part && fence.key(part, event, arrow, step)) return true;
    if (event.key === "Escape") more.cancel();
    else if (event.key === "?") more.help();
    else if (!free && !part) return false;
    else if (event.key === "+") more.zoom(1.25);
    else if (event.key === "-") more.zoom(0.8);
    else if (event.key === "0") more.whole();
    else if (!free) return false;
    else if (arrow) acts.nudge(arrow[0] * step, arrow[1] * step);
    else if (event.code === "KeyR") acts.turn((event.shiftKey ? -1 : 1) * (event.altKey ? 1 : 15));
    else if (event.code === "KeyB") acts.bend(event.shiftKey ? -5 : 5);
    else if (event.key === "Delete" || event.key === "Backspace") acts.remove();
    else if (id && event.key === "n") acts.number(id);
    else if (id && event.key === "Enter" && state.mode === "measure") more.tape(id);
    else if (id && event.key === "Enter") more.fields();
    else if (id && event.key === " ") state.select(state.selection.has(id) ? [...state.selection].filter((other) => other !== id) : [...state.selection, id]);
    else return false;
    return true;
  }
}

/** @param {EventTarget|null} target @returns {string|null} */
function idOf(target) {
  return target instanceof Element ? target.closest(".obstacle")?.getAttribute("data-id") ?? null : null;
}
