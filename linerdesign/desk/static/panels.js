// What stands below and beside the table: the form and the sheet of a pipe, criteria, review, comparison.

import { element, forget, makeField, metaOf, originMenu, plain, symbol, unitMenu } from "./fields.js";
import { call, edit, onChange, Refusal, say, store, take } from "./state.js";

const wait = (run, pause) => {
  let timer = 0;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(run, pause);
  };
};
const nameOf = (row) => store.rows.get(row)?.values.name ?? "";

// A line of a form: symbol, name, value, unit, source.
function formLine(row, table, meta, path, { origin = true, datum = null, before } = {}) {
  const field = makeField({ row, path, meta, table, label: meta.help, before });
  const name = datum ?? element("span", {}, meta.help);
  const source = origin && table === "pipe" && (meta.units.length || meta.group)
    ? originMenu(row, meta.key, meta.help) : null;
  return element("tr", {},
    element("td", { class: "of" }, meta.symbol ? symbol(meta) : null),
    element("th", { scope: "row" }, name, meta.limits ? element("small", { class: "limits" }, meta.limits) : null),
    element("td", { class: "quantity" }, field, " ", unitMenu(meta)),
    table === "pipe" ? element("td", {}, source) : null);
}

function formTable(caption, lines, heads = []) {
  return element("table", { class: "form" }, element("caption", {}, caption),
    heads.length ? element("thead", {}, element("tr", {}, ...heads.map((text) => element("th", { scope: "col" }, text)))) : null,
    element("tbody", {}, ...lines));
}

// Criteria, their limits and defaults, and the title block.
export function basis() {
  const criteria = document.getElementById("criteria");
  const part = (table, way, title) => formTable(title, store.forms.tables[table].map((meta) =>
    formLine("criteria", "criteria", meta, [...way, meta.key], { origin: false })));
  forget(criteria);
  criteria.replaceChildren(
    part("criteria", [], say("criteria")),
    element("details", {}, element("summary", {}, say("limits")), part("limits", ["limits"], "")),
    element("details", {}, element("summary", {}, say("defaults")), part("defaults", ["defaults"], "")));
  const project = document.getElementById("project");
  forget(project);
  project.replaceChildren(formTable(say("title_block"), store.forms.tables.project.map((meta) =>
    formLine("project", "project", meta, [meta.key], { origin: false }))));
  const title = document.getElementById("title-field");
  forget(title);
  const meta = metaOf("project", "title");
  title.replaceChildren(makeField({ row: "project", path: ["title"], meta, table: "project", label: meta.help }));
}

// The form of the chosen pipe. Of the keys that state one thing, a menu chooses the datum.
let formOf = "";
const datums = new Map();

function pipeForm() {
  const row = store.chosen;
  const container = document.getElementById("pipe");
  const values = store.rows.get(row)?.values;
  if (!values) {
    forget(container);
    container.replaceChildren();
    formOf = "";
    return;
  }
  const metas = store.forms.tables.pipe;
  const first = metas.filter((meta) => meta.required || meta.required_by || values[meta.key] !== undefined
    || meta.key === "resin" || meta.key === "length");
  const groups = Object.keys(store.forms.groups).filter((group) => group !== "pressure");
  const wanted = JSON.stringify([row, first.map((meta) => meta.key), [...datums], (values.station ?? []).map((s) => Object.keys(s)), store.order.resin.length]);
  if (wanted === formOf) {
    container.querySelector("h2").textContent = say("values_of", { name: values.name ?? "" });
    return;
  }
  if (container.contains(document.activeElement) && formOf.startsWith(JSON.stringify([row]).slice(0, -1))) return;
  formOf = wanted;
  forget(container);
  const shown = new Set();
  const lines = [];
  for (const meta of metas) {
    const group = groups.includes(meta.group) ? meta.group : "";
    if (group && !shown.has(group)) {
      shown.add(group);
      lines.push(...groupLines(row, values, group, shown));
    } else if (!group && first.includes(meta) && !shown.has(meta.key)) {
      shown.add(meta.key);
      lines.push(formLine(row, "pipe", meta, [meta.key]));
    }
  }
  const rest = metas.filter((meta) => !shown.has(meta.key));
  const heads = ["", "", say("value"), say("source")];
  const resin = store.forms.tables.resin.filter((meta) => meta.units.length && meta.symbol);
  container.replaceChildren(element("h2", { class: "name" }, say("values_of", { name: values.name ?? "" })),
    element("div", {},
      formTable("", lines, heads),
      element("div", {}, stations(row, values),
        element("details", {}, element("summary", {}, say("more_values")),
          formTable("", rest.map((meta) => formLine(row, "pipe", meta, [meta.key])), heads)),
        element("details", {}, element("summary", {}, say("resin_sources")),
          formTable("", resin.map((meta) => element("tr", {},
            element("td", { class: "of" }, symbol(meta)), element("th", { scope: "row" }, meta.help),
            element("td", {}, originMenu(row, meta.key, meta.help)))))))));
}

