/** Questions that have to be answered, one at a time. */
import { h } from "./svg.js";
import { say } from "./words.js";

/** @param {HTMLDialogElement} dialog @param {string} title @param {Node[]} children */
export function show(dialog, title, ...children) {
  dialog.replaceChildren(h("h2", { id: "dialog-title" }, title), ...children,
    h("p", { class: "buttons" }, h("button", { type: "button", onclick: () => dialog.close() }, say("Close"))));
  if (!dialog.open) dialog.showModal();
}

/**
 * @param {HTMLDialogElement} dialog @param {string} title @param {string} text
 * @param {{words: string, act: () => Promise<void>}[]} answers the dialog stays while it fails
 */
export function question(dialog, title, text, answers) {
  const trouble = h("p", { class: "trouble", role: "alert" });
  const buttons = answers.map(({ words, act }) => h("button", {
    type: "button",
    onclick: async () => {
      try {
        await act();
        dialog.close();
      } catch (error) {
        trouble.textContent = /** @type {Error} */ (error).message;
      }
    },
  }, words));
  dialog.replaceChildren(h("h2", { id: "dialog-title" }, title), h("p", {}, text), trouble, h("p", { class: "buttons" }, ...buttons));
  dialog.oncancel = (event) => event.preventDefault();
  dialog.onclose = () => {
    dialog.oncancel = null;
  };
  if (!dialog.open) dialog.showModal();
}
