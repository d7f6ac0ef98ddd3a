// Before this text stand `live` and `formulas`: the cells of the tables, and what they follow from.
"use strict";

const plain = (wanted) => String(wanted).replace(/~([~*?])/g, "$1");
const functions = {
  IF: (holds, one, other) => (holds ? one : other),
  MIN: (...numbers) => Math.min(...numbers),
  SQRT: Math.sqrt,
  INDEX: (list, place) => list[place - 1],
  MATCH: (value, list) => list.indexOf(value) + 1,
  SUMIFS(sums, ...pairs) {
    let total = 0;
    sums.forEach((each, row) => {
      const met = (place) => String(pairs[place][row]) === plain(pairs[place + 1]);
      const meets = pairs.every((_, place) => place % 2 || met(place));
      if (meets && Number.isFinite(each)) total += each;
    });
    return total;
  },
};

const changed = new Map();
let known = new Map();
const beside = (key, column) => value(`${key.slice(0, key.lastIndexOf("."))}.${column}`);
const ofColumn = (name) =>
  live.columns[name].map(([kind, text]) => (kind === "key" ? value(text) : text));
const every = formulas(functions, (name) => value(live.names[name]), ofColumn);

function value(key) {
  if (!known.has(key)) {
    const formula = every[key];
    const found = formula ? formula((column) => beside(key, column)) : changed.get(key);
    known.set(key, found ?? live.values[key][0]);
  }
  return known.get(key);
}

function shown(key) {
  const found = value(key);
  if (typeof found !== "number") return found;
  if (!Number.isFinite(found)) return "–";
  const decimals = live.values[key][1];
  const options = { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
  return found.toLocaleString("en-US", options);
}

function same(one, other) {
  if (typeof one !== "number" || typeof other !== "number") return one === other;
  return Math.abs(one - other) <= 1e-9 * Math.abs(other);
}

const outputs = [...document.querySelectorAll("bdi[data-cell]")];
const inputs = [...document.querySelectorAll("input[data-cell]")];
const issued = new Map(outputs.map((found) => [found, found.textContent]));

function update() {
  known = new Map();
  for (const found of outputs) {
    const key = found.dataset.cell;
    const kept = same(value(key), live.values[key][0]);
    found.textContent = kept ? issued.get(found) : shown(key);
    found.classList.toggle("changed", !kept);
  }
  const any = changed.size > 0;
  document.getElementById("banner").hidden = !any;
  for (const found of document.querySelectorAll(".when-changed")) found.hidden = !any;
}

function read(input) {
  const number = Number(input.value.trim().replaceAll(",", ""));
  const good = input.value.trim() !== "" && Number.isFinite(number) && number >= 0;
  input.setAttribute("aria-invalid", String(!good));
  if (!good) return;
  const key = input.dataset.cell;
  if (same(number, live.values[key][0])) changed.delete(key);
  else changed.set(key, number);
  input.closest("td").classList.toggle("changed", changed.has(key));
  update();
}

for (const input of inputs) {
  input.readOnly = false;
  input.addEventListener("input", () => read(input));
}
document.getElementById("restore").addEventListener("click", () => {
  changed.clear();
  for (const input of inputs) {
    input.value = input.defaultValue;
    input.setAttribute("aria-invalid", "false");
    input.closest("td").classList.remove("changed");
  }
  update();
});
document.querySelector(".invitation").hidden = false;
