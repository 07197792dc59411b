/** Making elements. Text from a file only ever becomes text. */

const SVG = "http://www.w3.org/2000/svg";

/** @param {string} name @param {Object<string, string|number>} attributes @param {(Node|string)[]} children */
export function s(name, attributes = {}, ...children) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, String(value));
  node.append(...children);
  return /** @type {SVGElement} */ (node);
}

/** @param {string} name @param {Object<string, any>} attributes handlers as onclick @param {(Node|string)[]} children */
export function h(name, attributes = {}, ...children) {
  const node = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else if (value === true) node.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(key, String(value));
  }
  node.append(...children);
  return node;
}

/** Puts a drawing of the program into a group. It is SVG that the program escaped. @param {SVGElement} group @param {string} markup */
export function draw(group, markup) {
  const parsed = new DOMParser().parseFromString(`<svg xmlns="${SVG}">${markup}</svg>`, "image/svg+xml");
  group.replaceChildren(...[...parsed.documentElement.childNodes].map((node) => document.importNode(node, true)));
}

/** @param {[number, number][]} points of the plan @returns {string} for points= */
export function corners(points) {
  return points.map(([x, y]) => `${x},${-y}`).join(" ");
}

/** @template {Element} T @param {string} id @param {new () => T} type @returns {T} */
export function byId(id, type) {
  const node = document.getElementById(id);
  if (!(node instanceof type)) throw new Error(`the page has no ${id}`);
  return node;
}
