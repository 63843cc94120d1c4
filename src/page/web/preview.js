// The page as a whole: what is typed goes to the program, what it tells is shown.
// Only what is told of the newest text counts.

import * as editor from "./editor.js";
import * as engine from "./engine.js";
import * as file from "./file.js";
import * as findings from "./findings.js";
import * as form from "./form.js";
import * as outline from "./outline.js";
import * as pages from "./pages.js";
import * as scale from "./scale.js";

const get = (id) => document.getElementById(id);
// A keystroke is sent at once, and those that follow it closely go together.
const PAUSE = 30;
// Work that takes longer than this is told of.
const LONG = 600;
// The help of a field waits until its name is typed.
const NAMED = 150;

let newest = 0;
let waiting = 0;
let asked = -Infinity; // when
let errors = 0;
let found = [];

let silence = 0;
function said(text) {
  get("said").textContent = text;
  clearTimeout(silence);
  silence = setTimeout(() => (get("said").textContent = ""), 6000);
}

function soon() {
  clearTimeout(waiting);
  const rest = asked + PAUSE - performance.now();
  if (rest <= 0) look();
  else waiting = setTimeout(look, rest);
}

async function look() {
  clearTimeout(waiting);
  const mine = ++newest;
  asked = performance.now();
  const text = editor.value();
  pages.busy(true);
  const slow = setTimeout(() => mine === newest && pages.say("The pages are being set…", "quiet"), LONG);
  try {
    for await (const told of engine.look({ text, in_view: pages.current(), wishes: pages.wishes() })) {
      if (mine !== newest) return;
      take(told, mine, text);
    }
  } catch (failure) {
    if (!(failure instanceof engine.Failure)) throw failure;
    if (mine !== newest) return;
    pages.say("The program does not answer, so these pages are of an earlier text. Was it ended? Your text is still here.", "grave", true);
    setTimeout(() => mine === newest && soon(), 2000);
  } finally {
    clearTimeout(slow);
  }
}

function take(told, mine, text) {
  if (told.what === "findings") {
    editor.mark(told.findings);
    findings.show(told.findings, text);
    found = told.findings;
    form.tell(found);
    outline.show(editor.value(), found);
    errors = told.errors;
    if (errors) withErrors();
    measure("typed to found");
  } else if (told.what === "papers") {
    pages.list(told.papers);
  } else if (told.what === "paper") {
    const shown = pages.show(told.id, told.pages, told.withheld);
    scale.begin();
    // The next paper is not waited for by this one's pictures.
    shown.then(() => mine === newest && told.id === pages.current() && painted());
  } else if (told.what === "fault") {
    pages.say(told.message, "grave", true);
    errors = -1;
  } else if (told.what === "done") {
    if (errors === 0 || !pages.any()) pages.say("");
    pages.busy(false);
  }
}

function withErrors() {
  const many = errors === 1 ? "an error" : `${errors} errors`;
  if (pages.any()) {
    pages.say(`These pages are of an earlier text. The text now has ${many}: fix what is listed to see its pages.`, "grave", true);
  } else {
    get("sheets").replaceChildren(pages.empty(`No pages yet: the text has ${many}. Fix what is listed, and the pages appear here.`));
  }
}

// For whoever measures: from the last keystroke to the pages that show it.
function painted() {
  pages.say("");
  requestAnimationFrame(() => setTimeout(() => {
    measure("typed to painted");
    performance.clearMarks("typed");
  }));
}

function measure(name) {
  if (performance.getEntriesByName("typed").length) performance.measure(name, "typed");
}

let naming = 0;
function fieldHelp() {
  const path = editor.path();
  const box = get("field");
  box.hidden = !path.length;
  const words = path.join(" › ");
  if (get("field-path").textContent === words) return;
  get("field-path").textContent = words;
  clearTimeout(naming);
  naming = setTimeout(async () => {
    const help = await engine.describe(path).catch(() => "");
    if (get("field-path").textContent === words) get("field-help").textContent = help;
  }, NAMED);
}

editor.onInput((event) => {
  performance.clearMarks("typed");
  performance.mark("typed", { startTime: event.timeStamp });
  soon();
  file.told();
  outline.show(editor.value(), found);
  form.changed();
});
editor.onMove(() => {
  fieldHelp();
  outline.here();
});
findings.onFix(said);
findings.onGo((finding) => finding.in_spec && form.go(finding.field));
outline.onGo(form.go);
editor.onReveal(() => form.show(false));
pages.onChoice(() => {
  scale.apply();
  look();
});
for (const id of ["language", "paper-size", "card-trim"]) get(id).addEventListener("change", look);
get("download").addEventListener("click", () => file.download(pages.current(), pages.wishes()));
get("keys").addEventListener("click", () => get("key-list").showModal());
get("key-close").addEventListener("click", () => get("key-list").close());

addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
    event.preventDefault();
    file.save();
  } else if ((event.ctrlKey || event.metaKey) && event.key === ".") {
    event.preventDefault();
    findings.fixHere();
  } else if (event.key === "F2") {
    event.preventDefault();
    form.show(!form.isShown());
  } else if (event.key === "F8") {
    event.preventDefault();
    const found = findings.step(event.shiftKey ? -1 : 1);
    // On the screen it is marked in the list.
    if (found) get("spoken").textContent = `Line ${found.line}, ${found.severity}: ${found.message}`;
  }
});

const theme = get("theme");
theme.value = scale.kept.get("coldring-theme") ?? "";
const themed = () => (document.documentElement.dataset.theme = theme.value);
theme.addEventListener("change", () => {
  scale.kept.set("coldring-theme", theme.value);
  themed();
});
themed();

await file.begin(said);
form.begin(said, (path, help) => {
  get("field").hidden = false;
  get("field-path").textContent = path.join(" › ");
  get("field-help").textContent = help;
});
look();
