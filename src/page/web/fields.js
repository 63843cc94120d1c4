// The fields of the form: made from what the engine tells of the text, brought up to
// date as it changes, and the findings at each.

const SIGNS = { error: "✕", warning: "!", note: "i" };
const IN_THE_TEXT = "Edit this in the text.";

export const keyOf = (path) => JSON.stringify(path);

// Every control by its path, and every place for findings by the path of what it is about.
let controls = new Map();
let places = new Map();
// What can be told of each path, for whoever shows help.
let entries = new Map();
let ids = new Map();
// Fields that were empty when the form was opened stay behind "more", even once filled.
let filled = new Set();
let told = { typed() {}, change() {}, tick() {}, reveal() {}, fix() {} };
let revealed = new Set();
let choices = [];

export const control = (path) => controls.get(keyOf(path));
export const entryOf = (path) => entries.get(keyOf(path));

function element(name, className, content) {
  const made = document.createElement(name);
  if (className) made.className = className;
  if (content !== undefined) made.textContent = content;
  return made;
}

function idOf(path) {
  const key = keyOf(path);
  if (!ids.has(key)) ids.set(key, `field-${ids.size}`);
  return ids.get(key);
}

// Which fields stand first, decided when the form is opened.
export function opened(form) {
  filled = new Set();
  const walk = (list) => {
    for (const entry of list) {
      if (entry.given) filled.add(keyOf(entry.path));
      walk(entry.fields ?? entry.entries ?? []);
    }
  };
  walk(form.fields);
}

const isFirst = (entry) => entry.asked || filled.has(keyOf(entry.path));
const isItems = ({ kind, blank }) => kind === "list" && blank.kind === "single";
const isTicked = ({ kind, blank }) => kind === "list" && blank.kind === "single" && blank.choices !== null && !blank.open;
const isTable = (entry) =>
  entry.kind === "keyed" || (entry.kind === "list" && entry.blank.kind === "group" && entry.blank.fields.some((field) => field.path.at(-1) === "size"));

// The form without what is typed in it: while that stays, only values change.
export function shape(form) {
  const bare = ({ value, place, given, fields, entries, blank, ...entry }) => {
    // Which words are ticked changes no control.
    if (isTicked({ ...entry, blank })) return { ...entry, choices: blank.choices };
    return { ...entry, fields: fields?.map(bare), entries: entries?.map(bare), blank: blank && bare(blank) };
  };
  return JSON.stringify([form.readable, form.fields.map(bare), [...revealed]]);
}

// The whole form. `does` says what a change, a wish for a blank card and a fix do.
export function build(form, open, does) {
  [controls, places, entries] = [new Map(), new Map(), new Map()];
  [told, revealed, choices] = [does, open, form.choices];
  const words = form.choices.map((list, n) => {
    const made = element("datalist");
    made.id = `words-${n}`;
    made.append(...list.map((word) => new Option(word)));
    return made;
  });
  const [first, rest] = [form.fields.filter(isFirst), form.fields.filter((entry) => !isFirst(entry))];
  const made = first.map(section);
  if (rest.length) made.push(more("More sections", [], rest.map(section)));
  return [...made, ...words];
}

function section(entry) {
  const made = element("section", "part");
  const head = element("h2", "", entry.label);
  head.id = `${idOf(entry.path)}-head`;
  made.setAttribute("aria-labelledby", head.id);
  made.append(head, element("p", "about", entry.about), place(entry));
  const inside = entry.kind === "group" ? group(entry) : [holding(entry, head.id)];
  made.append(...inside);
  return made;
}

// What is asked first, then the rest of the group; a small one is shown whole.
function group(entry, small = 0) {
  entries.set(keyOf(entry.path), entry);
  const [first, rest] = [entry.fields.filter(isFirst), entry.fields.filter((field) => !isFirst(field))];
  if (!first.length || !rest.length || entry.fields.length <= small) return entry.fields.map(field);
  return [...first.map(field), more("More fields of this section", rest, rest.map(field))];
}

function more(words, of, inside) {
  const made = element("details", "more-fields");
  made.dataset.of = inside[0]?.dataset.path ?? words;
  made.append(element("summary", "", of.length ? `${words} (${of.map((one) => one.label.toLowerCase()).join(", ")})` : words));
  made.append(...inside);
  return made;
}

