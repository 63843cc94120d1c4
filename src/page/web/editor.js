// The spec being typed: the textarea, its line numbers, and the colored copy of
// its text that lies under it. The browser's undo is the browser's: text is only
// ever put in as if it had been typed.

import * as side from "./side.js";

const text = document.getElementById("text");
const under = document.getElementById("under");
const gutter = document.getElementById("gutter");
const editor = document.getElementById("editor");

const HEAVIEST = ["error", "warning", "note"];
// Longer texts are shown without color: nobody types those.
const MOST_COLORED = 200_000;
// Key, or list item with a key, up to its colon; and a comment.
export const KEY = /^(\s*(?:- +)?)("[^"]*"|'[^']*'|[^\s#"'{}[\],:&*!|>%@`-][^#:]*?)(?=\s*:(?:\s|$))/;
const COMMENT = /(^|\s)#.*$/;

let marks = [];
// What stands in the colored copy: a line, and how it is marked.
let painted = [];

export const value = () => text.value;

// Takes a text in place of all, or of a part, so that undo brings the other back.
export function type(replacement, from = 0, to = text.value.length) {
  if (hidden && !writing) return inside(() => type(replacement, from, to));
  text.focus();
  text.setSelectionRange(from, to);
  // Under a dialog it takes no focus, and what is typed would go elsewhere.
  const done = document.activeElement !== text ? false : replacement === ""
    ? document.execCommand("delete")
    : document.execCommand("insertText", false, replacement);
  if (!done) {
    text.setRangeText(replacement, from, to, "end");
    text.dispatchEvent(new Event("input"));
  }
}

// While another view is shown, the text is there without being seen: what that view
// changes is typed into it, for the browser's undo.
let hidden = false;
let writing = false;
let silent = false;
export const isWriting = () => writing;
let leave = () => {};
// `then` shows the text in place of the other view.
export function onReveal(then) {
  leave = then;
}
export const isAside = () => hidden;
export function aside(is) {
  hidden = is;
  editor.inert = is;
  editor.toggleAttribute("data-aside", is);
}

// Does something in the text, and gives the focus back to a field as it was.
function inside(work) {
  if (!hidden) return work();
  const field = document.activeElement;
  const [value, from, to] = [field?.value, field?.selectionStart, field?.selectionEnd];
  writing = true;
  editor.inert = false;
  text.focus();
  try {
    return work();
  } finally {
    editor.inert = true;
    if (value !== undefined && field.value !== value) field.value = value;
    field?.focus({ preventScroll: true });
    if (typeof from === "number") field.setSelectionRange(from, to);
    writing = false;
  }
}

// One step of a field that is being typed in: with `again` it takes the place of the step
// before, which began with the text `base`.
export function step(again, base, made) {
  mixed = true;
  inside(() => {
    silent = made !== null;
    if (again) back("undo");
    silent = false;
    if (again && text.value !== base) type(base);
    if (made) type(made.text, made.from, made.to);
  });
}

// The browser has one list of steps for the page, with those of the fields too: they are
// gone through until the text is another.
let mixed = false;
const MOST_STEPS = 100;
function back(command) {
  const before = text.value;
  for (let n = 0; n < MOST_STEPS && text.value === before; n++) {
    if (!document.execCommand(command)) return;
  }
}

export function undo(command) {
  inside(() => back(command));
}

// Puts the cursor at a place without going there.
export function stand(at) {
  text.setSelectionRange(at, at);
  here();
}

// The first text, before there is anything to undo.
export function begin(first) {
  text.value = first;
  text.setSelectionRange(0, 0);
  paint();
}

export function line() {
  return text.value.slice(0, text.selectionStart).split("\n").length;
}

// Lines and columns count from 1, columns in characters, as findings do.
function offset(lines, at, column) {
  let start = 0;
  for (let n = 0; n < at - 1 && n < lines.length; n++) start += lines[n].length + 1;
  return start + units(lines[at - 1] ?? "", column);
}

// How many UTF-16 units stand before a column.
function units(line, column) {
  let counted = 0;
  let length = 0;
  for (const character of line) {
    if (++counted >= column) break;
    length += character.length;
  }
  return length;
}

export function go(at, column, endAt, endColumn) {
  const lines = text.value.split("\n");
  const from = offset(lines, at, column);
  reveal(from, at === endAt ? offset(lines, endAt, endColumn) : from);
}

// Selects a part of the text and brings it into view.
export function reveal(from, to) {
  if (hidden) leave();
  side.show("spec");
  text.focus({ preventScroll: true });
  text.setSelectionRange(from, to);
  const row = parseFloat(getComputedStyle(text).lineHeight);
  editor.scrollTo({ top: Math.max(0, (line() - 1) * row - editor.clientHeight / 3), left: 0 });
  editor.scrollIntoView({ block: "nearest" });
  here();
}

export function mark(findings) {
  marks = findings.filter((finding) => finding.in_spec && !finding.whole);
  paint();
}

function paint() {
  const lines = text.value.split("\n");
  const weights = new Map();
  for (const finding of marks) {
    const before = weights.get(finding.line);
    if (!before || HEAVIEST.indexOf(finding.severity) < HEAVIEST.indexOf(before)) {
      weights.set(finding.line, finding.severity);
    }
  }
  while (gutter.children.length > lines.length) gutter.lastChild.remove();
  while (gutter.children.length < lines.length) {
    const number = gutter.appendChild(document.createElement("div"));
    number.textContent = gutter.children.length;
  }
  [...gutter.children].forEach((number, index) => {
    const weight = weights.get(index + 1);
    if (number.dataset.weight === weight) return;
    if (weight) number.dataset.weight = weight;
    else delete number.dataset.weight;
  });
  if (text.value.length > MOST_COLORED) {
    under.textContent = text.value;
    painted = [];
  } else {
    color(lines);
  }
  here();
}

