// Reads the fields, has `page_calculation.js` calculate, and shows what follows.

const named = new Map();
const fields = [];
// What each field holds: its pipe and the key of its quantity.
const held = new Map();
// The fields that repeat the value of one, by its name.
const sharers = new Map();
const issuedValue = (field) => Number(field.dataset.value);
const isChanged = (field) => field.value.trim() !== field.defaultValue;
const quantityOf = (field) => {
  const { pipe, key } = held.get(field);
  return data.calculations[pipe.calculation].quantities[key];
};

// A sentence of the catalogue with its blanks filled.
const filled = (text, blanks) => text.replace(/\{(\w+)\}/g, (_, blank) => blanks[blank]);
const say = (name, blanks = {}) => filled(data.words[name], blanks);

// The text of a field as a number; null where the project file would refuse it.
function reading(field) {
  if (!isChanged(field)) return issuedValue(field);
  const text = field.value.trim();
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text)) return null;
  const value = Number(text);
  const { over, least, under, most } = quantityOf(field);
  const fits =
    (over === undefined || value > over) &&
    (least === undefined || value >= least) &&
    (under === undefined || value < under) &&
    (most === undefined || value <= most);
  return fits ? value : null;
}

function statedFields(pipe, i) {
  const { in_words, quantities } = data.calculations[pipe.calculation];
  return in_words.map((key) => named.get(`${pipe.prefixes[i]}${quantities[key].name}_stated`));
}

function readPipe(pipe) {
  const { inputs, quantities } = data.calculations[pipe.calculation];
  const used = [];
  const given = pipe.stations.map((_, i) => {
    const values = {};
    for (const key of inputs) {
      const found = named.get(pipe.prefixes[i] + quantities[key].name);
      const field = found instanceof HTMLInputElement;
      if (field) used.push(found);
      values[key] = field ? reading(found) : Number(found.dataset.value);
    }
    // A number in place of what the project says in words.
    for (const field of statedFields(pipe, i)) {
      used.push(field);
      if (isChanged(field)) values[`${held.get(field).key}_stated`] = reading(field);
    }
    return values;
  });
  return { given, used, faults: faultsOf(pipe, given, used) };
}

// A comma means thousands here and decimals there: neither is guessed.
function expectedIn(field) {
  return /\d,\d/.test(field.value) ? say("no_comma") : quantityOf(field).expected;
}

// The fields that can't be as they are, each with what was expected.
function faultsOf(pipe, given, used) {
  const { refusals, quantities } = data.calculations[pipe.calculation];
  const faults = new Map();
  for (const field of used) {
    if (reading(field) === null) faults.set(field, expectedIn(field));
  }
  if (faults.size > 0) return faults;
  given.forEach((values, i) => {
    for (const { key, broken, expected } of refusals) {
      const field = named.get(pipe.prefixes[i] + quantities[key].name);
      if (compute[broken](values)) faults.set(named.get(field.dataset.shares) ?? field, expected);
    }
  });
  return faults;
}

// Showing

function remember(found) {
  if (found.issued === undefined) {
    found.issued = {
      text: found.textContent, value: found.dataset.value, hidden: found.hidden,
      className: found.getAttribute("class") ?? "",
    };
  }
  return found.issued;
}

function put(found, text) {
  remember(found);
  if (found.textContent !== text) found.textContent = text;
}

// What weighs on the result, in its cell of a table.
function strengthen(text, strong) {
  remember(text.parentElement);
  text.parentElement.classList.toggle("strong", strong);
}

function hide(found, hidden) {
  remember(found);
  found.hidden = hidden;
}

function restoreElement(found) {
  const { issued } = found;
  if (issued === undefined) return;
  found.hidden = issued.hidden;
  found.setAttribute("class", issued.className);
  if (issued.value !== undefined) found.dataset.value = issued.value;
  if (!found.firstElementChild) found.textContent = issued.text;
}

function mark(found, changed, issuedText) {
  const line = found.closest(".line");
  if (!line) return;
  line.classList.toggle("changed", changed);
  const note = line.querySelector(".issued");
  const before = remember(line).hidden ? say("not_applied") : say("issued", { text: issuedText });
  put(note, changed ? ` ${before}` : "");
  hide(note, !changed);
}

