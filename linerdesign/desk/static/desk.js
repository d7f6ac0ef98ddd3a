// The desk: views, the title block's buttons, notices, documents under way.

import { all, element, update } from "./fields.js";
import { basis, panels, viewed } from "./panels.js";
import { act, applyLeft, call, discardLeft, dismissRefusal, onChange, pump, refresh, Refusal, say, store, take, takeUp, waiting } from "./state.js";
import { Table } from "./table.js";

const get = (id) => document.getElementById(id);
const PAUSE = 1200;

// Notices, each with its actions; what they do is one request of the same name.
function notices() {
  const made = store.notices.map((notice) => box(notice.text, notice.actions.map((action) =>
    [say(`act_${action}`), () => answer(notice, action)])));
  if (store.restarted) made.unshift(box(say("restarted"), []));
  else if (!store.online) made.unshift(box(say("offline", { count: waiting() }), []));
  if (store.left) {
    made.push(box(say("waiting", { count: store.left.length }),
      [[say("apply"), () => applyLeft(store.left)], [say("discard"), discardLeft]]));
  }
  const text = made.map((each) => each.textContent).join("|");
  if (text !== notices.shown) get("notices").replaceChildren(...made);
  notices.shown = text;
}

function box(text, actions) {
  return element("div", { class: "notice" }, element("p", {}, text), ...actions.map(([name, run]) => {
    const button = element("button", { type: "button" }, name);
    button.addEventListener("click", () => attempt(run));
    return button;
  }));
}

function answer(notice, action) {
  if (notice.code === "refused") return dismissRefusal();
  if (action !== "undo") return act(action, { code: notice.code });
  return act("undo").then(() => act("dismiss", { code: notice.code }));
}

// Runs what a button asks for; a refusal is shown as a notice.
async function attempt(run) {
  try {
    await run();
  } catch (error) {
    if (!(error instanceof Refusal)) return;
    store.notices = [...store.notices.filter((each) => each.code !== "refused"),
      { code: "refused", text: error.message, actions: ["dismiss"] }];
    notices();
  }
}

function titleBlock() {
  get("undo").disabled = !store.undo;
  get("redo").disabled = !store.redo;
  const name = store.name || say("untitled");
  const kept = store.unsaved ? say("unsaved") : store.name ? say("saved") : say("nothing_yet");
  const text = `${store.folder} / ${name}: ${kept}`;
  if (get("file").textContent !== text) get("file").textContent = text;
  const title = store.single.project?.project?.title ?? "";
  document.title = `${store.unsaved ? "\u2022 " : ""}${title || name}`;
}

// Asks for one text or one of several; empty where it is cancelled.
function ask(title, { text = null, list = null }) {
  const dialog = get("ask");
  get("ask-title").textContent = title;
  get("ask-fault").textContent = "";
  get("ask-ok").hidden = list !== null;
  return new Promise((resolve) => {
    const done = (value) => {
      dialog.close();
      resolve(value);
    };
    if (list) {
      get("ask-body").replaceChildren(element("ul", {}, ...list.map(([value, name]) => {
        const button = element("button", { type: "button" }, name);
        button.addEventListener("click", () => done(value));
        return element("li", {}, button);
      })));
    } else {
      get("ask-body").replaceChildren(element("input", { type: "text", id: "ask-text", value: text, "aria-label": title, autocomplete: "off" }));
    }
    get("ask-cancel").onclick = () => done("");
    dialog.oncancel = () => resolve("");
    dialog.querySelector("form").onsubmit = (event) => {
      event.preventDefault();
      done(get("ask-text")?.value.trim() ?? "");
    };
    dialog.showModal();
    get("ask-text")?.select();
  });
}

const suggested = () => {
  const title = store.single.project?.project?.title ?? "";
  const words = title.normalize("NFKD").replace(/[^A-Za-z0-9 _-]/g, "").trim().toLowerCase().replace(/\s+/g, "_");
  return `${words || "project"}.toml`;
};

async function save(as = false) {
  let name = "";
  if (as || !store.name) {
    name = await ask(say("ask_name", { folder: store.folder }), { text: as && store.name ? store.name : suggested() });
    if (!name) return false;
    if (!name.endsWith(".toml")) name += ".toml";
  }
  await act("save", { name });
  return true;
}

