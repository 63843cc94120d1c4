// What was found, in the order of the text: a button to its line, what would mend
// it, and why the rule exists.

import * as editor from "./editor.js";

const list = document.getElementById("findings");
const count = document.getElementById("found-count");

let shown = "";
let all = [];

function element(name, className, content) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (content !== undefined) made.textContent = content;
  return made;
}

function counted(findings) {
  const of = (severity, word) => {
    const n = findings.filter((finding) => finding.severity === severity).length;
    return n ? `${n} ${word}${n > 1 ? "s" : ""}` : "";
  };
  const words = [of("error", "error"), of("warning", "warning"), of("note", "note")].filter(Boolean);
  return words.length ? words.join(", ") : "none";
}

export function show(findings) {
  const text = JSON.stringify(findings);
  if (text === shown) return;
  shown = text;
  all = findings;
  const open = new Set([...list.querySelectorAll("details[open]")].map((it) => it.dataset.of));
  // Errors stand first, since they keep the pages back; each kind as in the text.
  const order = ["error", "warning", "note"];
  const sorted = [...findings].sort((a, b) => order.indexOf(a.severity) - order.indexOf(b.severity));
  list.replaceChildren(...sorted.slice(0, 200).map((finding) => item(finding, open)));
  if (sorted.length > 200) list.append(element("li", "", `and ${sorted.length - 200} more`));
  const words = counted(findings);
  if (count.textContent !== words) count.textContent = words;
}

function item(finding, open) {
  const li = element("li");
  li.dataset.weight = finding.severity;
  li.dataset.rule = finding.rule;
  li.dataset.line = finding.line;
  li.finding = finding;
  const go = element("button", "go");
  go.append(element("span", "weight", finding.severity));
  const place = finding.whole ? "whole file" : `line ${finding.line}`;
  go.append(element("span", "where", finding.in_spec ? place : `${finding.file}, ${place}`));
  go.append(element("span", "what", finding.message));
  go.disabled = !finding.in_spec;
  go.addEventListener("click", () => {
    editor.go(finding.line, finding.column, finding.end_line, finding.end_column);
  });
  li.append(go);
  if (finding.help) li.append(element("p", "", `To mend it: ${finding.help}`));
  if (finding.source) li.append(element("p", "limit", `Limit from: ${finding.source}`));
  for (const related of finding.related) {
    li.append(element("p", "limit", `See ${related.file}, line ${related.line}: ${related.message}`));
  }
  const why = element("details");
  why.dataset.of = finding.rule + finding.message;
  why.append(element("summary", "", "Why"));
  why.addEventListener("toggle", () => why.open && explain(why, finding.rule), { once: true });
  why.open = open.has(why.dataset.of);
  li.append(why);
  return li;
}

async function explain(why, rule) {
  const answer = await fetch(`rule/${encodeURIComponent(rule)}`).catch(() => null);
  if (!answer?.ok) return why.append(element("p", "", "The program does not answer."));
  const told = await answer.json();
  why.append(
    element("p", "", told.why),
    element("p", "limit", "For example"),
    element("pre", "", told.example),
    element("p", "", `To mend it: ${told.fix}`),
    element("p", "limit", `Rule ${told.rule}, as coldring explain ${told.rule} tells it.`),
  );
}

// The next finding after the cursor's line, or the one before it, round the ends.
export function step(by) {
  const placed = all.filter((finding) => finding.in_spec && !finding.whole);
  if (!placed.length) return null;
  placed.sort((a, b) => a.line - b.line);
  const here = editor.line();
  const next = by > 0
    ? (placed.find((finding) => finding.line > here) ?? placed[0])
    : (placed.findLast((finding) => finding.line < here) ?? placed.at(-1));
  const chosen = [...list.children].find((li) => li.finding === next);
  list.querySelector(".chosen")?.classList.remove("chosen");
  chosen?.classList.add("chosen");
  chosen?.scrollIntoView({ block: "nearest" });
  editor.go(next.line, next.column, next.end_line, next.end_column);
  return next;
}