// A value as print shows it: thousands set apart, a real minus, powers of its unit raised.
const inPrint = (text) =>
  text
    .replace(/(^|[^\d.])(\d{5,})/g, (_, before, digits) =>
      before + digits.replace(/\B(?=(\d{3})+$)/g, ","))
    .replace(/-/g, "\u2212")
    .replace(/\^(\d)/g, (_, power) => "⁰¹²³⁴⁵⁶⁷⁸⁹"[power]);

function showValue(found, value, quantity, system) {
  const issued = remember(found);
  const before = Number(issued.value);
  const changed = !(Math.abs(value - before) <= 1e-12 * Math.abs(before));
  found.dataset.value = changed ? String(value) : issued.value;
  // What all stations share is shown once; the elements of the further stations only hold it.
  if (found.hidden) return changed;
  put(found, changed ? inPrint(withUnit(value, quantity, system)) : issued.text);
  mark(found, changed, issued.text);
  return changed;
}

function showLine(pipe, design, line, i, values) {
  const { quantities, system } = design.calculation;
  const found = named.get(pipe.prefixes[i] + quantities[line.key].name);
  const changed = showValue(found, values[line.key], quantities[line.key], system);
  if (found.hidden) return;
  const row = found.closest(".line");
  const holds = applies(line, values);
  hide(row, !holds);
  showUses(row);
  const numbers = row.querySelector(".numbers");
  const moved = changed || row.querySelector(".uses .changed") !== null;
  numbers.issued ??= { parts: [...numbers.childNodes] };
  if (!moved) numbers.replaceChildren(...numbers.issued.parts);
  else if (line.pattern === null || `${line.key}_stated` in values) numbers.replaceChildren();
  else numbers.textContent = `= ${substituted(line.pattern, values)}`;
  const flags = holds ? flagged(line, values) : [];
  row.querySelector(".flags").replaceChildren(...flags.map(({ text }) => made("p", `! ${text}`)));
}

const substituted = (pattern, values) =>
  pattern.replace(/\{(\w+)\}/g, (_, key) =>
    values[key] < 0 ? `(${positional(values[key])})` : positional(values[key]));

function showUses(row) {
  for (const link of row.querySelectorAll(".uses a")) {
    const target = document.getElementById(link.getAttribute("href").slice(1));
    link.classList.toggle("changed", target.classList.contains("changed"));
    hide(link, target.hidden);
  }
}

const flagged = (line, values) => line.limits.filter((limit) => values[limit.left]);

function made(tag, text) {
  const element = document.createElement(tag);
  element.textContent = text;
  return element;
}

// A line that all stations share has no element of its own at the second one.
const shared = (line, pipe, { calculation: { quantities } }) =>
  pipe.stations.length === 1 ||
  named.get(pipe.prefixes[1] + quantities[line.key].name).hidden;

function showNotes(section, pipe, design) {
  const { requirement, choice, verification } = design.calculation;
  const raised = new Map();
  const see = (line, values, station) => {
    if (!applies(line, values)) return;
    for (const { text, severity } of flagged(line, values)) {
      raised.set(station === null ? text : `${text} (at ${station})`, severity);
    }
  };
  for (const line of [...requirement, ...verification]) {
    if (shared(line, pipe, design)) see(line, design.final[0], null);
    else design.final.forEach((values, i) => see(line, values, pipe.stations[i]));
  }
  for (const line of choice) see(line, design.final[design.worst], null);
  for (const { key, text, severity, ofPipe } of design.calculation.watched) {
    if (ofPipe || pipe.stations.length === 1) {
      if (design.of[key]) raised.set(text, severity);
      continue;
    }
    design.final.forEach((values, i) => {
      if (values[key]) raised.set(`${text} (at ${pipe.stations[i]})`, severity);
    });
  }
  for (const text of pipe.legs ? showLegs(pipe, design) : []) raised.set(text, data.caution);
  for (const part of section.querySelectorAll("[data-severity]")) {
    const list = part.querySelector("ul");
    if (!list.issued) list.issued = { items: [...list.children] };
    const kept = list.issued.items.filter((item) => item.dataset.raised === undefined);
    const found = [...raised].filter(([, severity]) => severity === part.dataset.severity);
    list.replaceChildren(...kept, ...found.map(([text]) => made("li", text)));
    hide(part, list.children.length === 0);
  }
}

