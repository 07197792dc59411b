/** The reader's language: what the page says is looked up here by its English words. English asks for no catalogue. */

/** The code of the language that the page is in. */
export const LANGUAGE = document.documentElement.lang;

/** @type {Object<string, string|string[]>} by the English words, of counts the form for one and that for many */
const catalogue = LANGUAGE === "en" ? {} : await (await fetch("words.json")).json();
const forms = new Intl.PluralRules(LANGUAGE);

/**
 * A sentence in the language of the page; as it stands where it is not translated.
 * @param {string} message the English words @param {Object<string, string|number>} fields numbers are written as the language writes them
 */
export function say(message, fields = {}) {
  return filled(/** @type {string} */ (catalogue[message] ?? message), fields);
}

/** A sentence about so many things, which is a field of it, too. @param {string} one @param {string} many @param {number} count */
export function sayCount(one, many, count) {
  return filled((catalogue[one] ?? [one, many])[forms.select(count) === "one" ? 0 : 1], { count });
}

/** A figure as the language writes it. @param {number|string} figure with a decimal point */
export function written(figure) {
  return LANGUAGE === "en" ? String(figure) : String(figure).replace(".", ",");
}

/** The number that somebody wrote, with a decimal point or comma; NaN where it is none. @param {string} text */
export function numberOf(text) {
  return /^\s*[-+]?(\d+[.,]?\d*|[.,]\d+)(e[-+]?\d+)?\s*$/i.test(text) ? Number(text.replace(",", ".")) : NaN;
}

/** What stands between the two figures of a point. */
export const PAIR = LANGUAGE === "en" ? ", " : " / ";

/** What stands between the figures of a list. */
export const LIST = LANGUAGE === "en" ? ", " : "; ";

/** The numbers that somebody wrote one after the other. @param {string} text @returns {number[]} */
export function figuresIn(text) {
  // Where a comma may be a decimal one, it parts two figures only with a space behind it.
  return text.split(LANGUAGE === "en" ? /[,;/]/ : /[;/]|,\s+/).map(numberOf);
}

/** Words at the beginning of a sentence. @param {string} words */
export function capital(words) {
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}

/** @param {string} words @param {Object<string, string|number>} fields */
function filled(words, fields) {
  return words.replace(/{(\w+)}/g, (_, name) => (typeof fields[name] === "number" ? written(fields[name]) : fields[name]));
}