function groupLines(row, values, group, shown) {
  const metas = store.forms.tables.pipe.filter((meta) => meta.group === group);
  const given = metas.filter((meta) => values[meta.key] !== undefined);
  const place = `${row} ${group}`;
  const usual = store.forms.columns.pipe;
  const key = given[0]?.key ?? datums.get(place) ?? metas.find((meta) => usual.includes(meta.key))?.key ?? metas[0].key;
  const wanted = datums.get(place) ?? key;
  const meta = metaOf("pipe", wanted);
  const menu = element("select", { "aria-label": say("given_by") + " " + store.forms.groups[group] },
    ...metas.map((each) => element("option", { value: each.key, selected: each.key === wanted }, each.help)));
  menu.addEventListener("change", () => {
    datums.set(place, menu.value);
    formOf = "";
    menu.blur();
    pipeForm();
    document.querySelector(`#pipe [data-name$="_${menu.value}"]`)?.focus();
  });
  shown.add(wanted);
  // Another datum takes the place of the one given, once a value is typed for it.
  const before = () => given.filter((each) => each.key !== wanted && group !== "ovality")
    .filter((each) => store.rows.get(row)?.values[each.key] !== undefined)
    .map((each) => ({ do: "set", row, path: [each.key], text: "" }));
  const lines = [formLine(row, "pipe", meta, [wanted], { datum: menu, before })];
  for (const each of given) {
    if (each.key !== wanted) {
      shown.add(each.key);
      lines.push(formLine(row, "pipe", each, [each.key]));
    }
  }
  return lines;
}

function stations(row, values) {
  const found = values.station ?? [];
  const metas = store.forms.tables.station;
  const used = new Set(["at"]);
  for (const each of found) for (const key of Object.keys(each)) used.add(key);
  for (const meta of metas) if (["cover", "water"].includes(meta.group) && values[meta.key] !== undefined) used.add(meta.key);
  const columns = metas.filter((meta) => used.has(meta.key));
  const add = element("button", { type: "button" }, say("add_station"));
  add.addEventListener("click", () => {
    edit({ do: "set", row, path: ["station", found.length, "at"], text: found.length ? `station ${found.length + 1}` : "0 ft" });
    formOf = "";
  });
  const cell = (i, meta) => element("td", {}, makeField({
    row, path: ["station", i, meta.key], meta, table: "station", label: `${meta.help}, ${found[i].at ?? i + 1}` }));
  const remove = (i) => {
    const made = element("button", { type: "button", "aria-label": `${say("remove_station")} ${found[i].at ?? i + 1}` }, "\u00d7");
    made.addEventListener("click", () => {
      edit({ do: "set", row, path: ["station", i], text: "" });
      formOf = "";
    });
    return element("td", {}, made);
  };
  const table = found.length ? element("table", { class: "entry" }, element("caption", {}, say("station_help")),
    element("thead", {}, element("tr", {}, ...columns.map((meta) => element("th", { scope: "col" }, meta.symbol ? symbol(meta) : null, ` ${meta.head}`, unitMenu(meta))), element("th", {}))),
    element("tbody", {}, ...found.map((_, i) => element("tr", {}, ...columns.map((meta) => cell(i, meta)), remove(i))))) : null;
  return element("div", {}, element("h3", {}, say("stations")), table ? element("div", { class: "wide" }, table) : element("p", {}, say("station_help")), add);
}

// The sheet of the chosen pipe, as the issued page has it.
let sheetShown = "";
const sheet = wait(async () => {
  const container = document.getElementById("sheet");
  const row = store.chosen;
  const result = store.rows.get(row)?.result;
  const place = `${row} ${store.revision}`;
  if (document.getElementById("view-design").hidden || place === sheetShown) return;
  if (!result) {
    container.replaceChildren(row ? element("div", { class: "empty" }, element("p", {}, say("no_sheet")), open(row)) : "");
    sheetShown = place;
    return;
  }
  try {
    const data = await call(`sheet/${row}`);
    if (row !== store.chosen) return;
    container.innerHTML = data.markup;
    container.classList.remove("old");
    sheetShown = place;
  } catch { /* said elsewhere; the next change asks again */ }
}, 300);

