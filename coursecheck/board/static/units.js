/** Lengths as the file has them: the page itself reckons in metres. */
import { rounded } from "./geometry.js";
import { written } from "./words.js";

const METRES = /** @type {Object<string, number>} */ ({ m: 1, ft: 0.3048 });

/** A length in a unit, as a figure for a field. @param {number} metres @param {string} units */
export function figureIn(metres, units) {
  return rounded(metres / METRES[units], units === "m" ? 6 : 3);
}

/** A figure that was written in a unit, in metres. @param {number} figure @param {string} units */
export function metresOf(figure, units) {
  return units === "m" ? figure : rounded(figure * METRES[units], 6);
}

/** A length in words. @param {number} metres @param {string} units */
export function lengthWords(metres, units) {
  return `${written((metres / METRES[units]).toFixed(2))} ${units}`;
}