function field(entry) {
  if (entry.kind === "single") return row(entry);
  if (isItems(entry)) return items(entry);
  const made = element("fieldset", "group");
  made.dataset.path = keyOf(entry.path);
  const head = element("legend", "", entry.label);
  head.id = `${idOf(entry.path)}-head`;
  made.append(head, element("p", "about", entry.about), place(entry), holding(entry, head.id));
  return made;
}

// What a group, a list or a value with its source holds.
function holding(entry, headId) {
  entries.set(keyOf(entry.path), entry);
  const made = element("div", `holds ${entry.kind}`);
  if (entry.fixed) made.append(element("p", "fixed", IN_THE_TEXT));
  else if (entry.kind === "group") made.append(...group(entry));
  else if (entry.kind === "stated") made.append(...stated(entry).map(row));
  else if (isItems(entry)) made.append(isTicked(entry) ? ticks(entry) : several(entry));
  else if (isTable(entry)) made.append(table(entry, headId), ...adding(entry));
  else if (entry.kind === "single") made.append(row(entry));
  else made.append(...cards(entry));
  return made;
}

// The value says what the field says, its source what a source is.
function stated(entry) {
  const [value, ...rest] = entry.fields;
  const { about, how, without, needed } = entry;
  return [{ ...value, label: "Value", spoken: entry.label, about: "", help: about, how, without, needed }, ...rest.map((one) => ({ ...one, spoken: `${entry.label}, source` }))];
}

// ---- One value ----

function row(entry) {
  const made = element("div", "row");
  made.dataset.path = keyOf(entry.path);
  const label = element("label", "", entry.label);
  label.htmlFor = idOf(entry.path);
  label.append(mark(entry));
  const answer = element("div", "answer");
  answer.append(input(entry, entry.spoken));
  if (entry.units) answer.append(element("span", "unit", entry.units));
  const help = element("p", "about", entry.about);
  const rest = element("span", "unseen", how(entry));
  help.id = `${idOf(entry.path)}-help`;
  help.append(rest);
  made.append(label, answer, help, place(entry));
  return made;
}

const how = ({ help, how, without }) => [help, how, without && `If omitted: ${without}`].filter(Boolean).map((words) => ` ${words}`).join("");

function mark(entry) {
  const made = element("span", "must", " needed");
  made.hidden = !entry.needed;
  return made;
}

function input(entry, spoken) {
  entries.set(keyOf(entry.path), entry);
  const list = entry.choices === null ? [] : choices[entry.choices];
  const made = element(list.length && !entry.open && !entry.fixed ? "select" : "input");
  made.id = idOf(entry.path);
  made.dataset.path = keyOf(entry.path);
  if (made.localName === "select") made.append(new Option("", ""), ...list.map((word) => new Option(word, word)));
  else {
    [made.type, made.autocomplete, made.spellcheck] = ["text", "off", false];
    made.setAttribute("autocapitalize", "off");
    if (list.length) made.setAttribute("list", `words-${entry.choices}`);
  }
  made.readOnly = entry.fixed;
  if (spoken) made.ariaLabel = spoken;
  made.setAttribute("aria-describedby", `${idOf(entry.path)}-help ${idOf(entry.path)}-told`);
  write(made, entry.value);
  made.addEventListener("input", () => told.typed() && told.change(entry.path, made.value.trim() || null));
  controls.set(keyOf(entry.path), made);
  return made;
}

function write(made, value) {
  if (made.localName === "select" && ![...made.options].some((option) => option.value === value)) {
    made.append(new Option(`${value} (as written)`, value));
  }
  made.value = value;
}

// Where the findings about a field are told.
function place(entry) {
  const made = element("div", "told");
  made.id = `${idOf(entry.path)}-told`;
  places.set(keyOf(entry.path), made);
  return made;
}

// ---- Several values, or several of a few words ----

function items(entry) {
  entries.set(keyOf(entry.path), entry);
  const made = element("div", "row");
  made.role = "group";
  made.dataset.path = keyOf(entry.path);
  const label = element("p", "label", entry.label);
  label.id = `${idOf(entry.path)}-head`;
  label.append(mark(entry));
  made.setAttribute("aria-labelledby", label.id);
  const about = element("p", "about", entry.about);
  const inside = entry.fixed ? element("p", "fixed", IN_THE_TEXT) : isTicked(entry) ? ticks(entry) : several(entry);
  made.append(label, inside, about, place(entry));
  return made;
}

