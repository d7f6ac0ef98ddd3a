// A table of rows to type into, paste into, sort and fill down.

import { element, forget, makeField, plain, symbol, unitMenu, unitOf } from "./fields.js";
import { edit, onChange, say, store } from "./state.js";

const RESULTS = [
  ["required", "required", "t, mm", "required_thickness", "required"],
  ["nominal", "nominal", "t, mm", "nominal_thickness", "nominal"],
  ["governing", "governs", "", "governing", null],
  ["safety", "factor", "", "least_safety_factor", null],
];
const fresh = () => crypto.randomUUID();

export class Table {
  constructor(container, table, title) {
    Object.assign(this, { container, table, title, extra: new Set(), lines: new Map(), range: null, last: null });
    this.body = element("tbody", { role: "rowgroup" });
    this.head = element("thead", { role: "rowgroup" });
    const made = element("table", { class: `entry ${table}`, role: "table" }, element("caption", { class: "skip" }, title), this.head, this.body);
    this.bar = this.toolbar();
    const wide = element("div", { class: "wide" }, made);
    container.replaceChildren(this.bar, wide);
    // Only rows in sight hold their ends in sight: of many rows that is what a browser can do.
    this.near = new IntersectionObserver((rows) => {
      for (const each of rows) each.target.classList.toggle("near", each.isIntersecting);
    }, { root: wide, rootMargin: "400px" });
    made.addEventListener("keydown", (event) => this.key(event));
    made.addEventListener("paste", (event) => this.paste(event));
    made.addEventListener("focusin", (event) => this.enter(event));
    made.addEventListener("click", (event) => {
      const row = event.target.closest("tr[data-row]");
      if (row) this.choose(row.dataset.row);
    });
    onChange((rows) => this.show(rows));
    this.show(new Set());
  }

  // Columns: those always there, those that any row has, and those requested.
  columns() {
    const metas = store.forms.tables[this.table];
    const wanted = new Set([...store.forms.columns[this.table], ...this.extra]);
    for (const row of store.order[this.table]) {
      for (const key of Object.keys(store.rows.get(row)?.values ?? {})) wanted.add(key);
    }
    const found = metas.filter((meta) => wanted.has(meta.key));
    const place = (meta) => (meta.key === "name" ? 0 : meta.key === "condition" ? 1 : meta.key === "resin" ? 3 : 2);
    return found.sort((a, b) => place(a) - place(b));
  }

  toolbar() {
    const button = (name, run) => {
      const made = element("button", { type: "button" }, say(name));
      made.addEventListener("click", run);
      return made;
    };
    this.menu = element("select", { "aria-label": say("columns") });
    this.menu.addEventListener("change", () => {
      this.extra.add(this.menu.value);
      this.menu.value = "";
      this.show(new Set());
    });
    const arranging = this.table === "pipe" ? [
      button("fill_down", () => this.fill()),
      button("sort_up", () => this.sort(false)),
      button("sort_down", () => this.sort(true))] : [];
    return element("div", { class: "bar", role: "toolbar", "aria-label": this.title },
      element("h2", {}, this.title),
      button("add_row", () => this.add()),
      button("copy_row", () => this.last && this.add(this.last.row)),
      button("remove_row", () => this.last && edit({ do: "remove", row: this.last.row })),
      ...arranging, this.menu);
  }

  show(rows) {
    if (!store.forms) return;
    const metas = this.columns();
    const keys = metas.map((meta) => meta.key).join(" ");
    if (keys !== this.keys) {
      this.keys = keys;
      this.metas = metas;
      forget(this.body);
      this.body.replaceChildren();
      this.lines.clear();
      this.heads();
    }
    const order = store.order[this.table];
    for (const [id, line] of this.lines) {
      if (!order.includes(id)) {
        forget(line.element);
        line.element.remove();
        this.lines.delete(id);
      }
    }
    order.forEach((id, place) => {
      const is = this.lines.get(id) ?? this.line(id);
      if (this.body.children[place] !== is.element) this.body.insertBefore(is.element, this.body.children[place] ?? null);
      if (is.number.textContent !== String(place + 1)) is.number.textContent = place + 1;
      if (rows.size === 0 || rows.has(id) || store.faults.has(id) || is.faulty || !is.sound) this.result(id, is);
      is.element.classList.toggle("chosen", this.table === "pipe" && id === store.chosen);
    });
    this.focusNew();
  }

