// What the parts of the screen “More” share: the files that are open beside the spec,
// what is told, and what is shown. What people wrote is set as text, never as markup.

import * as desk from "./desk.js";
import * as engine from "./engine.js";
import * as file from "./file.js";
import { kindOf } from "./kinds.js";
import * as pages from "./pages.js";

const get = (id) => document.getElementById(id);

export function element(name, content, className) {
  const made = document.createElement(name);
  if (content !== undefined) made.textContent = content;
  if (className) made.className = className;
  return made;
}

// Paths of the open files of a kind, without the spec itself.
export const filesOf = (kind) => [...desk.all()].filter(([path, bytes]) => path !== desk.path() && kindOf(path, bytes) === kind).map(([path]) => path);

// Fills a list with the open files of a kind; `none` is what stands there for no file.
export function offer(id, kind, none) {
  const list = get(id);
  const chosen = list.value;
  list.replaceChildren(new Option(none, ""), ...filesOf(kind).map((path) => new Option(path, path)));
  list.value = chosen;
  if (list.selectedIndex < 0) list.selectedIndex = 0;
}

export function needs(id, what) {
  const chosen = get(id).value;
  if (!chosen) throw new engine.Failure(`open ${what} first, with “Open more files”, and choose it in the list`);
  return chosen;
}

// Does what a button is for, and tells why it did not.
export function onClick(id, work) {
  get(id).addEventListener("click", async () => {
    get("more-error").hidden = true;
    get("more-state").textContent = "Working…";
    let told = "";
    try {
      if (file.unsaved()) throw new engine.Failure("save the spec first, because what is made carries the digest of the saved file");
      told = (await work()) ?? "";
    } catch (failure) {
      get("more-error").textContent = `Nothing was made: ${failure.message}.`;
      get("more-error").hidden = false;
    }
    get("more-state").textContent = told;
  });
}

export const ask = (request) => engine.further(request, pages.wishes());

export const stem = (path) => path.split("/").at(-1).replace(/\.[^.]*$/, "");

export function download(name, bytes, type = "application/pdf") {
  desk.download(name, bytes, type);
  return `Downloaded ${name}.`;
}

export function show(title, ...content) {
  get("more-result-head").textContent = title;
  get("more-shown").replaceChildren(...content.filter(Boolean));
  get("more-result").hidden = false;
  get("more-result-head").focus();
}

export function forget() {
  get("more-result").hidden = true;
  get("more-shown").replaceChildren();
  get("more-error").hidden = true;
  get("more-state").textContent = "";
}

// Nothing where there are none.
export function findings(list) {
  if (!list.length) return null;
  const shown = element("ul", undefined, "told");
  for (const finding of list) {
    const item = element("li", `${finding.severity}: ${finding.file}, line ${finding.line}: ${finding.message}`);
    item.dataset.weight = finding.severity;
    if (finding.help) item.append(element("p", finding.help));
    shown.append(item);
  }
  return shown;
}

// `rows` are lists of texts. It scrolls sideways where the screen is narrow.
export function table(label, heads, rows) {
  const made = element("table");
  const head = made.createTHead().insertRow();
  for (const name of heads) {
    const cell = element("th", name);
    cell.scope = "col";
    head.append(cell);
  }
  const body = made.createTBody();
  for (const row of rows) {
    const line = body.insertRow();
    for (const text of row) line.insertCell().textContent = text ?? "";
  }
  const around = element("div", undefined, "wide");
  around.tabIndex = 0;
  around.role = "region";
  around.ariaLabel = label;
  around.append(made);
  return around;
}