// A keystroke changes one line, and only that is drawn anew.
function color(lines) {
  const marked = markedLines(lines);
  const wanted = lines.map((line, index) => JSON.stringify([line, marked.get(index)]));
  if (!painted.length) under.replaceChildren();
  const shorter = Math.min(wanted.length, painted.length);
  let top = 0;
  while (top < shorter && wanted[top] === painted[top]) top++;
  let tail = 0;
  while (tail < shorter - top && wanted.at(-1 - tail) === painted.at(-1 - tail)) tail++;
  const old = [...under.children].slice(top, painted.length - tail);
  const end = wanted.length - tail;
  const fresh = lines.slice(top, end).map((line, n) => colored(line, marked.get(top + n) ?? []));
  const next = under.children[painted.length - tail] ?? null;
  for (const line of fresh) under.insertBefore(line, next);
  for (const line of old) line.remove();
  painted = wanted;
}

// Where each line is underlined, and how, by its index.
function markedLines(lines) {
  const marked = new Map();
  for (const finding of marks) {
    for (let at = finding.line; at <= finding.end_line && at <= lines.length; at++) {
      const line = lines[at - 1];
      const from = at === finding.line ? units(line, finding.column) : line.search(/\S|$/);
      const to = at === finding.end_line ? units(line, finding.end_column) : line.length;
      // A place between two characters is shown at the one before it.
      const span = { from: from === to ? Math.max(0, from - 1) : from, to, name: finding.severity };
      marked.set(at - 1, [...(marked.get(at - 1) ?? []), span]);
    }
  }
  return marked;
}

function colored(line, marked) {
  const shown = document.createElement("span");
  shown.className = "line";
  // Where the look changes, and the classes from there on.
  const cuts = new Set([0, line.length]);
  const spans = [];
  const span = (from, to, name) => {
    if (from >= to) return;
    spans.push({ from, to, name });
    cuts.add(from).add(to);
  };
  const key = KEY.exec(line);
  if (key) span(key[1].length, key[0].length, "key");
  const comment = COMMENT.exec(line);
  if (comment) span(comment.index, line.length, "comment");
  for (const { from, to, name } of marked) span(from, to, name);
  const places = [...cuts].sort((a, b) => a - b);
  places.slice(0, -1).forEach((from, n) => {
    const piece = document.createElement("span");
    piece.textContent = line.slice(from, places[n + 1]);
    const names = spans.filter((is) => is.from <= from && from < is.to).map((is) => is.name);
    if (names.length) piece.className = [...new Set(names)].join(" ");
    shown.append(piece);
  });
  return shown;
}

let lastHere = null;
function here() {
  const now = gutter.children[line() - 1];
  if (now === lastHere) return;
  lastHere?.classList.remove("here");
  now?.classList.add("here");
  lastHere = now;
}

// The keys that lead to the cursor, from the top of the spec down, by indentation,
// and by the commas of a group that is written in one line.
export function path() {
  const before = text.value.slice(0, text.selectionStart);
  const at = before.split("\n").length;
  const lines = text.value.split("\n");
  const keys = [];
  let inside = Infinity;
  const group = /\{([^{}]*)$/.exec(before.split("\n").pop());
  const part = group && /^\s*([^:]+):/.exec(group[1].split(",").pop());
  if (part) keys.push(part[1].trim());
  for (let n = at - 1; n >= 0; n--) {
    const key = KEY.exec(lines[n]);
    if (!key || lines[n].trim().startsWith("#")) continue;
    const indent = key[1].length;
    if (indent >= inside) continue;
    inside = indent;
    keys.unshift(key[2].replace(/^["']|["']$/g, ""));
    if (indent === 0) break;
  }
  return keys;
}

function indent(by) {
  const all = text.value;
  const start = all.lastIndexOf("\n", text.selectionStart - 1) + 1;
  const end = text.selectionEnd;
  const lines = all.slice(start, end).split("\n");
  const moved = lines.map((one) => (by > 0 ? "  " + one : one.replace(/^ {1,2}/, ""))).join("\n");
  const caret = text.selectionStart === end;
  const shift = moved.length - (end - start);
  type(moved, start, end);
  if (caret) text.setSelectionRange(Math.max(start, end + shift), Math.max(start, end + shift));
  else text.setSelectionRange(start, start + moved.length);
}

// The step that a key asks for, if it does.
export function stepOf(event) {
  const key = event.key.toLowerCase();
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return null;
  return key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
}

text.addEventListener("keydown", (event) => {
  const command = event.ctrlKey || event.metaKey;
  if (mixed && stepOf(event)) {
    event.preventDefault();
    undo(stepOf(event));
    return;
  }
  if (command && (event.key === "]" || event.key === "[")) {
    event.preventDefault();
    indent(event.key === "]" ? 1 : -1);
  } else if (event.key === "Enter" && !command && !event.shiftKey && !event.altKey && !event.isComposing) {
    const before = text.value.slice(0, text.selectionStart);
    const margin = /[^\n]*$/.exec(before)[0].match(/^ */)[0];
    if (!margin) return;
    event.preventDefault();
    type("\n" + margin, text.selectionStart, text.selectionEnd);
  }
});
text.addEventListener("input", paint);
document.addEventListener("selectionchange", here);

export function onInput(then) {
  text.addEventListener("input", (event) => silent || then(event));
}
export function onMove(then) {
  document.addEventListener("selectionchange", () => {
    if (document.activeElement === text) then();
  });
}
