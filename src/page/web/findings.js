// What was found. Errors stand first and in full, because they hold the pages back;
// a warning takes one line until it is opened. Where the exact text to write is
// known, a button writes it.

import * as editor from "./editor.js";
import { change, label } from "./edits.js";
import * as engine from "./engine.js";
import { folding } from "./fold.js";

const list = document.getElementById("findings");
const count = document.getElementById("found-count");
const MOST_SHOWN = 200;
const WEIGHTS = ["error", "warning", "note"];
const SIGNS = { error: "✕", warning: "!", note: "i" };

const open = folding(document.getElementById("found-fold"), list, true);

let shown = "";
let all = [];
// The text that the findings are about.
let about = "";
let said = () => {};
let go = () => false;

export function onFix(then) {
  said = then;
}

// `then` shows a finding in another view than the text, and tells whether it did.
export function onGo(then) {
  go = then;
}

function element(name, className, content) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (content !== undefined) made.textContent = content;
  return made;
}

function counted(findings) {
  const words = WEIGHTS.map((weight) => {
    const n = findings.filter((finding) => finding.severity === weight).length;
    return n ? `${n} ${weight}${n > 1 ? "s" : ""}` : "";
  }).filter(Boolean);
  return words.length ? words.join(", ") : "none";
}

export function show(findings, text) {
  about = text;
  const told = JSON.stringify(findings);
  if (told === shown) return;
  shown = told;
  all = findings;
  const opened = new Set([...list.querySelectorAll(".more[aria-expanded=true]")].map((it) => it.dataset.of));
  const focused = list.contains(document.activeElement) ? document.activeElement : null;
  const at = focused && [...list.querySelectorAll("button")].indexOf(focused);
  // Each kind as in the text.
  const sorted = [...findings].sort((a, b) => WEIGHTS.indexOf(a.severity) - WEIGHTS.indexOf(b.severity));
  list.replaceChildren(...sorted.slice(0, MOST_SHOWN).map((finding) => item(finding, opened)));
  if (sorted.length > MOST_SHOWN) list.append(element("li", "", `and ${sorted.length - MOST_SHOWN} more`));
  const words = counted(findings);
  if (count.textContent !== words) count.textContent = words;
  count.dataset.weight = sorted[0]?.severity ?? "";
  // Who was in the list stays in it.
  if (focused) ([...list.querySelectorAll("button")][at] ?? list.querySelector("button"))?.focus();
}

function item(finding, opened) {
  const li = element("li");
  li.dataset.weight = finding.severity;
  li.dataset.rule = finding.rule;
  li.dataset.line = finding.line;
  li.finding = finding;
  const place = finding.whole ? "whole file" : `line ${finding.line}`;
  const where = finding.in_spec ? place : `${finding.file}, ${place}`;

  const goes = element("button", "go");
  const sign = element("span", "weight", SIGNS[finding.severity]);
  sign.ariaHidden = "true";
  const what = element("span", "what", finding.message);
  goes.append(sign, element("span", "unseen", `${finding.severity} `), element("span", "where", where), what);
  goes.disabled = !finding.in_spec;
  goes.addEventListener("click", () => at(finding));

  const rest = element("div", "rest");
  const heavy = finding.severity === "error";
  const help = finding.help && element("p", "help", heavy ? `Fix: ${finding.help}` : finding.help);
  const more = element("button", "more", heavy ? "Why" : "More");
  more.append(element("span", "unseen", `, ${where}`));
  more.dataset.of = finding.rule + finding.message;
  const unfold = (is) => {
    more.setAttribute("aria-expanded", is);
    rest.hidden = !is;
    if (is && !rest.querySelector(".reason")) explain(rest, finding.rule);
  };
  more.addEventListener("click", () => unfold(rest.hidden));

  li.append(goes, more);
  if (help) (heavy ? li : rest).append(help);
  if (finding.in_spec && finding.edits?.length) li.append(fix(finding, where));
  if (finding.source) rest.append(element("p", "limit", `Limit from: ${finding.source}`));
  for (const related of finding.related) {
    rest.append(element("p", "limit", `See ${related.file}, line ${related.line}: ${related.message}`));
  }
  li.append(rest);
  unfold(opened.has(more.dataset.of));
  return li;
}

function at(finding) {
  if (go(finding)) return;
  editor.go(finding.line, finding.column, finding.end_line, finding.end_column);
}

export function fix(finding, where = `line ${finding.line}`) {
  const button = element("button", "fix", "Write ");
  button.append(element("code", "", label(about, finding.edits)), element("span", "unseen", `, ${where}`));
  button.addEventListener("click", () => write(finding));
  return button;
}

// Writes what the finding says, as one step to undo, and goes there.
function write(finding) {
  const text = editor.value();
  // Typed since: the list is about to be made anew.
  if (text !== about) return said("The text has changed; wait for the new findings.");
  const { from, to, text: made, places } = change(text, finding.edits);
  const words = label(text, finding.edits);
  if (!editor.isAside()) editor.reveal(from, to);
  editor.type(made, from, to);
  if (!editor.isAside()) editor.reveal(places[0].from, places[0].to);
  said(`Written: ${words}. Undo takes it back.`);
}

// Writes what is known for the cursor's line.
export function fixHere() {
  const line = editor.line();
  const known = all.find((it) => it.in_spec && it.edits?.length && it.line <= line && line <= it.end_line);
  if (known) write(known);
  else said("Nothing is known to write on this line.");
}

async function explain(rest, rule) {
  const reason = element("div", "reason");
  rest.append(reason);
  try {
    const told = await engine.why(rule);
    reason.append(
      element("p", "", told.why),
      element("p", "limit", "For example"),
      element("pre", "", told.example),
      element("p", "", `Fix: ${told.fix}`),
      element("p", "limit", `Rule ${told.rule}; coldring explain ${told.rule} prints this too.`),
    );
  } catch (failure) {
    reason.append(element("p", "", failure.message));
  }
}

// The next finding after the cursor's line, or the one before it, round the ends.
export function step(by) {
  const placed = all.filter((finding) => finding.in_spec && !finding.whole);
  if (!placed.length) return null;
  open(true);
  placed.sort((a, b) => a.line - b.line);
  const here = editor.line();
  const next = by > 0
    ? (placed.find((finding) => finding.line > here) ?? placed[0])
    : (placed.findLast((finding) => finding.line < here) ?? placed.at(-1));
  const chosen = [...list.children].find((li) => li.finding === next);
  list.querySelector(".chosen")?.classList.remove("chosen");
  chosen?.classList.add("chosen");
  at(next);
  chosen?.scrollIntoView({ block: "nearest" });
  return next;
}
