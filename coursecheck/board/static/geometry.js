/** Points, bearings and local frames: (along, right) of a bearing, as the program has them. */

/** @typedef {import("./types.js").Point} Point */

/** @param {number} degrees @returns {number} within [0, 360) */
export function turned(degrees) {
  return ((degrees % 360) + 360) % 360;
}

/** @param {number} degrees @returns {number} within (-180, 180] */
export function wrapped(degrees) {
  const angle = turned(degrees);
  return angle > 180 ? angle - 360 : angle;
}

/** The bearing from one point to another. @param {Point} from @param {Point} to */
export function bearingTo(from, to) {
  return turned((Math.atan2(to[0] - from[0], to[1] - from[1]) * 180) / Math.PI);
}

/** @param {Point} a @param {Point} b */
export function distance(a, b) {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** The unit vector of a bearing. @param {number} bearing @returns {Point} */
export function ahead(bearing) {
  const angle = (bearing * Math.PI) / 180;
  return [Math.sin(angle), Math.cos(angle)];
}

/**
 * A local point on the plan.
 * @param {{at: Point, bearing: number}} frame @param {Point} local (along, right) @returns {Point}
 */
export function placed(frame, [along, right]) {
  const [x, y] = ahead(frame.bearing);
  return [frame.at[0] + along * x + right * y, frame.at[1] + along * y - right * x];
}

/**
 * A point of the plan in a local frame.
 * @param {{at: Point, bearing: number}} frame @param {Point} point @returns {Point} (along, right)
 */
export function located(frame, point) {
  const [x, y] = ahead(frame.bearing);
  const dx = point[0] - frame.at[0];
  const dy = point[1] - frame.at[1];
  return [dx * x + dy * y, dx * y - dy * x];
}

/** Rounded to so many decimals, without a minus zero. @param {number} value @param {number} decimals */
export function rounded(value, decimals) {
  return Number(value.toFixed(decimals)) + 0;
}

/** To the centimetre. @param {Point} point @returns {Point} */
export function toCentimetre(point) {
  return [rounded(point[0], 2), rounded(point[1], 2)];
}

/** The nearest point of a straight piece. @param {Point} p @param {Point} a @param {Point} b @returns {Point} */
export function nearestOn(p, a, b) {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const length2 = dx * dx + dy * dy;
  const t = length2 ? Math.min(1, Math.max(0, ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / length2)) : 0;
  return [a[0] + t * dx, a[1] + t * dy];
}
