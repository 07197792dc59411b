// Course times from the wheel's figure, in exact fractions, as the program itself reckons them.
(() => {
  const box = document.getElementById("reckoner");
  const rules = JSON.parse(box.dataset.rules);
  const point = (0.5).toLocaleString(document.documentElement.lang || "en").charAt(1);
  const feet = box.dataset.units === "ft";
  const floor = ([n, d]) => n / d;
  const less = (a, b) => a[0] * b[1] < b[0] * a[1];

  function centimetres(text) {
    const parts = /^\s*(\d{1,6})(?:[.,](\d{0,6}))?\s*$/.exec(text);
    if (!parts) return null;
    const millionths = BigInt(parts[1]) * 1000000n + BigInt((parts[2] || "").padEnd(6, "0"));
    const [n, d] = feet ? [millionths * 3048n, 100000000n] : [millionths, 10000n];
    return (2n * n + d) / (2n * d);
  }

  function exact(rule, length, sct) {
    const ratio = (pair) => pair.map(BigInt);
    const factor = ratio(rule.factor);
    const base = rule.of === "length" ? [length, 100n] : sct;
    let time = rule.of === "fixed" ? factor : [base[0] * factor[0], base[1] * factor[1]];
    if (rule.rounding === "up") time = [(time[0] + time[1] - 1n) / time[1], 1n];
    if (rule.rounding === "half-up") time = [floor([2n * time[0] + time[1], 2n * time[1]]), 1n];
    if (rule.cap && less(ratio(rule.cap), time)) time = ratio(rule.cap);
    if (rule.floor && less(time, ratio(rule.floor))) time = ratio(rule.floor);
    return time;
  }

  function shown(rule, time) {
    if (!time) return "–";
    if (rule.rounding !== "none" && time[0] % time[1] === 0n) return `${time[0] / time[1]} s`;
    const hundredths = floor([200n * time[0] + time[1], 2n * time[1]]);
    return `${hundredths / 100n}${point}${String(hundredths % 100n).padStart(2, "0")} s`;
  }

  function times(rule, length) {
    const sct = rule.sct && exact(rule.sct, length, null);
    const mct = rule.mct && (rule.mct.of !== "sct" || sct) && exact(rule.mct, length, sct);
    return [shown(rule.sct, sct), shown(rule.mct, mct)];
  }

  function reckon() {
    const length = centimetres(box.querySelector("input").value);
    rules.forEach((rule, i) => {
      const cells = box.querySelectorAll("tbody tr")[i].querySelectorAll("td");
      (length ? times(rule, length) : ["–", "–"]).forEach((words, k) => { cells[k].textContent = words; });
    });
  }

  box.hidden = false;
  box.querySelector("input").addEventListener("input", reckon);
  reckon();
})();