function showChecks(section, pipe, design) {
  const { quantities, system } = design.calculation;
  for (const row of section.querySelectorAll("[data-check]")) {
    const check = design.checks.find((each) =>
      each.equation === row.dataset.check && pipe.first + each.station === Number(row.dataset.n));
    hide(row, check === undefined);
    if (check === undefined) continue;
    const { unit } = quantities[check.quantity];
    const texts = {
      required: bothUnits(check.required, system),
      demand: `${positional(check.demand, 5)} ${unit}`.trim(),
      capacity: `${positional(check.capacity, 5)} ${unit}`.trim(),
      safety: factor(check.safety),
      verdict: data.verdicts[check.passes],
    };
    for (const cell of row.querySelectorAll("[data-cell]")) put(cell, texts[cell.dataset.cell]);
    row.classList.toggle("fails", !check.passes);
  }
}

function showBars(section, pipe, design) {
  const worst = new Map();
  for (const check of design.checks) {
    const before = worst.get(check.equation);
    const ratio = check.demand / check.capacity;
    if (!before || ratio > before.ratio) worst.set(check.equation, { ...check, ratio });
  }
  const bars = section.querySelector(".check-bar").ownerSVGElement;
  if (!bars.issued) bars.issued = { groups: [...bars.querySelectorAll(".check-bar")] };
  const { one, most, top, row } = Object.fromEntries(
    ["one", "most", "top", "row"].map((key) => [key, Number(bars.dataset[key])]));
  for (const group of bars.querySelectorAll(".check-bar")) group.remove();
  const limit = bars.querySelector(".limit");
  [...worst.values()].forEach((check, place) => {
    const group = bars.issued.groups[0].cloneNode(true);
    group.setAttribute("transform", `translate(0 ${top + place * row})`);
    group.querySelector(".check").textContent = check.equation;
    group.querySelector(".place").textContent = pipe.stations[check.station] ?? "";
    group.querySelector(".ratio").textContent = positional(check.ratio, 3);
    const bar = group.querySelector(".bar");
    bar.setAttribute("width", one * Math.min(Math.max(check.ratio, 0), most));
    bar.setAttribute("class", `bar ${check.passes ? "passes" : "fails"}`);
    bars.insertBefore(group, limit);
  });
  resizeBars(bars, top + worst.size * row, [...worst.values()]);
}

function resizeBars(bars, height, checks) {
  const width = bars.viewBox.baseVal.width;
  bars.setAttribute("viewBox", `0 0 ${width} ${height}`);
  bars.setAttribute("height", height);
  bars.querySelector(".paper").setAttribute("height", height);
  bars.querySelector(".limit").setAttribute("y2", height - 6);
  const words = checks.map(({ equation, ratio, passes }) =>
    `${equation} ${positional(ratio, 3)}, ${passes ? "passes" : "fails"}`);
  bars.setAttribute("aria-label", say("bars", { list: words.join("; ") }));
}

const summaries = (section, key) => section.querySelectorAll(`[data-show="${key}"]`);

function factorOf({ of, legs }) {
  const known = [leastOf(of), legs.factor ?? null].filter((each) => each !== null);
  return known.length > 0 ? Math.min(...known) : null;
}

function showSummary(section, pipe, design) {
  const { calculation: { system }, chosen, of, final, worst } = design;
  const { governing } = final[worst];
  const place = pipe.stations[worst];
  const status = of.status_with_legs;
  const texts = {
    status,
    nominal: bothUnits(chosen.t, system),
    required: bothUnits(of.thickest, system),
    governing: governing + (place === null ? "" : ` at ${place}`)
      + (of.minimum_governs ? data.floor : ""),
  };
  for (const [key, text] of Object.entries(texts)) {
    for (const found of summaries(section, key)) put(found, text);
  }
  const sound = data.sound.includes(status);
  section.querySelector(".summary").classList.toggle("doubtful", !sound);
  showRow(pipe, design, status, section.querySelectorAll("[data-severity] li").length);
}

