/** The order of the course: every pass with its direction and the way to turn after it, and the distance to the next. */
import { find, idOf, readWord, reordered, spellWord } from "./plan.js";
import { fill, h, reword } from "./svg.js";
import { say } from "./words.js";

/** @typedef {import("./state.js").State} State */

/** @param {State} state @param {HTMLElement} panel */
export function order(state, panel) {
  const list = h("ol", { class: "passes" });
  const where = h("p", { class: "small" });
  panel.append(h("h2", {}, say("Order")),
    h("p", { class: "small" }, say("With Number chosen above, press the obstacles in turn.")), where, list);
  state.on(["plan", "answer", "pen", "mode", "tab"], paint);

  function paint() {
    if (panel.hidden) return;
    const held = /** @type {HTMLElement|null} */ (panel.contains(document.activeElement) ? document.activeElement : null);
    const key = held?.dataset.key;
    const { run } = state.plan.sequence;
    reword(where, after(state.cursor));
    fill(list, run.map((word, i) => ({
      key: [i, i + 1 === run.length, word, find(state.plan, idOf(word))?.kind, state.draws].join(" "), make: () => row(word, i),
    })));
    [...list.children].forEach((node, i) => {
      const [along, leg] = [state.answer?.along[i], state.answer?.legs[i]];
      reword(/** @type {Element} */ (node.lastElementChild), [
        along !== undefined && say("{length} along the line", { length: state.length(along) }),
        leg !== undefined && say("then {length} from landing to take-off", { length: state.length(leg) }),
      ].filter(Boolean).join(", "));
    });
    if (key && document.activeElement === document.body) /** @type {HTMLElement|null} */ (list.querySelector(`[data-key="${CSS.escape(key)}"]`))?.focus();
  }

  /** @param {string} word @param {number} i */
  function row(word, i) {
    const pass = readWord(word);
    const number = i + 1;
    const kind = state.kind(find(state.plan, pass.id)?.kind ?? "")?.title ?? "";
    const edit = (/** @type {string} */ name, /** @type {(run: string[]) => string[]} */ change) =>
      state.commit(name, reordered(state.history.present, change));
    const put = (/** @type {object} */ values) => (/** @type {string[]} */ run) => {
      run[i] = spellWord({ ...pass, ...values });
      return run;
    };
    const swap = (/** @type {number} */ by) => (/** @type {string[]} */ run) => {
      [run[i], run[i + by]] = [run[i + by], run[i]];
      return run;
    };
    const button = (/** @type {string} */ sign, /** @type {string} */ title, /** @type {string} */ label, /** @type {() => void} */ act, off = false) =>
      h("button", { type: "button", "aria-label": label, title, "data-key": `${title} ${i}`, disabled: off || !state.draws, onclick: act }, sign);
    const turning = say("Turn after {number}", { number });
    const turn = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": turning, "data-key": `turn ${i}`, disabled: !state.draws },
      ...[["", say("short way")], ["left", say("left")], ["right", say("right")]].map(([value, text]) => h("option", { value, selected: value === pass.turn }, text))));
    turn.addEventListener("change", () => edit(turning, put({ turn: turn.value })));
    return h("li", { class: "pass" },
      h("span", { class: "who" },
        h("button", { type: "button", class: "plain", "data-key": `show ${i}`, "aria-label": say("Show {number}, {name}", { number, name: pass.id }), onclick: () => state.select([pass.id]) }, `${number}  ${pass.id}`),
        h("span", { class: "small" }, pass.reverse ? say("{kind}, against its bearing", { kind }) : kind)),
      h("span", { class: "acts" },
        button("⇄", say("The other way over"), say("The other way over {number}", { number }), () => edit(say("Reverse {number}", { number }), put({ reverse: !pass.reverse }))),
        turn,
        button("↑", say("Earlier"), say("Earlier {number}", { number }), () => edit(say("Move {number} earlier", { number }), swap(-1)), i === 0),
        button("↓", say("Later"), say("Later {number}", { number }), () => edit(say("Move {number} later", { number }), swap(1)), i === state.plan.sequence.run.length - 1),
        button("+", say("Number next after"), say("Number next after {number}", { number }), () => {
          state.cursor = number;
          state.mode = "number";
          state.tell("mode");
          state.announce(say("The next obstacle that you press becomes number {number}.", { number: number + 1 }));
        }),
        button("×", say("Take out"), say("Take out {name}", { name: number }), () => edit(say("Take out {name}", { name: number }), (run) => run.filter((_, j) => j !== i)))),
      h("span", { class: "leg small" }));
  }
}

/** After which pass the next number goes, in words. @param {number|null} cursor */
function after(cursor) {
  if (cursor === null) return "";
  return cursor ? say("The next number goes after {number}.", { number: cursor }) : say("The next number goes after nothing, at the start.");
}
