// Fields: one for each key of a table, made from the table of keys.

import { edit, onChange, say, store } from "./state.js";

export const all = new Set();
const units = new Map();
let steps = 0;

export const element = (tag, attributes = {}, ...children) => {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === true) made.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(name, value);
  }
  made.append(...children.filter((each) => each !== null && each !== undefined));
  return made;
};

// Symbols are markup of the program's own, never of a project.
export const symbol = (meta) => {
  const made = element("span", { class: "symbol" });
  made.innerHTML = meta.symbol;
  return made;
};

export const metaOf = (table, key) => store.forms.tables[table].find((each) => each.key === key);
export const plain = (key) => key.replaceAll("_", " ");
const unitPlace = (meta) => `${meta.key} ${meta.kind}`;
export const unitOf = (meta) => units.get(unitPlace(meta)) ?? meta.unit;

export function at(values, path) {
  return path.reduce((value, step) => (value === undefined || value === null ? undefined : value[step]), values);
}

export const valuesOf = (row) => store.rows.get(row)?.values ?? store.single[row]?.[row] ?? store.single[row] ?? {};

// A value as its field shows it: without the unit where that is the field's own.
function shown(value, meta) {
  if (value === undefined || value === null) return "";
  if (typeof value === "object") return value.value !== undefined ? String(value.value) : say("in_file");
  const unit = unitOf(meta);
  const found = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(\S.*)$/.exec(value);
  return unit && found && found[2] === unit ? found[1] : String(value);
}

// The faults of a field: its own, those below it, and those of the one thing that a group states.
export function faultsOf(field) {
  const { row, path, meta } = field;
  return (store.faults.get(row) ?? []).filter((fault) => {
    const same = path.every((step, i) => fault.path[i] === step);
    if (same) return true;
    const last = fault.path.at(-1);
    const beside = meta.group && fault.missing && fault.path.length === path.length
      && path.slice(0, -1).every((step, i) => fault.path[i] === step);
    return beside && metaOf(meta.table ?? "pipe", last)?.group === meta.group && leads(field);
  });
}

// Of a group nothing of which is given, the field that says so where it is shown.
function leads(field) {
  const { meta, row, path } = field;
  const values = at(valuesOf(row), path.slice(0, -1)) ?? {};
  const given = store.forms.tables.pipe.some((each) => each.group === meta.group && values[each.key] !== undefined);
  return !given;
}

// An input or a menu for the value at a path of a row.
export function makeField({ row, path, meta, table, label, short = false, before = () => [] }) {
  const field = { row, path, meta: { ...meta, table }, before, short, step: "", dirty: false };
  const choices = meta.key === "resin" && table === "pipe" ? null : meta.choices;
  const menu = choices === null || choices.length > 0;
  const made = menu ? element("select") : element("input", { type: "text", autocomplete: "off", spellcheck: "false" });
  field.element = made;
  made.field = field;
  made.setAttribute("aria-label", label ?? plain(meta.key));
  made.classList.toggle("words", ["text", "label"].includes(meta.kind));
  if (!menu && (meta.units.length || meta.kind === "factor" || meta.kind === "ratio")) made.inputMode = "decimal";
  if (!menu && meta.words.length) made.setAttribute("list", wordsOf(meta));
  made.addEventListener(menu ? "change" : "input", () => changed(field));
  made.addEventListener("focus", () => {
    field.step = `${Date.now()}-${steps++}`;
    if (!menu) made.select();
    made.setAttribute("aria-describedby", "hint-line");
    hint(field);
  });
  made.addEventListener("blur", () => {
    made.removeAttribute("aria-describedby");
    field.dirty = false;
    update(field);
  });
  all.add(field);
  update(field);
  return made;
}

function wordsOf(meta) {
  const id = `words-${meta.key}`;
  if (!document.getElementById(id)) {
    document.body.append(element("datalist", { id }, ...meta.words.map((value) => element("option", { value }))));
  }
  return id;
}

function changed(field) {
  field.dirty = true;
  for (const each of field.before()) edit(each, field.step);
  const { row, path, element: made } = field;
  edit({ do: "set", row, path, text: made.value, unit: unitOf(field.meta) }, field.step);
}