  heads() {
    const cells = this.metas.map((meta) => element("th", { scope: "col", role: "columnheader", "data-key": meta.key },
      element("span", { class: "head" }, meta.symbol ? symbol(meta) : null, element("span", {}, meta.head)),
      unitMenu(meta, () => this.relabel())));
    const results = this.table === "pipe" ? [
      ...RESULTS.map(([cell, word, unit]) => element("th", { scope: "col", role: "columnheader", class: "figure", "data-result": cell },
        element("span", { class: "head" }, say(word)), unit ? element("span", { class: "unit" }, unit) : null)),
      element("th", { scope: "col", role: "columnheader", "data-result": "status" }, element("span", { class: "head" }, say("status")))] : [];
    this.head.replaceChildren(element("tr", { role: "row" }, element("th", { scope: "col", role: "columnheader" }, say("row_number")), ...cells, ...results));
    const rest = store.forms.tables[this.table].filter((meta) => !this.metas.includes(meta));
    this.menu.replaceChildren(element("option", { value: "" }, `${say("columns")} +`),
      ...rest.map((meta) => element("option", { value: meta.key }, meta.help)));
    this.menu.hidden = rest.length === 0;
  }

  relabel() {
    for (const meta of this.metas) {
      for (const found of this.body.querySelectorAll(`td[data-key="${meta.key}"]`)) found.dataset.label = labelOf(meta);
    }
  }

  line(id) {
    const number = element("th", { scope: "row", role: "rowheader", class: "place" });
    const cells = this.metas.map((meta) => element("td", { role: "cell", "data-label": labelOf(meta), "data-key": meta.key },
      makeField({ row: id, path: [meta.key], meta, table: this.table, label: meta.help, short: true })));
    const results = this.table === "pipe" ? RESULTS.map(([cell, word]) =>
      element("td", { role: "cell", class: "figure result", "data-label": say(word), "data-result": cell })) : [];
    const status = this.table === "pipe" ? element("td", { role: "cell", class: "status", "data-label": say("status") }) : null;
    const made = { element: element("tr", { role: "row", "data-row": id }, number, ...cells, ...results, status), number, results, status };
    this.lines.set(id, made);
    this.near.observe(made.element);
    return made;
  }

  result(id, line) {
    if (this.table !== "pipe") return;
    const { result, first } = store.rows.get(id) ?? {};
    RESULTS.forEach(([cell, , , name, number], i) => {
      const found = line.results[i];
      put(found, result ? result.cells[cell] : "");
      found.dataset.name = `pipe${first}_${name}`;
      found.dataset.value = result ? number ? result[number] : result.cells[cell] : "";
    });
    const faults = store.faults.get(id) ?? [];
    const missing = faults.filter((fault) => fault.missing);
    const wrong = faults.length - missing.length;
    const open = [...new Set(missing.map((fault) => plain(String(fault.path.at(-1) ?? ""))))];
    const beside = result || faults.length ? [] : shared();
    const text = result ? result.cells.status : wrong ? say("faulty", { count: wrong })
      : open.length ? say("fill_in", { list: open.join(", ") }) : beside.join("; ");
    put(line.status, text);
    line.status.dataset.name = `pipe${first}_status`;
    line.status.title = [...faults.map((fault) => fault.text), ...(result?.notes ?? [])].join("\n");
    line.element.classList.toggle("holds", Boolean(result?.holds));
    line.element.classList.toggle("doubtful", Boolean(result && !result.holds));
    line.element.classList.toggle("faulty", wrong > 0);
    line.faulty = faults.length > 0;
    line.sound = Boolean(result);
  }

  enter(event) {
    const field = event.target.field;
    if (!field) return;
    this.last = { row: field.row, key: field.path[0] };
    if (!this.keeping) this.pick(null);
    this.choose(field.row);
  }

  choose(row) {
    if (this.table !== "pipe" || store.chosen === row) return;
    store.chosen = row;
    for (const [id, line] of this.lines) line.element.classList.toggle("chosen", id === row);
    document.dispatchEvent(new CustomEvent("chosen"));
  }

  cell(row, key) {
    return this.lines.get(row)?.element.querySelector(`[data-key="${key}"] :is(input, select)`);
  }

