// The spec as a form: another view of the same text. A field that is typed in changes
// its own place in the text, as one step to undo; the form follows whatever the text
// says. Which fields there are, and what changes where, the engine tells.

import * as editor from "./editor.js";
import { change as changeOf, unit } from "./edits.js";
import * as engine from "./engine.js";
import * as fields from "./fields.js";
import { fix } from "./findings.js";
import { TAB as remembered } from "./storage.js";

const box = document.getElementById("form");
const buttons = [...document.querySelectorAll("#views button")];
const VIEW = "coldring-view";

let begun = false;
let shown = false;
let shape = "";
let findings = [];
let onField = () => {};
let said = () => {};

export const isShown = () => shown;
export function begin(tell, field) {
  said = tell;
  onField = field;
  begun = true;
  if (remembered.get(VIEW) === "form") show(true);
}

// Shows the form, as soon as there is a text.
export const prefer = () => (begun ? show(true) : remembered.set(VIEW, "form"));

export function show(is) {
  if (is === shown) return;
  const [path, focused] = [is ? editor.path() : null, box.contains(document.activeElement)];
  const at = is ? null : place();
  shown = is;
  remembered.set(VIEW, is ? "form" : "text");
  for (const button of buttons) button.setAttribute("aria-pressed", (button.dataset.view === "form") === is);
  box.hidden = !is;
  editor.aside(is);
  visit = null;
  if (is) {
    shape = "";
    refresh().then(() => path.length && !buttons.includes(document.activeElement) && go(path));
  } else if (at || focused) {
    editor.reveal(...(at ?? [0, 0]));
  }
}

// Where the field that has the focus stands in the text.
function place() {
  const path = document.activeElement?.closest("#form [data-path]")?.dataset.path;
  const entry = path && fields.entryOf(JSON.parse(path));
  return entry?.place ? entry.place.map((byte) => unit(editor.value(), byte)) : null;
}

// ---- What the form shows ----

let asked = 0;
const revealed = new Set();
// The path that gets the focus once it is there.
let next = null;

export function changed() {
  if (shown) refresh();
}

async function refresh() {
  const mine = ++asked;
  const form = await engine.form(editor.value()).catch(() => null);
  if (mine !== asked || !shown || !form) return;
  if (!form.readable) {
    shape = "";
    box.replaceChildren(unreadable());
    return;
  }
  if (!shape) fields.opened(form);
  const now = fields.shape(form);
  if (now !== shape) rebuild(form);
  else fields.update(form, isTyping);
  shape = now;
  if (next) {
    const to = fields.nearest(next.path);
    next = null;
    to?.focus();
  }
}

function rebuild(form) {
  const active = box.contains(document.activeElement) ? document.activeElement : null;
  const [path, from, to] = [active?.dataset.path, active?.selectionStart, active?.selectionEnd];
  const typed = active && isTyping(JSON.parse(path ?? "[]")) ? active.value : null;
  const open = new Set([...box.querySelectorAll("details[open]")].map((it) => it.dataset.of));
  const top = box.scrollTop;
  box.replaceChildren(...fields.build(form, revealed, { typed: () => !editor.isWriting(), change, tick, reveal }));
  for (const it of box.querySelectorAll("details")) it.open = open.has(it.dataset.of);
  fields.tell(findings, fix);
  box.scrollTop = top;
  if (!path) return;
  const again = [...box.querySelectorAll("[data-path]")].find((it) => it.dataset.path === path && it.matches("input, select, button"));
  if (!again) return;
  if (typed !== null) again.value = typed;
  again.focus({ preventScroll: true });
  if (typeof from === "number" && again.type === "text") again.setSelectionRange(from, to);
}

function unreadable() {
  const made = document.createElement("div");
  made.className = "no-form";
  const words = document.createElement("p");
  words.textContent = "The text cannot be read as it stands, so it has no form. Fix what is listed below in the text; the form comes back by itself.";
  const button = document.createElement("button");
  button.textContent = "Show the text";
  button.addEventListener("click", () => {
    show(false);
    editor.reveal(0, 0);
  });
  made.append(words, button);
  return made;
}