const rowOf = (pipe) => [...document.querySelectorAll(`[data-schedule="${pipe.first}"] bdi`)];

function governedCell(pipe, { governing }, of, worst) {
  const station = pipe.stations[worst];
  const equation = station === null ? governing : filled(data.at, { what: governing, station });
  return of.minimum_governs ? filled(data.minimum, { equation }) : equation;
}

// The pipe's row of the schedule, written as the program writes it.
function showRow(pipe, design, status, cautions) {
  const { calculation: { system }, final, of, chosen, worst } = design;
  const told = cautions === 0 ? "" : `, ${cautions} caution${cautions > 1 ? "s" : ""}`;
  const values = final[worst];
  const texts = {
    governing: governedCell(pipe, values, of, worst),
    required: inMillimetres(of.thickest, system).toFixed(2),
    nominal: positional(inMillimetres(chosen.t, system), 5),
    safety: factor(factorOf(design)),
    status: status + told,
  };
  const [leg] = design.legs.places ?? [];
  if (leg) texts.tube = positional(inMillimetres(leg.t_tube, system), 5);
  for (const [column, key] of Object.entries(data.columns)) {
    if (values[key] !== undefined) texts[column] = inPrint(positional(values[key], 4));
  }
  for (const cell of rowOf(pipe)) {
    const text = texts[cell.dataset.column];
    if (text !== undefined) put(cell, text);
    if (cell.dataset.column === "status") strengthen(cell, !data.sound.includes(status));
  }
}

const legRows = (pipe) => document.querySelectorAll(`[data-legs="${pipe.first}"]  tbody bdi`);

// The table of the legs: of several stations that a leg has, the worst.
function showLegs(pipe, { calculation: { system, quantities }, legs }) {
  const worst = pipe.legs.names.map((_, leg) => {
    const places = legs.places.filter((_, i) => pipe.legs.places[i].leg === leg);
    const factors = places.filter(({ bore, rated }) => bore && rated).map((each) => each.least_factor);
    return {
      ...places[0],
      required: Math.max(...places.map(({ needed }) => needed)),
      safety: factors.length > 0 ? Math.min(...factors) : null,
      serves: places.every(({ serves }) => serves),
    };
  });
  const { unit } = quantities.D;
  const inches = (value) => `${positional(value, 5)} ${unit}`;
  const millimetres = (value) => inMillimetres(value, system).toFixed(2);
  for (const cell of legRows(pipe)) {
    const { column } = cell.dataset;
    const each = worst[cell.closest("tr").dataset.row];
    const texts = {
      diameter: inches(each.D_leg),
      tube_diameter: inches(each.D_tube),
      tube: positional(inMillimetres(each.t_tube, system), data.figures),
      stretch: each.x_stretch.toFixed(1),
      delivered: millimetres(each.t_leg),
      least: millimetres(each.t),
      required: millimetres(each.required),
      safety: factor(each.safety),
      verdict: data.legVerdicts[each.serves],
    };
    if (texts[column] !== undefined) put(cell, texts[column]);
    if (column === "verdict") strengthen(cell, !each.serves);
  }
  return worst.flatMap(({ serves, t, required }, leg) => (serves ? [] : [say("leg_fails", {
    at: pipe.legs.names[leg], least: bothUnits(t, system), required: bothUnits(required, system),
  })]));
}

function showDesign(section, pipe, design) {
  const { requirement, choice, verification, quantities, system } = design.calculation;
  const all = design.final.map((values) =>
    ({ ...values, ...Object.fromEntries(choice.map(({ key }) => [key, design.chosen[key]])) }));
  // In the order of the sheet, so that a line finds the lines that it uses already marked.
  for (const line of requirement) all.forEach((values, i) => showLine(pipe, design, line, i, values));
  all.forEach((_, i) => {
    const found = named.get(pipe.prefixes[i] + data.thickest);
    if (found) showWorst(found, design, quantities.t_required, system);
  });
  for (const line of choice) {
    const values = { ...design.final[design.worst], ...design.chosen };
    all.forEach((_, i) => showLine(pipe, design, line, i, values));
  }
  for (const line of verification) {
    all.forEach((values, i) => showLine(pipe, design, line, i, values));
  }
  showChecks(section, pipe, design);
  showBars(section, pipe, design);
  showNotes(section, pipe, design);
  showSummary(section, pipe, design);
}

