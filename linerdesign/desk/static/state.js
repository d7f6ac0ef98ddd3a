// What the server knows of the project, what was typed and not yet taken, and the way between.

export const store = {
  forms: null, revision: 0, session: "", name: "", folder: "", files: [], rows: new Map(),
  order: { pipe: [], resin: [] }, single: {}, faults: new Map(), notices: [], chosen: "",
  undo: false, redo: false, unsaved: false, online: true, restarted: false, left: null,
};
const PATIENCE = 10_000;
const listeners = [];
let queue = [];
let sent = [];
let busy = false;
let known = "";

export const onChange = (listener) => listeners.push(listener);
const tell = (changed) => listeners.forEach((listener) => listener(changed));

// A sentence of the catalogue with its blanks filled.
export const say = (name, blanks = {}) =>
  store.forms.words[name].replace(/\{(\w+)\}/g, (_, blank) => blanks[blank] ?? "");

export class Refusal extends Error {
  constructor(faults, codes = []) {
    super(faults.join("; "));
    this.codes = codes;
  }
}

// Asks the server; a refusal has the faults in words, no answer at all is a TypeError.
export async function call(path, body, more = {}) {
  const brief = path === "edit" || path.startsWith("state");
  if (brief) more = { signal: AbortSignal.timeout(PATIENCE), ...more };
  const asked = body === undefined ? more : {
    method: "POST", body: body instanceof Blob ? body : JSON.stringify(body), ...more,
  };
  const answer = await fetch(path, asked);
  if (answer.status === 403) {
    store.restarted = true;
    throw new TypeError("restarted");
  }
  const data = await answer.json();
  if (!answer.ok) throw new Refusal(data.faults ?? [String(answer.status)], data.codes);
  return data;
}

export const waiting = () => queue.length + sent.length;
const place = () => `desk ${store.folder}/${store.name}`;

function keep() {
  try {
    if (waiting() === 0) localStorage.removeItem(place());
    else localStorage.setItem(place(), JSON.stringify({ session: store.session, queue: [...sent, ...queue] }));
  } catch { /* A browser that keeps nothing: the warning on leaving is all there is. */ }
}

// Takes up what an earlier page could not send: at once where the desk is the same, else if asked.
export function takeUp() {
  let kept = null;
  try {
    kept = JSON.parse(localStorage.getItem(place()) ?? "null");
  } catch { return; }
  if (!kept?.queue?.length) return;
  if (kept.session === store.session) applyLeft(kept.queue);
  else store.left = kept.queue;
}

export function applyLeft(left) {
  store.left = null;
  queue.push(...left);
  keep();
  pump();
}

export function discardLeft() {
  store.left = null;
  try { localStorage.removeItem(place()); } catch { /* nothing was kept */ }
  tell(new Set());
}

// One change. A later one of the same field takes the place of one that still waits.
export function edit(change, step = "") {
  const made = { ...change, step };
  const name = store.rows.get(change.row)?.values.name;
  if (name !== undefined && change.path?.[0] !== "name") made.name = name;
  const same = (each) => each.do === "set" && made.do === "set" && each.row === made.row
    && JSON.stringify(each.path) === JSON.stringify(made.path);
  if (queue.length && same(queue.at(-1))) queue[queue.length - 1] = made;
  else queue.push(made);
  keep();
  return pump();
}

export async function pump() {
  if (busy || queue.length === 0 || store.restarted) return;
  busy = true;
  const { step } = queue[0];
  const count = queue.findIndex((each) => each.step !== step);
  sent = queue.splice(0, count < 0 ? Math.min(queue.length, 400) : count);
  try {
    const data = await call("edit", { edits: sent, since: store.revision, step });
    sent = [];
    online(true);
    take(data);
  } catch (error) {
    if (error instanceof Refusal) {
      sent = [];
      store.notices = [...store.notices.filter((each) => each.code !== "refused"),
        { code: "refused", text: say("refused", { text: error.message }), actions: ["dismiss"] }];
      await refresh();
      tell(new Set());
    } else {
      queue = [...sent, ...queue];
      sent = [];
      online(false);
    }
  } finally {
    busy = false;
    keep();
  }
  if (store.online) await pump();
}

function online(yes) {
  if (store.online === yes && yes) return;
  store.online = yes;
  tell(new Set());
}

// Merges an answer of the server; nothing older than what is known.
export function take(data) {
  if (data.session !== store.session || data.revision < store.revision) {
    if (data.session === store.session) return;
  }
  const changed = new Set(Object.keys(data.rows));
  for (const [row, value] of Object.entries(data.rows)) store.rows.set(row, value);
  const order = new Set([...data.order.pipe, ...data.order.resin]);
  for (const row of [...store.rows.keys()]) if (!order.has(row)) store.rows.delete(row);
  const refused = store.notices.filter((each) => each.code === "refused");
  const { revision, session, name, folder, single, undo, redo, unsaved, units } = data;
  Object.assign(store, { revision, session, name, folder, single, undo, redo, unsaved, units, order: data.order });
  store.notices = [...data.notices, ...refused];
  if (data.files) store.files = data.files;
  store.faults = new Map();
  for (const fault of data.faults) {
    store.faults.set(fault.row, [...(store.faults.get(fault.row) ?? []), fault]);
  }
  if (!order.has(store.chosen)) store.chosen = data.order.pipe[0] ?? "";
  if (`${folder}/${name}` !== known) known = `${folder}/${name}`;
  tell(changed);
}

export async function refresh(since = store.revision) {
  try {
    const data = await call(`state?since=${since}`);
    if (store.session && data.session !== store.session) {
      store.session = data.session;
      store.revision = 0;
    }
    if (since === 0) {
      store.session = data.session;
      store.revision = 0;
    }
    if (since === 0 || data.revision !== store.revision || !store.online) take(data);
    online(true);
    await pump();
  } catch (error) {
    if (error instanceof Refusal) throw error;
    online(false);
  }
}

// An action on the whole project; what is typed goes first.
export async function act(what, more = {}) {
  await pump();
  const data = await call("do", { do: what, since: store.revision, ...more });
  if (what === "open" || what === "new" || what === "save") store.revision = 0;
  take(data);
}

export function dismissRefusal() {
  store.notices = store.notices.filter((each) => each.code !== "refused");
  tell(new Set());
}