  move(down, right, keep = false) {
    const order = store.order[this.table];
    const place = order.indexOf(this.last.row) + down;
    const column = this.metas.findIndex((meta) => meta.key === this.last.key) + right;
    if (!order[place] || !this.metas[column]) return false;
    this.keeping = keep;
    this.cell(order[place], this.metas[column].key)?.focus();
    this.keeping = false;
    return true;
  }

  pick(range) {
    this.range = range;
    for (const found of this.body.querySelectorAll(".picked")) found.classList.remove("picked");
    for (const row of range ? this.picked() : []) this.cell(row, range.key)?.closest("td").classList.add("picked");
  }

  picked() {
    const order = store.order[this.table];
    const ends = [order.indexOf(this.range.from), order.indexOf(this.range.to)].sort((a, b) => a - b);
    return order.slice(ends[0], ends[1] + 1);
  }

  key(event) {
    const found = event.target;
    if (!found.field) return;
    const control = event.ctrlKey || event.metaKey;
    const letter = event.key.toLowerCase();
    const menu = found instanceof HTMLSelectElement;
    const whole = menu || (found.selectionStart === 0 && found.selectionEnd === found.value.length);
    const start = menu || whole || (found.selectionEnd === 0);
    const end = menu || whole || found.selectionStart === found.value.length;
    const vertical = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    if (control && letter === "d") this.fill();
    else if (control && event.key === "Enter") this.add();
    else if (event.key === "Enter") {
      if (!this.move(event.shiftKey ? -1 : 1, 0) && !event.shiftKey) this.add();
    } else if (vertical && event.shiftKey && !menu) {
      const from = this.range?.from ?? this.last.row;
      if (this.move(vertical, 0, true)) this.pick({ key: this.last.key, from, to: this.last.row });
    } else if (vertical && (!menu || control)) this.move(vertical, 0);
    else if (event.key === "ArrowLeft" && start) this.move(0, -1);
    else if (event.key === "ArrowRight" && end) this.move(0, 1);
    else return;
    event.preventDefault();
  }

  add(copied = "") {
    const id = fresh();
    this.wanted = { id, key: "name" };
    if (copied) edit({ do: "copy", row: copied, id });
    else edit({ do: "add", table: this.table, id, after: null });
  }

  focusNew() {
    if (!this.wanted) return;
    const found = this.cell(this.wanted.id, this.wanted.key);
    if (!found) return;
    this.wanted = null;
    found.focus();
  }

  // The rows picked take the value of the first; without any, the empty ones below this one.
  fill() {
    if (!this.last) return;
    const { row, key } = this.last;
    let rows = this.range && this.range.key === key ? this.picked() : null;
    if (!rows || rows.length < 2) {
      const order = store.order[this.table];
      const below = order.slice(order.indexOf(row) + 1);
      const full = below.findIndex((id) => store.rows.get(id)?.values[key] !== undefined);
      rows = [row, ...(full < 0 ? below : below.slice(0, full))];
    }
    if (rows.length > 1) edit({ do: "fill", rows, path: [key] });
  }

  sort(down) {
    edit({ do: "sort", table: this.table, key: this.last?.key ?? "name", down });
  }

  paste(event) {
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!event.target.field || !/[\t\n]/.test(text.replace(/\r?\n$/, ""))) return;
    event.preventDefault();
    const from = this.metas.findIndex((meta) => meta.key === this.last.key);
    const keys = this.metas.slice(from).map((meta) => meta.key);
    const units = Object.fromEntries(this.metas.map((meta) => [meta.key, unitOf(meta)]));
    event.target.field.dirty = false;
    edit({ do: "paste", table: this.table, row: this.last.row, keys, units, text, id: fresh() });
  }
}

// What keeps all pipes from a result: what is open in the tables that they share.
function shared() {
  const found = [];
  for (const [row, faults] of store.faults) {
    const of = store.rows.get(row);
    if (of?.table === "pipe" || row === "project") continue;
    const name = of ? `${say("resin")} ${of.values.name ?? ""}` : plain(row);
    found.push(`${name}: ${faults.map((fault) => plain(String(fault.path.at(-1) ?? fault.text))).join(", ")}`);
  }
  return found;
}

// What a cell is called where there is no head above it.
const labelOf = (meta) => (unitOf(meta) ? `${meta.head}, ${unitOf(meta)}` : meta.head);

function put(found, text) {
  if (found.textContent !== text) found.textContent = text;
}
