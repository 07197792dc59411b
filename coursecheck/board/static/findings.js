/** The verdict and its findings: in words, gravest first, each leads to its place on the plan. */
import { middle } from "./marks.js";
import { fill, h, reword } from "./svg.js";
import { capital, say } from "./words.js";

/** @typedef {import("./state.js").State} State */
/** @typedef {import("./types.js").Finding} Finding */

/**
 * @param {State} state @param {HTMLElement} panel @param {import("./view.js").View} view
 * @returns {(key: string) => void} shows the finding of a key, in the list and on the plan
 */
export function findings(state, panel, view) {
  const change = h("div", { class: "change" });
  const list = h("ol", { class: "findings" });
  const rest = h("div", { class: "rest" });
  const head = h("p", { class: "all-well" });
  panel.append(h("h2", {}, say("Findings")), head, change, list, rest);

  state.on(["answer", "tab"], () => {
    const { answer, preview } = state;
    if (!answer || panel.hidden) return;
    const held = panel.contains(document.activeElement) ? document.activeElement?.getAttribute("data-key") : null;
    reword(head, answer.findings.length ? capital(`${answer.reason}.`) : say("All is well: no limit that was checked is broken or close."));
    fill(change, preview ? [] : changes(state.change));
    fill(list, answer.findings.map((finding, i) => ({
      key: finding.key, from: `${i + 1} ${isFresh(finding)} ${JSON.stringify(finding)}`, make: () => item(finding, i + 1),
    })));
    fill(rest, [
      { key: "lengths", from: JSON.stringify(answer.lengths), make: () => lengths(answer) },
      { key: "notes", from: answer.notes.join("\n"), make: () => notes(answer) },
      { key: "gaps", from: JSON.stringify(answer.uncovered), make: () => uncovered(answer) },
    ]);
    if (held && document.activeElement === document.body) {
      /** @type {HTMLElement|null} */ (list.querySelector(`[data-key="${CSS.escape(held)}"]`))?.focus();
    }
  });
  list.addEventListener("click", ({ target }) => {
    const key = /** @type {Element} */ (target).closest("button")?.dataset.key;
    const finding = state.answer?.findings.find((one) => one.key === key);
    if (finding) choose(finding, state.finding !== finding.key);
  });
  state.on(["selection"], () => {
    for (const button of list.querySelectorAll("button")) {
      button.setAttribute("aria-pressed", String(button.dataset.key === state.finding));
    }
  });

  /** @param {Finding} finding */
  function isFresh(finding) {
    return state.change.fresh.has(finding.key) && !state.preview;
  }

  /** @param {Finding} finding @param {number} number */
  function item(finding, number) {
    const button = h("button", {
      type: "button",
      "data-key": finding.key,
      "aria-pressed": String(state.finding === finding.key),
    },
    h("span", { class: `tag ${finding.outcome}` }, String(number)),
    h("span", { class: "what" }, say("{title}, {place}", { title: finding.title, place: finding.place })),
    h("span", { class: "state" }, [finding.gravity, finding.state, finding.waived && say("waived"), isFresh(finding) && say("new")].filter(Boolean).join(", ")));
    return h("li", { class: `finding ${finding.severity}` }, button,
      ...finding.lines.map((line) => h("p", {}, h("span", { class: "classes" }, say("{name}:", { name: line.heights })), ` ${line.figures}`)),
      h("p", { class: "small" }, finding.rule));
  }

  return (key) => {
    const finding = state.answer?.findings.find((one) => one.key === key);
    if (!finding) return;
    choose(finding, true);
    list.querySelector(`[data-key="${CSS.escape(key)}"]`)?.scrollIntoView({ block: "nearest" });
  };

  /** @param {Finding} finding @param {boolean} shown */
  function choose(finding, shown) {
    state.finding = shown ? finding.key : null;
    const here = new Set(state.plan.obstacle.map((o) => o.id));
    state.select(state.finding ? finding.obstacles.filter((id) => here.has(id)) : []);
    if (state.finding && finding.witness) view.reveal(middle(finding.witness.points));
    const words = { title: finding.title, place: finding.place };
    if (!state.finding) state.announce(say("No finding chosen."));
    else if (finding.witness || state.selection.size) state.announce(say("{title}, {place}: shown on the plan.", words));
    else state.announce(say("{title}, {place}: at no one place of the plan.", words));
  }
}

/** @param {{made: string[], solved: string[]}} change */
function changes({ made, solved }) {
  return [[say("The last change made:"), made], [say("It solved:"), solved]].flatMap(([words, list]) => (list.length ? [{
    key: `${words}${list}`, make: () => h("p", {}, h("strong", {}, /** @type {string} */ (words)), ` ${/** @type {string[]} */ (list).join("; ")}`),
  }] : []));
}

/** @param {import("./types.js").Answer} answer */
function lengths(answer) {
  const rows = answer.lengths.map((row) => h("tr", {},
    h("th", { scope: "row" }, row.height), ...[row.length, row.sct, row.mct].map((figure) => h("td", {}, figure ?? "–"))));
  return h("table", {}, h("caption", {}, say("Lengths and times")),
    h("thead", {}, h("tr", {}, ...[say("class"), say("length"), say("SCT"), say("MCT")].map((word) => h("th", { scope: "col" }, word)))),
    h("tbody", {}, ...rows));
}

/** @param {import("./types.js").Answer} answer */
function notes(answer) {
  return h("details", {}, h("summary", {}, say("How it was measured")), ...answer.notes.map((note) => h("p", { class: "small" }, note)));
}

/** @param {import("./types.js").Answer} answer */
function uncovered({ uncovered: gaps }) {
  return h("details", {}, h("summary", {}, say("Not covered by this rulebook: {count}", { count: gaps.length })),
    h("ul", {}, ...gaps.map((gap) => h("li", { class: "small" }, say("{name}: {words}", { name: gap.topic, words: gap.about })))));
}