function showWorst(found, design, quantity, system) {
  showValue(found, design.of.thickest, quantity, system);
  if (found.hidden) return;
  const row = found.closest(".line");
  showUses(row);
  const numbers = design.first.map((values) => positional(values.t_required)).join(", ");
  put(row.querySelector(".numbers > span"), `= max(${numbers})`);
}

// Nothing is shown for inputs that give nothing: every result of the pipe is blanked.
function showNothing(section, pipe, reason) {
  for (const found of section.querySelectorAll("[data-name]:not(input)")) {
    if (found.closest(".inputs")) continue;
    remember(found);
    found.dataset.value = "";
    put(found, "–");
    mark(found, true, found.issued.text);
  }
  for (const numbers of section.querySelectorAll(".numbers")) {
    numbers.issued ??= { parts: [...numbers.childNodes] };
    numbers.replaceChildren();
  }
  const gone = "[data-check], .uses, figure:has(svg[data-one])";
  for (const found of section.querySelectorAll(gone)) hide(found, true);
  for (const flags of section.querySelectorAll(".flags")) flags.replaceChildren();
  for (const cell of section.querySelectorAll("[data-show]")) put(cell, "–");
  for (const found of summaries(section, "status")) put(found, reason);
  for (const cell of legRows(pipe)) if (cell.dataset.column !== "leg") put(cell, "–");
  for (const cell of rowOf(pipe)) {
    const { column } = cell.dataset;
    if (!["number", "name", "length", "condition"].includes(column)) put(cell, column === "status" ? reason : "–");
  }
  section.querySelector(".summary").classList.add("doubtful");
}

function restoreSection(section) {
  for (const found of section.querySelectorAll("*")) {
    if (found.issued?.items) found.replaceChildren(...found.issued.items);
    else if (found.issued?.parts) found.replaceChildren(...found.issued.parts);
    else if (found.issued?.className !== undefined) restoreElement(found);
    found.classList.remove("changed");
  }
  for (const line of section.querySelectorAll(".lines > .line")) {
    line.querySelector(".flags").replaceChildren(...issuedFlags.get(line));
  }
  const bars = section.querySelector("svg[data-one]");
  bars.replaceWith(issuedBars.get(section).cloneNode(true));
}

const sectionOf = (pipe) => document.getElementById(pipe.section);
const issuedBars = new Map();
const issuedFlags = new Map();

// Makes the fields and values of a sheet known, once it is part of the page.
function register(pipe) {
  const section = sectionOf(pipe);
  for (const found of section.querySelectorAll("[data-name]")) named.set(found.dataset.name, found);
  const { inputs, in_words, quantities } = data.calculations[pipe.calculation];
  const know = (field, key) => {
    field.value = field.defaultValue;
    fields.push(field);
    held.set(field, { pipe, key });
    const owner = field.dataset.shares;
    if (owner) sharers.set(owner, [...(sharers.get(owner) ?? []), field]);
  };
  pipe.prefixes.forEach((prefix, i) => {
    for (const key of inputs) {
      const field = named.get(prefix + quantities[key].name);
      if (field instanceof HTMLInputElement) know(field, key);
    }
    for (const field of statedFields(pipe, i)) {
      know(field, in_words.find((key) => field.dataset.name.endsWith(`${quantities[key].name}_stated`)));
    }
  });
  issuedBars.set(section, section.querySelector("svg[data-one]").cloneNode(true));
  for (const line of section.querySelectorAll(".lines > .line")) {
    issuedFlags.set(line, [...line.querySelector(".flags").childNodes]);
  }
}

