// The page as a whole: what is typed goes to the program, what it tells is shown.
// Only what is told of the newest text counts.

import * as editor from "./editor.js";
import * as file from "./file.js";
import * as findings from "./findings.js";
import * as pages from "./pages.js";
import * as scale from "./scale.js";

const get = (id) => document.getElementById(id);
// Shorter than between two keystrokes; several of one stroke go together.
const PAUSE = 20;
// Work that takes longer than this is told of.
const LONG = 600;

const tab = crypto.randomUUID();
let newest = 0;
let waiting = 0;
let errors = 0;

const wishes = () => ({
  language: get("language").value,
  paper: get("paper-size").value,
  card_trim: get("card-trim").value,
});

let silence = 0;
function said(text) {
  get("said").textContent = text;
  clearTimeout(silence);
  silence = setTimeout(() => (get("said").textContent = ""), 6000);
}

function soon() {
  clearTimeout(waiting);
  waiting = setTimeout(look, PAUSE);
}

async function look() {
  const mine = ++newest;
  pages.busy(true);
  const slow = setTimeout(() => mine === newest && pages.say("The pages are being set…", "quiet"), LONG);
  try {
    const answer = await fetch("look", {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ tab, count: mine, text: editor.value(), in_view: pages.current(), wishes: wishes() }),
    });
    if (!answer.ok) throw new Error(`answers ${answer.status}`);
    let last = null;
    for await (const told of lines(answer.body)) {
      if (mine !== newest) return;
      await take(told, mine);
      last = told.what;
    }
    if (mine === newest && last !== "done" && last !== "fault") throw new Error("ends early");
  } catch {
    if (mine !== newest) return;
    pages.say("The program does not answer, so these pages are of an earlier text. Was it ended? Your text is still here.", "grave", true);
    setTimeout(() => mine === newest && soon(), 2000);
  } finally {
    clearTimeout(slow);
  }
}

async function* lines(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) return;
      rest += value;
      const whole = rest.split("\n");
      rest = whole.pop();
      for (const line of whole) yield JSON.parse(line);
    }
  } finally {
    // Of an older text nothing more is wanted.
    reader.cancel();
  }
}

async function take(told, mine) {
  if (told.what === "findings") {
    editor.mark(told.findings);
    findings.show(told.findings);
    errors = told.errors;
    if (errors) withErrors();
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
    if (errors === 0) pages.say("");
    pages.busy(false);
  }
}

function withErrors() {
  const many = errors === 1 ? "an error" : `${errors} errors`;
  if (pages.any()) {
    pages.say(`These pages are of an earlier text. The text as it is now has ${many}; mend what is listed to see its pages.`, "grave", true);
  } else {
    get("sheets").replaceChildren(pages.empty(`No pages yet: the text has ${many}. Mend what is listed, and they appear here.`));
  }
}

// For whoever measures: from the last keystroke to the pages that show it.
function painted() {
  pages.say("");
  requestAnimationFrame(() => setTimeout(() => {
    if (performance.getEntriesByName("typed").length) performance.measure("typed to painted", "typed");
    performance.clearMarks("typed");
  }));
}

async function fieldHelp() {
  const path = editor.path();
  const box = get("field");
  box.hidden = !path.length;
  const words = path.join(" › ");
  if (get("field-path").textContent === words) return;
  get("field-path").textContent = words;
  const answer = await fetch(`help?path=${encodeURIComponent(JSON.stringify(path))}`).catch(() => null);
  const told = answer?.ok ? await answer.json() : {};
  if (get("field-path").textContent === words) get("field-help").textContent = told.help ?? "";
}

editor.onInput(() => {
  performance.clearMarks("typed");
  performance.mark("typed");
  file.told();
  soon();
});
editor.onMove(fieldHelp);
pages.onChoice(() => {
  scale.apply();
  look();
});
for (const id of ["language", "paper-size", "card-trim"]) get(id).addEventListener("change", look);
get("download").addEventListener("click", () => file.download(pages.current(), wishes()));
get("keys").addEventListener("click", () => get("key-list").showModal());
get("key-close").addEventListener("click", () => get("key-list").close());

addEventListener("keydown", (event) => {
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s") {
    event.preventDefault();
    file.save();
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
look();