function options(field, value) {
  const { meta } = field;
  const resins = meta.key === "resin" && meta.table === "pipe";
  const texts = resins ? store.order.resin.map((id) => store.rows.get(id)?.values.name ?? "") : [...meta.choices];
  if (value && !texts.includes(value)) texts.push(value);
  const blank = resins ? texts[0] ?? "" : meta.default ? meta.blank ?? say("default_is", { text: meta.default }) : say("choose");
  const wanted = JSON.stringify([blank, texts]);
  if (field.options === wanted) return;
  field.options = wanted;
  field.element.replaceChildren(
    element("option", { value: "" }, resins ? say("default_is", { text: blank }) : blank),
    ...texts.filter((text) => text !== "").map((text) => element("option", { value: text }, field.short ? store.forms.short[text] ?? text : text)));
}

// What the page calls the place of a value: its pipe; of a resin, the first pipe made of it.
function placeOf(row, table) {
  const firstResin = () => store.rows.get(store.order.resin[0])?.values.name;
  const made = (id, name) => (store.rows.get(id)?.values.resin ?? firstResin()) === name;
  const id = {
    pipe: () => row, criteria: () => store.order.pipe[0],
    resin: () => store.order.pipe.find((each) => made(each, store.rows.get(row)?.values.name)),
  }[table]?.();
  const own = store.rows.get(id);
  return own ? `pipe${own.first}` : table;
}

// Shows what the project holds, unless it is being typed over.
export function update(field) {
  const { row, path, meta, element: made } = field;
  const raw = at(valuesOf(row), path);
  const value = shown(raw, meta);
  if (made instanceof HTMLSelectElement) options(field, value);
  if (!field.dirty || document.activeElement !== made) {
    if (made.value !== value) made.value = value;
  }
  const table = raw !== null && typeof raw === "object" && raw.value === undefined;
  if (made instanceof HTMLInputElement) {
    made.readOnly = table;
    if (meta.default) made.placeholder = say("default_is", { text: shown(meta.default, meta) });
  }
  const named = meta.table === "pipe" || meta.symbol;
  if (path.length === 1) made.dataset.name = `${named ? placeOf(row, meta.table) : meta.table}_${path[0]}`;
  const faults = faultsOf(field);
  const wrong = faults.filter((fault) => !fault.missing);
  if (wrong.length) made.setAttribute("aria-invalid", "true");
  else made.removeAttribute("aria-invalid");
  made.classList.toggle("missing", faults.length > wrong.length);
  made.toggleAttribute("data-missing", faults.length > wrong.length);
  made.title = faults.map((fault) => fault.text).join("\n");
  if (document.activeElement === made) hint(field);
}

// The line that tells of the field one is in: what it is, what it takes, what is wrong with it.
export function hint(field) {
  const line = document.getElementById("hint-line");
  const { meta } = field;
  const faults = faultsOf(field).map((fault) => fault.text);
  const parts = [meta.help, meta.limits && `${meta.limits}`, meta.example && `e.g. ${meta.example}`];
  const made = [symbol(meta), ` ${parts.filter(Boolean).join("; ")}`];
  if (faults.length) made.push(element("strong", {}, ` ${faults.join("; ")}`));
  line.classList.remove("general");
  line.replaceChildren(...made);
}

export function forget(container) {
  for (const field of all) if (container.contains(field.element)) all.delete(field);
}

// A menu of the units that bare numbers of a key are in; values keep the unit they were typed in.
export function unitMenu(meta, after = () => {}) {
  if (meta.units.length === 0) return null;
  if (meta.units.length === 1) return element("span", { class: "unit" }, meta.units[0]);
  const made = element("select", { class: "unit", "aria-label": say("unit_of", { name: plain(meta.key) }) },
    ...meta.units.map((unit) => element("option", { value: unit, selected: unit === unitOf(meta) }, unit)));
  made.addEventListener("change", () => {
    units.set(unitPlace(meta), made.value);
    for (const field of all) update(field);
    for (const other of document.querySelectorAll("select.unit")) {
      if (other.place === unitPlace(meta)) other.value = made.value;
    }
    after();
  });
  made.place = unitPlace(meta);
  return made;
}

export function originMenu(row, key, label) {
  const meta = {
    key, kind: "choice", choices: store.forms.origins, help: say("source"), default: "given", blank: "given", symbol: "",
    group: "", units: [], words: [], unit: "", limits: "", example: "",
  };
  return makeField({ row, path: ["origin", key], meta, table: "origin", label: say("source_of", { name: label }) });
}

onChange((rows) => {
  const resins = [...rows].some((row) => store.rows.get(row)?.table === "resin");
  for (const field of all) {
    const single = !store.rows.has(field.row);
    if (single || rows.has(field.row) || (resins && field.meta.key === "resin") || store.faults.has(field.row)
      || field.element.title || field.element.classList.contains("missing")) update(field);
  }
});