function reveal(path) {
  revealed.add(fields.keyOf(path));
  next = { path };
  refresh();
}

export function tell(found) {
  findings = found;
  if (shown) fields.tell(found, fix);
}

// Brings a field into view; tells whether there is one.
export function go(path) {
  if (!shown || !path?.length) return false;
  const made = fields.nearest(path);
  if (!made) return false;
  for (let it = made.closest("details"); it; it = it.parentElement.closest("details")) it.open = true;
  made.focus({ preventScroll: true });
  made.scrollIntoView({ block: "center" });
  return true;
}

// ---- What is typed in it ----

// Values on their way to the text, by path; the last of each counts.
const waiting = new Map();
let writing = null;
// The field that is being typed in: all of it is one step to undo, made anew from the
// text before it with every key.
let visit = null;

const isTyping = (path) => {
  const key = fields.keyOf(path);
  return waiting.has(key) || writing === key;
};

function change(path, value, { open = false, then = null } = {}) {
  waiting.set(fields.keyOf(path), { path, value, open, then });
  if (writing === null) pump();
}

// Which entry a word is, is looked up when its turn comes: others may move it.
function tick(path, word, is) {
  const key = fields.keyOf([...path, word]);
  waiting.set(key, { list: path, word, is });
  if (writing === null) pump();
}

async function entryOf({ list, word, is }) {
  const form = await engine.form(editor.value());
  let [entry, all] = [null, form.fields];
  for (const name of list) {
    entry = all.find((one) => one.path.at(-1) === name);
    all = entry?.fields ?? [];
  }
  const at = entry?.entries.find((one) => one.value === word);
  if (is) return at ? null : { path: entry?.blank.path, value: word };
  return at ? { path: at.path, value: null } : null;
}

async function pump() {
  while (waiting.size) {
    const [key, wish] = waiting.entries().next().value;
    waiting.delete(key);
    writing = key;
    await put(key, wish);
  }
  writing = null;
  refresh();
}

async function put(key, wish) {
  const text = editor.value();
  const goesOn = !wish.list && visit?.key === key && visit.after === text;
  const base = goesOn ? visit.before : text;
  let edits;
  const { then } = wish;
  try {
    const field = wish.list ? await entryOf(wish) : wish;
    if (!field) return;
    const { path, value, open = false } = field;
    edits = await engine.writeField({ text: base, path, value, open });
  } catch (failure) {
    if (!(failure instanceof engine.Failure)) throw failure;
    return said(failure.message);
  }
  // Something else was written meanwhile: the change is found anew.
  if (editor.value() !== text) return waiting.has(key) || waiting.set(key, wish);
  if (then) next = { path: then };
  editor.step(goesOn && base !== text, base, edits.length ? changeOf(base, edits) : null);
  visit = { key, before: base, after: editor.value() };
}

box.addEventListener("focusin", (event) => {
  const path = event.target.dataset.path && JSON.parse(event.target.dataset.path);
  const entry = path && fields.entryOf(path);
  if (!entry || editor.isWriting()) return;
  const text = editor.value();
  if (entry.place) editor.stand(unit(text, entry.place[0]));
  const left = entry.without ? `If omitted: ${entry.without}` : "";
  onField(path, [entry.about || entry.help, entry.how, left].filter(Boolean).join(" "));
});
box.addEventListener("focusout", () => {
  // What is typed next is a step of its own.
  if (!editor.isWriting() && !waiting.size && writing === null) visit = null;
});
box.addEventListener("keydown", (event) => {
  const command = editor.stepOf(event);
  if (!command) return;
  event.preventDefault();
  visit = null;
  editor.undo(command);
});
for (const button of buttons) button.addEventListener("click", () => show(button.dataset.view === "form"));
