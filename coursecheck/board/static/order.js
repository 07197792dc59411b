/** The order of the course: every pass with its direction and the way to turn after it, and the distance to the next. */
import { find, idOf, readWord, reordered, spellWord } from "./plan.js";
import { fill, h, say } from "./svg.js";

/** @typedef {import("./state.js").State} State */

/** @param {State} state @param {HTMLElement} panel */
export function order(state, panel) {
  const list = h("ol", { class: "passes" });
  const where = h("p", { class: "small" });
  panel.append(h("h2", {}, "Order"),
    h("p", { class: "small" }, "With Number chosen above, press the obstacles in turn."), where, list);
  state.on(["plan", "answer", "pen", "mode", "tab"], paint);

  function paint() {
    if (panel.hidden) return;
    const held = /** @type {HTMLElement|null} */ (panel.contains(document.activeElement) ? document.activeElement : null);
    const key = held?.dataset.key;
    const { run } = state.plan.sequence;
    say(where, state.cursor === null ? "" : `The next number goes after ${state.cursor || "nothing, at the start"}.`);
    fill(list, run.map((word, i) => ({
      key: [i, i + 1 === run.length, word, find(state.plan, idOf(word))?.kind, state.draws].join(" "), make: () => row(word, i),
    })));
    [...list.children].forEach((node, i) => {
      const [along, leg] = [state.answer?.along[i], state.answer?.legs[i]];
      say(/** @type {Element} */ (node.lastElementChild), [along !== undefined && `${state.length(along)} along the line`, leg !== undefined && `then ${state.length(leg)} from landing to take-off`].filter(Boolean).join(", "));
    });
    if (key && document.activeElement === document.body) /** @type {HTMLElement|null} */ (list.querySelector(`[data-key="${CSS.escape(key)}"]`))?.focus();
  }

  /** @param {string} word @param {number} i */
  function row(word, i) {
    const pass = readWord(word);
    const kind = find(state.plan, pass.id)?.kind ?? "";
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
    const button = (/** @type {string} */ sign, /** @type {string} */ words, /** @type {() => void} */ act, off = false) =>
      h("button", { type: "button", "aria-label": `${words} ${i + 1}`, title: words, "data-key": `${words} ${i}`, disabled: off || !state.draws, onclick: act }, sign);
    const turn = /** @type {HTMLSelectElement} */ (h("select", { "aria-label": `Turn after ${i + 1}`, "data-key": `turn ${i}`, disabled: !state.draws },
      ...[["", "short way"], ["left", "left"], ["right", "right"]].map(([value, text]) => h("option", { value, selected: value === pass.turn }, text))));
    turn.addEventListener("change", () => edit(`Turn after ${i + 1}`, put({ turn: turn.value })));
    return h("li", { class: "pass" },
      h("span", { class: "who" },
        h("button", { type: "button", class: "plain", "data-key": `show ${i}`, "aria-label": `Show ${i + 1}, ${pass.id}`, onclick: () => state.select([pass.id]) }, `${i + 1}  ${pass.id}`),
        h("span", { class: "small" }, `${kind}${pass.reverse ? ", against its bearing" : ""}`)),
      h("span", { class: "acts" },
        button("⇄", "The other way over", () => edit(`Reverse ${i + 1}`, put({ reverse: !pass.reverse }))),
        turn,
        button("↑", "Earlier", () => edit(`Move ${i + 1} earlier`, swap(-1)), i === 0),
        button("↓", "Later", () => edit(`Move ${i + 1} later`, swap(1)), i === state.plan.sequence.run.length - 1),
        button("+", "Number next after", () => {
          state.cursor = i + 1;
          state.mode = "number";
          state.tell("mode");
          state.say(`The next obstacle that you press becomes number ${i + 2}.`);
        }),
        button("×", "Take out", () => edit(`Take out ${i + 1}`, (run) => run.filter((_, j) => j !== i)))),
      h("span", { class: "leg small" }));
  }
}