// Documents: made by a process of their own, shown with their progress, downloaded when done.
async function start(name) {
  get("documents").open = false;
  await pump();
  if (!store.name && !(await save())) return;
  const { job, state } = await call("jobs", { document: name, since: store.revision });
  take(state);
  follow(job);
}

function follow(job) {
  const bar = element("progress", { max: job.stages, "aria-label": job.name });
  const text = element("span", {}, job.name);
  const cancel = element("button", { type: "button" }, say("cancel"));
  const line = element("div", { class: "notice job", "data-state": job.state }, text, bar, cancel);
  cancel.addEventListener("click", () => attempt(async () => show(await call(`jobs/${job.id}`, undefined, { method: "DELETE" }))));
  get("jobs").append(line);
  const show = (now) => {
    line.dataset.state = now.state;
    if (now.state === "running") {
      bar.value = now.stage;
      text.textContent = `${now.name}, ${say("stage", { stage: Math.min(now.stage + 1, now.stages), stages: now.stages })}`;
      setTimeout(ask, 300);
      return;
    }
    const close = element("button", { type: "button" }, say("act_dismiss"));
    close.addEventListener("click", () => line.remove());
    if (now.state === "done") {
      const link = element("a", { href: `jobs/${now.id}/file`, download: now.name }, say("download", { name: now.name }));
      line.replaceChildren(element("span", {}, say("done", { name: now.name })), link, close);
      link.click();
    } else line.replaceChildren(element("span", {}, say(now.state, { name: now.name, text: now.text })), close);
  };
  const ask = () => call(`jobs/${job.id}`).then((now) => line.isConnected && line.dataset.state === "running" && show(now)).catch(() => setTimeout(ask, PAUSE));
  show(job);
}

function view() {
  const wanted = ["design", "review", "compare"].find((name) => location.hash === `#${name}`) ?? "design";
  for (const name of ["design", "review", "compare"]) {
    get(`view-${name}`).hidden = name !== wanted;
    const link = document.querySelector(`[data-view="${name}"]`);
    if (name === wanted) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  viewed();
}

function loosen() {
  for (const field of all) {
    field.dirty = false;
    update(field);
  }
}

function keys(event) {
  const control = event.ctrlKey || event.metaKey;
  const letter = event.key.toLowerCase();
  if (!control || event.altKey || get("ask").open) return;
  if (letter === "s") attempt(() => save(event.shiftKey));
  else if (letter === "z") attempt(() => act(event.shiftKey ? "redo" : "undo").then(loosen));
  else if (letter === "y") attempt(() => act("redo").then(loosen));
  else return;
  event.preventDefault();
}

function buttons() {
  const on = (id, run) => get(id).addEventListener("click", () => attempt(run));
  on("save", () => save());
  on("save-as", () => save(true));
  on("undo", () => act("undo").then(loosen));
  on("redo", () => act("redo").then(loosen));
  on("open", async () => {
    await refresh(0);
    const name = await ask(say("ask_open", { folder: store.folder }), { list: store.files.map((each) => [each, each]) });
    if (name) await act("open", { name });
  });
  on("new", async () => {
    const units = await ask(say("ask_units"), { list: [["US", "US"], ["SI", "SI"]] });
    if (units) await act("new", { units });
  });
  for (const button of document.querySelectorAll("[data-document]")) {
    button.addEventListener("click", () => attempt(() => start(button.dataset.document)));
  }
}

async function poll() {
  if (!document.hidden || !store.online) await refresh();
  setTimeout(poll, PAUSE);
}

async function forms() {
  store.forms = await call("forms");
}

async function main() {
  await forms();
  await refresh(0);
  takeUp();
  new Table(get("resins"), "resin", say("resins"));
  new Table(get("pipes"), "pipe", say("pipes"));
  basis();
  panels();
  buttons();
  let units = store.units;
  onChange(async () => {
    titleBlock();
    notices();
    if (store.units !== units) {
      units = store.units;
      await forms();
      location.reload();
    }
  });
  titleBlock();
  notices();
  view();
  addEventListener("hashchange", view);
  addEventListener("keydown", keys);
  addEventListener("beforeunload", (event) => {
    if (waiting() > 0) event.preventDefault();
  });
  document.body.dataset.ready = "";
  setTimeout(poll, PAUSE);
}

main();