// Adds to the lines of a sheet their formulas, and links to the values that they use.
function fill(pipe) {
  if (pipe.filled) return;
  pipe.filled = true;
  const { requirement, choice, verification } = data.calculations[pipe.calculation];
  const places = pipe.prefixes.map((prefix) => prefix.slice(0, -1));
  const rowOf = (place, key) =>
    document.getElementById(`${place}-${key}`) ?? document.getElementById(`${places[0]}-${key}`);
  for (const line of [...requirement, ...choice, ...verification]) {
    for (const place of places) {
      const row = document.getElementById(`${place}-${line.key}`);
      if (!row) continue;
      const typed = row.querySelector(".typed");
      typed.before(document.querySelector(`#equation${line.entry} .formula`).cloneNode(true));
      typed.remove();
      row.querySelector(".numbers").after(links(line.needs.map((key) => rowOf(place, key))));
    }
  }
  const worst = document.getElementById(`${places[0]}-${data.thickest}`);
  if (worst) {
    const rows = places.map((place) => document.getElementById(`${place}-t_required`));
    worst.querySelector(".numbers").after(links(rows));
  }
}

function links(rows) {
  const list = made("p", "");
  list.className = "uses";
  list.setAttribute("aria-label", say("values_used"));
  for (const row of rows.filter((each) => each !== null)) {
    const link = made("a", "");
    link.href = `#${row.id}`;
    link.append(row.querySelector("var").cloneNode(true));
    link.title = (row.querySelector("label") ?? row.querySelector(".meaning, th")).textContent;
    link.hidden = row.hidden;
    list.append(link, " ");
  }
  return list;
}

function update(pipe) {
  if (packed.length === 0 || pipe.near) fill(pipe);
  const section = sectionOf(pipe);
  const { given, used, faults } = readPipe(pipe);
  restoreSection(section);
  for (const cell of [...rowOf(pipe), ...legRows(pipe)]) {
    restoreElement(cell.parentElement);
    restoreElement(cell);
  }
  showShared(section);
  for (const field of used) {
    field.setAttribute("aria-invalid", String(faults.has(field)));
    if (field.hidden) continue;
    mark(field, isChanged(field), inPrint(field.defaultValue));
    if (faults.has(field)) refuse(field, faults.get(field));
  }
  if (!used.some(isChanged)) return;
  if (faults.size > 0) return showNothing(section, pipe, say("impossible"));
  const found = design(pipe, given);
  if (!found.finite) return showNothing(section, pipe, say("no_thickness"));
  showDesign(section, pipe, found);
}

// What stands in a field elsewhere on the page.
function showShared(section) {
  for (const found of section.querySelectorAll("[data-of]")) {
    const field = named.get(found.dataset.of);
    const changed = isChanged(field);
    const { text } = remember(found);
    put(found, changed ? inPrint(`${field.value} ${quantityOf(field).unit}`.trim()) : text);
    mark(found, changed, text);
  }
}

// Pipes to be calculated anew: some at once, the others when the page has time.
const waiting = new Set();
function updateSoon(pipes) {
  for (const pipe of pipes) waiting.add(pipe);
  for (const pipe of [...waiting].slice(0, data.atOnce)) {
    waiting.delete(pipe);
    update(pipe);
  }
  if (waiting.size > 0) setTimeout(() => updateSoon([]));
}

function refuse(field, expected) {
  const note = field.closest(".line").querySelector(".issued");
  put(note, ` ${say("refused", { expected, text: field.defaultValue })}`);
  hide(note, false);
}

const changes = document.getElementById("changes");
function showBanner() {
  const changed = fields.filter((field) => !field.hidden && isChanged(field));
  const any = fields.some(isChanged);
  document.getElementById("banner").hidden = !any;
  document.body.classList.toggle("is-changed", any);
  for (const found of document.querySelectorAll(".when-changed")) found.hidden = !any;
  const count = changed.length;
  put(changes, any ? say(count === 1 ? "changed_one" : "changed", { count }) : "");
}

function edited({ target }) {
  if (!held.has(target)) return;
  const owner = named.get(target.dataset.shares) ?? target;
  const group = [owner, ...(sharers.get(owner.dataset.name) ?? [])];
  for (const field of group) field.value = target.value;
  held.get(target).pipe.near = true;
  updateSoon(group.map((field) => held.get(field).pipe));
  showBanner();
}