function several(entry) {
  const made = element("div", "several");
  for (const one of shown(entry)) {
    const name = `${entry.label} ${one.label}`;
    const item = element("div", "item");
    const answer = element("div", "answer");
    answer.append(input({ ...one, units: "" }, name));
    if (one.units) answer.append(element("span", "unit", one.units));
    if (one.given) answer.append(removing(one, name));
    const help = element("span", "unseen", `${entry.about}${how(entry)}`);
    help.id = `${idOf(one.path)}-help`;
    item.append(answer, help, place(one));
    made.append(item);
  }
  made.append(...adding(entry));
  return made;
}

function ticks(entry) {
  const made = element("div", "ticks");
  const words = choices[entry.blank.choices];
  const others = entry.entries.map((one) => one.value).filter((word) => !words.includes(word));
  for (const word of [...words, ...others]) {
    const label = element("label");
    const box = element("input");
    box.type = "checkbox";
    box.value = word;
    box.dataset.path = keyOf([...entry.path, word]);
    box.setAttribute("aria-describedby", `${idOf(entry.path)}-told`);
    box.checked = entry.entries.some((one) => one.value === word);
    box.addEventListener("input", () => told.tick(entry.path, word, box.checked));
    label.append(box, word);
    made.append(label);
  }
  controls.set(keyOf(entry.path), made.querySelector("input"));
  return made;
}

// ---- A row for each size ----

// The single values of an entry, each with the name of its column.
function cells(entry) {
  if (entry.kind === "single") return [{ ...entry, column: entry.label || "Value" }];
  return (entry.fields ?? []).flatMap((one) => {
    if (one.kind === "single") return [{ ...one, column: one.label }];
    if (one.kind !== "stated") return [];
    const [value, source] = one.fields;
    return [{ ...value, about: one.about, column: one.label }, { ...source, column: `${one.label}, source` }];
  });
}

function table(entry, headId) {
  const box = element("div", "scrolls");
  const made = element("table");
  made.setAttribute("aria-labelledby", headId);
  const rows = shown(entry);
  const columns = cells(entry.blank);
  const head = made.createTHead().insertRow();
  const named = entry.kind === "keyed" ? ["Size", ...columns] : columns;
  for (const column of named) {
    const th = element("th", "", column.column ?? column);
    th.scope = "col";
    if (column.units) th.append(element("span", "unit", column.units));
    head.append(th);
  }
  head.append(element("td"));
  const body = made.createTBody();
  for (const one of rows) body.append(tableRow(entry, one));
  if (rows.length) box.append(made);
  const helped = columns.filter((column) => column.about);
  if (rows.length && helped.length) {
    const help = element("details", "columns");
    const list = element("dl");
    for (const column of helped) list.append(element("dt", "", column.column), element("dd", "", `${column.about}${how(column)}`));
    help.append(element("summary", "", "What the columns are"), list);
    box.append(help);
  }
  return box;
}

function tableRow(entry, one) {
  const made = element("tr");
  const name = entry.kind === "keyed" ? one.label : `${one.label}`;
  entries.set(keyOf(one.path), one);
  if (entry.kind === "keyed") {
    const th = element("th", "", one.label);
    th.scope = "row";
    th.append(place(one));
    made.append(th);
  }
  for (const cell of cells(one)) {
    const td = element("td");
    const help = element("span", "unseen", `${cell.about}${how(cell)}`);
    help.id = `${idOf(cell.path)}-help`;
    td.append(input(cell, `${cell.column}, ${name}`), help, place(cell));
    made.append(td);
  }
  const last = element("td");
  if (entry.kind !== "keyed") last.append(place(one));
  if (one.given) last.append(removing(one, name));
  made.append(last);
  return made;
}

// ---- Cards ----

// Of a list that must have something, the first entry is there to fill in.
const shown = (entry) => {
  const begins = entry.needed && !entry.entries.length;
  const asks = entry.kind === "list" && (begins || revealed.has(keyOf(entry.blank.path)));
  return asks ? [...entry.entries, entry.blank] : entry.entries;
};

function cards(entry) {
  const made = shown(entry).map((one) => {
    const name = `${entry.label} ${one.label}`;
    const card = element("fieldset", "card");
    card.dataset.path = keyOf(one.path);
    card.append(element("legend", "", name), place(one), ...group(one, 5));
    if (one.given) card.append(removing(one, name));
    return card;
  });
  return [...made, ...adding(entry)];
}

