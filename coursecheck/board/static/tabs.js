/** Tabs: on a wide page the store stands beside them, on a narrow one it is one of them. */
import { byId, h } from "./svg.js";
import { say } from "./words.js";

const TITLES = /** @type {Object<string, string>} */ ({
  store: say("Store"), findings: say("Findings"), walk: say("Walk"), order: say("Order"), obstacle: say("Obstacle"), ring: say("Ring"), plan: say("Plan"),
});

/**
 * @param {HTMLElement} bar @param {string[]} names @param {() => void} turned when another one is seen
 * @returns {(name: string) => void} chooses one
 */
export function tabs(bar, names, turned) {
  const buttons = names.map((name) => h("button", {
    type: "button", role: "tab", id: `tab-${name}`, "aria-controls": `panel-${name}`, onclick: () => choose(name),
  }, TITLES[name]));
  bar.append(...buttons);
  bar.addEventListener("keydown", (event) => {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!by) return;
    const at = buttons.findIndex((button) => button.getAttribute("aria-selected") === "true");
    const next = (at + by + names.length) % names.length;
    choose(names[next]);
    buttons[next].focus();
    event.preventDefault();
  });
  for (const button of buttons) button.addEventListener("pointerup", () => button.focus());
  choose("store");
  return choose;

  /** @param {string} name */
  function choose(name) {
    names.forEach((other, i) => {
      const chosen = other === name;
      buttons[i].setAttribute("aria-selected", String(chosen));
      buttons[i].setAttribute("tabindex", chosen ? "0" : "-1");
      byId(`panel-${other}`, HTMLElement).hidden = !chosen;
    });
    turned();
  }
}