// Where this browser does not give the issued values, it must not show others.
function reproduces(pipe) {
  const { calculation, chosen, finite, of } = design(pipe, readPipe(pipe).given);
  const [status] = summaries(sectionOf(pipe), "status");
  const issued = (key) =>
    Number(named.get(pipe.prefixes[0] + calculation.quantities[key].name).dataset.value);
  const same = Math.abs(chosen.t / issued("t") - 1) <= data.same;
  return finite && same && of.status_with_legs === status.textContent;
}

// A packed piece of the page as elements.
async function unpacked(piece) {
  const bytes = Uint8Array.from(atob(piece), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  const text = await new Response(stream).text();
  return document.createRange().createContextualFragment(text);
}

const isHere = (pipe) => sectionOf(pipe) !== null;
const near = new IntersectionObserver((entries) => {
  for (const { isIntersecting, target } of entries) {
    if (!isIntersecting) continue;
    const pipe = data.pipes.find(({ section }) => section === target.id);
    pipe.near = true;
    if (pipe.filled) continue;
    fill(pipe);
    if (document.body.classList.contains("is-changed")) update(pipe);
  }
}, { rootMargin: "1500px" });

function open(pipes) {
  pipes.forEach(register);
  const sound = pipes.every(reproduces);
  for (const pipe of pipes) {
    if (packed.length === 0) fill(pipe);
    else near.observe(sectionOf(pipe));
  }
  return sound;
}

function begin(sound) {
  const invitation = document.querySelector(".invitation");
  invitation.hidden = false;
  if (!sound) {
    invitation.textContent = say("locked");
    return;
  }
  for (const field of fields) field.readOnly = false;
  document.addEventListener("input", edited);
  document.addEventListener("change", edited);
  document.getElementById("restore").addEventListener("click", () => {
    const changed = fields.filter(isChanged).map((field) => held.get(field).pipe);
    for (const field of fields) field.value = field.defaultValue;
    updateSoon(changed);
    showBanner();
  });
  addEventListener("beforeprint", () => data.pipes.forEach(fill));
}

// The packed sheets are put in after the page is open, a piece at a time.
async function beginPacked(sound) {
  const target = document.getElementById("sheets");
  const loading = document.getElementById("loading");
  loading.hidden = false;
  let all = sound;
  for (const piece of packed) {
    const before = data.pipes.filter(isHere).length;
    loading.before(await unpacked(piece));
    all = open(data.pipes.slice(before).filter(isHere)) && all;
    await new Promise((done) => setTimeout(done));
  }
  loading.remove();
  target.dataset.complete = "";
  if (location.hash) document.getElementById(location.hash.slice(1))?.scrollIntoView();
  begin(all);
}

// What a symbol means, beside it

const hint = document.createElement("div");
hint.id = "hint";
hint.setAttribute("role", "tooltip");
hint.hidden = true;
document.body.append(hint);

function explain({ target }) {
  const symbol = target instanceof Element ? target.closest("math [data-key]") : null;
  const entry = symbol && document.getElementById(`symbol-${symbol.dataset.key}`);
  hint.hidden = !entry;
  if (!entry) return;
  const [meaning, unit] = [...entry.querySelectorAll("td")].map((cell) => cell.textContent);
  hint.textContent = unit ? `${meaning}, ${unit}` : meaning;
  const place = symbol.getBoundingClientRect();
  const most = document.documentElement.clientWidth - hint.offsetWidth - 8;
  hint.style.left = `${Math.max(8, Math.min(place.left, most)) + scrollX}px`;
  hint.style.top = `${place.bottom + 6 + scrollY}px`;
}

document.addEventListener("pointerover", explain);
document.addEventListener("click", explain);
document.addEventListener("keydown", ({ key }) => {
  if (key === "Escape") hint.hidden = true;
});

for (const found of document.querySelectorAll("#basis [data-name]")) {
  named.set(found.dataset.name, found);
}
const opened = open(data.pipes.filter(isHere));
if (packed.length === 0) begin(opened);
else beginPacked(opened);