// What keeps a pipe from its calculation: its own faults, then those of what all pipes share.
function open(row) {
  const own = [...store.faults].filter(([at]) => at === row || store.rows.get(at)?.table !== "pipe");
  const texts = own.flatMap(([, faults]) => faults.map((fault) =>
    (fault.missing ? fault.text : `${plain(String(fault.path.at(-1) ?? ""))}: ${fault.text}`)));
  return element("ul", {}, ...texts.slice(0, 30).map((text) => element("li", {}, text)));
}

// The review of one pipe: theirs, ours, what follows from theirs, and the comments.
let reviewOf = "";
let added = [];

function statedKeys(values) {
  const stated = values.stated ?? {};
  const own = store.forms.tables.stated.map((meta) => ({ name: meta.key, meta, path: ["stated", meta.key] }));
  const symbols = new Map(store.forms.steps.map((each) => [each.symbol, each]));
  const steps = [...new Set([...Object.keys(stated.steps ?? {}), ...added])].map((name) => {
    const { unit = "", meaning = "" } = symbols.get(name) ?? {};
    const meta = { key: name, kind: "step", help: meaning, head: name, choices: [], units: unit ? [unit] : [], unit,
      words: [], group: "", limits: "", default: "", example: "", symbol: "" };
    return { name, meta, path: ["stated", "steps", name] };
  });
  return [...own, ...steps];
}

function reviewTable() {
  const row = store.chosen;
  const values = store.rows.get(row)?.values;
  const container = document.getElementById("stated");
  const menu = document.getElementById("review-pipe");
  menu.replaceChildren(...store.order.pipe.map((id) => element("option", { value: id, selected: id === row }, nameOf(id))));
  if (!values) return container.replaceChildren();
  const lines = statedKeys(values);
  const wanted = JSON.stringify([row, lines.map((line) => line.name)]);
  if (wanted === reviewOf) return;
  reviewOf = wanted;
  forget(container);
  const heads = ["item", "submitted", "ours", "difference", "replayed", "place"].map((name) => element("th", { scope: "col" }, say(name)));
  const body = lines.map((line) => element("tr", { "data-item": line.name },
    element("th", { scope: "row" }, line.path.length > 2 ? line.name : line.meta.help,
      line.path.length > 2 ? element("small", {}, ` ${line.meta.help}`) : null),
    element("td", { class: "quantity" }, makeField({ row, path: line.path, meta: line.meta, table: "stated", label: `${say("submitted")} ${line.name}` }), " ", unitMenu(line.meta)),
    ...["ours", "difference", "replayed", "at"].map((name) => element("td", { class: "figure", "data-cell": name }))));
  const add = element("select", { "aria-label": say("add_item") }, element("option", { value: "" }, say("add_item")),
    ...store.forms.steps.map((each) => element("option", { value: each.symbol }, `${each.symbol}: ${each.meaning}`)));
  add.addEventListener("change", () => {
    added.push(add.value);
    const name = add.value;
    reviewTable();
    container.querySelector(`[data-item="${CSS.escape(name)}"] input`)?.focus();
    review();
  });
  container.replaceChildren(element("div", { class: "wide" }, element("table", { class: "entry stated" },
    element("caption", { class: "skip" }, nameOf(row)), element("thead", {}, element("tr", {}, ...heads)), element("tbody", {}, ...body))), add);
}

const review = wait(async () => {
  if (document.getElementById("view-review").hidden || !store.chosen) return;
  reviewTable();
  const aside = document.getElementById("comments");
  const stated = store.rows.get(store.chosen)?.values.stated;
  if (!stated) {
    showReview({ lines: [] });
    aside.replaceChildren(element("p", {}, say("nothing_stated")));
    return;
  }
  try {
    const data = await call(`review/${store.chosen}`);
    showReview(data);
    aside.replaceChildren(...comments(data));
  } catch (error) {
    if (!(error instanceof Refusal)) return;
    showReview({ lines: [] });
    aside.replaceChildren(element("p", { class: "flags" }, error.message));
  }
}, 250);

function showReview(data) {
  const found = new Map(data.lines.map((line) => [line.item, line]));
  for (const row of document.querySelectorAll("#stated tr[data-item]")) {
    const line = found.get(row.dataset.item);
    const cells = Object.fromEntries([...row.querySelectorAll("[data-cell]")].map((cell) => [cell.dataset.cell, cell]));
    const share = line?.difference ?? null;
    const number = share === null ? "" : (100 * share).toFixed(1).replace(/^-0\.0$/, "0.0").replace("-", "\u2212");
    const percent = number && `${number} %`;
    const cause = line?.cause ? say(line.cause) : "";
    cells.ours.textContent = line?.ours ?? "";
    cells.difference.textContent = line ? `${percent} ${line.agrees ? say("agrees") : say("differs")}` : "";
    cells.replayed.textContent = line ? [line.replayed, cause].filter(Boolean).join(", ") : "";
    cells.at.textContent = line?.at ?? "";
    row.classList.toggle("doubtful", Boolean(line && (!line.agrees || line.cause === "here")));
  }
}