function removing(entry, name) {
  const made = element("button", "less", "Remove");
  made.type = "button";
  made.dataset.path = keyOf([...entry.path, "remove"]);
  made.append(element("span", "unseen", ` ${name}`));
  made.addEventListener("click", () => told.change(entry.path, null, { then: entry.path.slice(0, -1) }));
  return made;
}

function adding(entry) {
  const made = element("div", "adds");
  const button = element("button", "add", entry.kind === "keyed" ? "Add a size" : `Add to ${entry.label.toLowerCase()}`);
  button.type = "button";
  button.dataset.path = keyOf([...entry.path, "add"]);
  controls.set(keyOf([...entry.path, "add"]), button);
  if (entry.kind === "list") {
    button.addEventListener("click", () => told.reveal(entry.blank.path));
    made.append(button);
    return [made];
  }
  const size = element("input");
  [size.type, size.autocomplete, size.spellcheck] = ["text", "off", false];
  size.dataset.path = keyOf([...entry.path, "key"]);
  size.ariaLabel = `Size to add to ${entry.label.toLowerCase()}`;
  if (entry.key.choices !== null) size.setAttribute("list", `words-${entry.key.choices}`);
  const add = () => {
    const key = size.value.trim();
    if (!key) return size.focus();
    told.change([...entry.path, key], null, { open: true, then: [...entry.path, key] });
    size.value = "";
  };
  button.addEventListener("click", add);
  size.addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    add();
  });
  made.append(size, button);
  return [made];
}

// ---- As the text changes ----

// Brings the values up to date; the one that is being typed stays as it is.
export function update(form, typing) {
  const walk = (list) => {
    for (const entry of list) {
      const before = entries.get(keyOf(entry.path));
      if (before) entries.set(keyOf(entry.path), { ...before, ...labelled(before, entry) });
      if (isTicked(entry)) {
        for (const box of document.querySelectorAll("#form .ticks input")) {
          const path = JSON.parse(box.dataset.path);
          if (keyOf(path.slice(0, -1)) === keyOf(entry.path) && !typing(path)) box.checked = entry.entries.some((one) => one.value === box.value);
        }
        continue;
      }
      const made = controls.get(keyOf(entry.path));
      if (entry.kind === "single" && made && !typing(entry.path) && made.value.trim() !== entry.value.trim()) write(made, entry.value);
      walk(entry.fields ?? entry.entries ?? []);
    }
  };
  walk(form.fields);
}

// What is new of an entry, under the words that it has here.
const labelled = (before, { value, place, given, entries, blank, fields }) => ({ value, place, given, entries, blank, fields });

// Shows the findings at their fields, or at the group that they are in.
export function tell(findings, button) {
  for (const place of places.values()) place.replaceChildren();
  for (const made of controls.values()) made.removeAttribute("aria-invalid");
  for (const finding of findings) {
    if (!finding.in_spec || !finding.field.length) continue;
    let path = finding.field;
    while (path.length && !places.has(keyOf(path))) path = path.slice(0, -1);
    const place = places.get(keyOf(path));
    if (!place) continue;
    const made = element("p", "finding");
    made.dataset.weight = finding.severity;
    const sign = element("span", "weight", SIGNS[finding.severity]);
    sign.ariaHidden = "true";
    made.append(sign, element("span", "unseen", `${finding.severity}: `), finding.message);
    if (finding.help) made.append(element("span", "help", ` Fix: ${finding.help}`));
    place.append(made);
    if (finding.edits?.length) place.append(button(finding));
    if (finding.severity !== "error") continue;
    controls.get(keyOf(path))?.setAttribute("aria-invalid", "true");
    // An error is not kept behind "more".
    for (let it = place.closest("details"); it; it = it.parentElement.closest("details")) it.open = true;
  }
}

// The control of a path, or the first inside it, or of the group that it is in.
export function nearest(path) {
  for (let to = path; to.length; to = to.slice(0, -1)) {
    const exact = controls.get(keyOf(to));
    if (exact) return exact;
    const inside = keyOf(to).slice(0, -1) + ",";
    const first = [...controls.keys()].find((key) => key.startsWith(inside));
    if (first) return controls.get(first);
  }
  return null;
}
