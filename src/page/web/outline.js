// The sections and fields of the spec, each with its line and what was found there:
// a tree with one tab stop, whose arrow keys go from field to field.

import * as editor from "./editor.js";
import { folding } from "./fold.js";

const tree = document.getElementById("fields");
const button = document.getElementById("outline-fold");
const NARROW = matchMedia("(max-width: 1099px)");
const WEIGHTS = ["error", "warning", "note"];

const open = folding(button, tree, !NARROW.matches);

let entries = [];
let active = 0;
let current = -1;

// The keys of the first two levels. A list has no fields to go to, nor has text
// that runs over lines.
function read(text) {
  const found = [];
  let fields = null; // how far the fields of this section are indented
  let running = Infinity; // the indent of a key whose text runs over lines
  text.split("\n").forEach((line, index) => {
    const margin = line.search(/\S/);
    if (margin < 0 || margin > running) return;
    running = Infinity;
    const key = editor.KEY.exec(line);
    if (line[margin] === "-" && (fields === null || margin === 0)) fields = Infinity;
    if (!key || line[margin] === "#" || line[margin] === "-") return;
    if (/^[|>][-+0-9]*\s*(#|$)/.test(line.slice(key[0].length).replace(/^\s*:\s*/, ""))) running = margin;
    const level = margin === 0 ? 1 : 2;
    if (level === 1) fields = null;
    else fields ??= margin;
    if (level === 2 && (margin !== fields || !found.length)) return;
    const after = /^\s*:\s?/.exec(line.slice(key[0].length))[0];
    found.push({
      name: key[2].replace(/^["']|["']$/g, ""),
      level,
      line: index + 1,
      // Where its value begins.
      column: [...(key[0] + after)].length + 1,
    });
  });
  return found;
}

export function show(text, findings) {
  entries = read(text);
  for (const finding of findings) {
    if (!finding.in_spec || finding.whole) continue;
    const entry = entries.findLast((entry) => entry.line <= finding.line);
    if (entry) (entry.found ??= []).push(finding.severity);
  }
  while (tree.children.length > entries.length) tree.lastChild.remove();
  entries.forEach((entry, index) => {
    const item = tree.children[index] ?? tree.appendChild(made());
    const heaviest = WEIGHTS.find((weight) => entry.found?.includes(weight)) ?? "";
    const told = JSON.stringify(entry);
    if (item.told === told) return;
    item.told = told;
    item.ariaLevel = entry.level;
    item.dataset.line = entry.line;
    item.dataset.weight = heaviest;
    const [name, , line, found] = item.children;
    name.textContent = entry.name;
    line.textContent = entry.line;
    found.textContent = WEIGHTS.map((weight) => counted(entry.found, weight)).join("");
  });
  if (active >= entries.length) activate(0);
  else activate(active);
  here();
}

function counted(found = [], weight) {
  const n = found.filter((one) => one === weight).length;
  return n ? `, ${n} ${weight}${n > 1 ? "s" : ""}` : "";
}

function made() {
  const item = document.createElement("div");
  item.role = "treeitem";
  item.tabIndex = -1;
  const parts = ["name", "unseen", "at", "unseen"].map((name) => {
    const part = document.createElement("span");
    part.className = name;
    return part;
  });
  parts[1].textContent = ", line ";
  item.append(...parts);
  return item;
}

function activate(index, focus = false) {
  const before = tree.querySelector("[tabindex='0']");
  const item = tree.children[index];
  if (before && before !== item) before.tabIndex = -1;
  if (!item) return;
  active = index;
  item.tabIndex = 0;
  if (focus) item.focus();
}

// Marks the field that the cursor is in, and lets the tab key stop there.
export function here() {
  const line = editor.line();
  const index = entries.findLastIndex((entry) => entry.line <= line);
  if (index === current && tree.children[index]?.ariaCurrent) return;
  for (const one of tree.querySelectorAll("[aria-current]")) one.ariaCurrent = null;
  current = index;
  const item = tree.children[index];
  if (!item) return;
  item.ariaCurrent = "location";
  if (tree.contains(document.activeElement)) return;
  activate(index);
  // Only the tree scrolls, and only as far as needed.
  const [view, row] = [tree.getBoundingClientRect(), item.getBoundingClientRect()];
  if (row.top < view.top) tree.scrollTop += row.top - view.top;
  else if (row.bottom > view.bottom) tree.scrollTop += row.bottom - view.bottom;
}

let elsewhere = () => false;
// `then` goes to a field in another view than the text, and tells whether it did.
export function onGo(then) {
  elsewhere = then;
}

function go(index) {
  const { line, column, level, name } = entries[index];
  const section = entries.slice(0, index + 1).findLast((entry) => entry.level === 1)?.name;
  if (NARROW.matches) open(false);
  if (elsewhere(level === 1 ? [name] : [section, name])) return;
  editor.go(line, column, line, column);
}

const indexOf = (target) => [...tree.children].indexOf(target.closest("[role=treeitem]"));

tree.addEventListener("click", (event) => {
  const index = indexOf(event.target);
  if (index >= 0) go(index);
});
tree.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  const index = indexOf(event.target);
  if (index < 0) return;
  const section = (from, by) => {
    for (let n = from + by; n >= 0 && n < entries.length; n += by) if (entries[n].level === 1) return n;
    return from;
  };
  const to = {
    ArrowDown: Math.min(index + 1, entries.length - 1),
    ArrowUp: Math.max(index - 1, 0),
    ArrowLeft: section(index, -1),
    ArrowRight: section(index, 1),
    Home: 0,
    End: entries.length - 1,
  }[event.key];
  if (to !== undefined) activate(to, true);
  else if (event.key === "Enter" || event.key === " ") go(index);
  else if (event.key.length === 1) {
    // The next field that begins with the letter.
    const from = [...entries.keys()].map((n) => (index + 1 + n) % entries.length);
    const next = from.find((n) => entries[n].name.toLowerCase().startsWith(event.key.toLowerCase()));
    if (next !== undefined) activate(next, true);
  } else return;
  event.preventDefault();
});