function* comments(data) {
  yield element("h2", {}, say("comments"));
  yield element("p", {}, say("disposition", { text: data.disposition }));
  if (data.verdict) yield element("p", {}, say("verdict", { text: data.verdict }));
  for (const weight of ["correction", "question", "remark"]) {
    const own = data.comments.filter((each) => each.weight === weight);
    if (own.length === 0) continue;
    yield element("h3", {}, say(weight));
    yield element("ol", {}, ...own.map((each) => element("li", { value: each.number }, each.text, each.at ? ` (${each.at})` : "")));
  }
  if (data.contradictions.length) {
    yield element("h3", {}, say("contradictions"));
    yield element("ul", {}, ...data.contradictions.map((text) => element("li", {}, text)));
  }
}

// A submitted document, read; what is not sure waits to be taken.
async function upload(file) {
  const container = document.getElementById("reading");
  container.replaceChildren(element("progress", { "aria-label": say("working") }));
  try {
    const data = await call(`submittal?name=${encodeURIComponent(file.name)}`, file);
    store.revision = 0;
    reviewOf = "";
    take(data.state);
    const { unsure, not_understood: rest } = data.reading;
    const takeButton = (each) => {
      const made = element("button", { type: "button" }, say("take"));
      made.addEventListener("click", () => {
        const path = each.path[0] === "stated" ? each.path : [each.path.at(-1)];
        edit({ do: "set", row: store.chosen, path, text: each.value });
        made.closest("li").remove();
      });
      return made;
    };
    container.replaceChildren(
      ...(unsure.length ? [element("h3", {}, say("unsure")), element("ul", {}, ...unsure.map((each) => element("li", {},
        `${each.pipe ? `${each.pipe}: ` : ""}${plain(each.path.at(-1))} = ${each.value} (${each.at}: ${each.text}; ${each.why}) `, takeButton(each))))] : []),
      ...(rest.length ? [element("h3", {}, say("not_understood")), element("ul", {}, ...rest.map((each) => element("li", {}, `${each.text} (${each.at}): ${each.why}`)))] : []));
  } catch (error) {
    container.replaceChildren(element("p", { class: "flags", role: "alert" }, error.message));
  }
}

// The comparison: systems as columns, then the report with its pictures.
let comparing = "";

async function runCompare() {
  const container = document.getElementById("comparison");
  const bar = document.getElementById("comparing");
  const refuse = (text) => container.replaceChildren(element("p", { class: "flags", role: "alert" }, text));
  busy(true);
  try {
    let job = await call("compare", { by: document.getElementById("compare-by").value });
    comparing = job.id;
    while (job.state === "running") {
      bar.max = job.stages;
      bar.value = job.stage;
      await new Promise((done) => setTimeout(done, 250));
      job = await call(`jobs/${job.id}`);
    }
    if (job.state === "done") container.innerHTML = await (await fetch(`jobs/${job.id}/file`)).text();
    else if (job.state === "failed") refuse(job.text);
  } catch (error) {
    if (error instanceof Refusal) refuse(error.message);
  }
  busy(false);
}

function busy(yes) {
  document.getElementById("comparing").hidden = !yes;
  document.getElementById("stop-compare").hidden = !yes;
  document.getElementById("run-compare").disabled = yes;
}

export function panels() {
  document.addEventListener("chosen", () => {
    pipeForm();
    sheet();
    review();
  });
  document.getElementById("review-pipe").addEventListener("change", (event) => {
    store.chosen = event.target.value;
    added = [];
    document.dispatchEvent(new CustomEvent("chosen"));
  });
  document.getElementById("submittal").addEventListener("change", (event) => {
    if (event.target.files[0]) upload(event.target.files[0]);
    event.target.value = "";
  });
  document.getElementById("run-compare").addEventListener("click", runCompare);
  document.getElementById("stop-compare").addEventListener("click", () =>
    call(`jobs/${comparing}`, undefined, { method: "DELETE" }).catch(() => {}));
  onChange(() => {
    pipeForm();
    sheet();
    review();
  });
  document.getElementById("pipe").addEventListener("focusout", () => setTimeout(pipeForm, 0));
  pipeForm();
  sheet();
}

export function viewed() {
  sheetShown = "";
  reviewOf = "";
  sheet();
  review();
}
