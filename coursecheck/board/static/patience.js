/** A verdict that is long in coming: that of the plan before is not to be taken for it. */
import { reword } from "./svg.js";
import { say } from "./words.js";

const LOOKS_MS = 600; // a drag step is judged many times as quickly: nothing flickers while all goes well

/** @param {import("./state.js").State} state @param {HTMLElement} stamp with the verdict and its reason */
export function patience(state, stamp) {
  /** @type {object|null} what was answered when it was looked at last */
  let last = null;
  let waits = false;
  state.on(["failed"], () => tell(say("not judged")));
  setInterval(() => {
    const judging = "judging" in document.body.dataset;
    if (judging && state.answer === last) tell(say("still being judged"));
    else if (waits && state.answer === last) tell(say("not judged"));
    waits = judging && state.answer === last;
    last = state.answer;
  }, LOOKS_MS);

  /** @param {string} words */
  function tell(words) {
    const [verdict, reason] = stamp.children;
    reword(verdict, "…");
    reword(reason, words);
    delete stamp.dataset.legal;
  }
}
