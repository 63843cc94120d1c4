// What the signed code of a paper proves. The paper is from anybody: a worker that
// holds nothing else reads it, and another, which never reads it, compares what came back.

import * as desk from "./desk.js";
import { element } from "./element.js";
import * as engine from "./engine.js";
import { bytesOf, isPrivateKey, readOnce } from "./kinds.js";
import { filesOf, offer, on, saved, show } from "./more-desk.js";

const get = (id) => document.getElementById(id);
const keys = get("verify-keys");
let newest = 0;

// The text of a key's file, unless it is one that nobody may see.
async function publicKey(file) {
  const bytes = await readOnce(file);
  if (!isPrivateKey(bytes)) return new TextDecoder().decode(bytes).trim();
  bytes.fill(0);
  throw new engine.Failure(`${file.name} is a private key, which never leaves its owner; choose the public one`);
}

export function verify() {
  const spec = get("verify-spec");
  const chosen = spec.value;
  const open = desk.path() ? [new Option(`the open spec, ${desk.path()}`, "open")] : [];
  spec.replaceChildren(...open, new Option("the spec in the PDF, if there is one", "attached"));
  spec.value = chosen;
  if (spec.selectedIndex < 0) spec.selectedIndex = 0;
  offer("verify-register", isRegister, "none");
}

// A register has no line that says what it is: it is a table, or a list of procedures.
const isRegister = (path, bytes) => /\.csv$/i.test(path) || /^procedures:/m.test(new TextDecoder().decode(bytes.subarray(0, 4096)));

get("verify-key-open").addEventListener("click", () => get("verify-key").click());
on("verify-key", "change", async () => {
  const chosen = [...get("verify-key").files];
  get("verify-key").value = "";
  const texts = await Promise.all(chosen.map(publicKey));
  keys.value = [keys.value.trim(), ...texts].filter(Boolean).join("\n");
  return `Read ${chosen.map((file) => file.name).join(", ")}.`;
}, "No key was read");

get("verify-open").addEventListener("click", () => get("verify-paper").click());
on("verify-paper", "change", async () => {
  const [paper] = get("verify-paper").files;
  get("verify-paper").value = "";
  const mine = ++newest;
  let told;
  try {
    told = await report(paper, await bytesOf(paper));
  } catch (failure) {
    const why = failure.ended ? `reading it ${failure.message}; divide a long scan into shorter ones` : failure.message;
    throw new engine.Failure(`${paper.name} cannot be verified: ${why}`);
  }
  // Another paper was chosen meanwhile.
  if (mine !== newest) return;
  show(told.last_line, ...inWords(told));
}, "Nothing is proven");

async function report(paper, pdf) {
  const open = get("verify-spec").value === "open";
  const request = {
    ask: "verify",
    paper: paper.name,
    keys: keys.value,
    spec: open ? await saved() : null,
    records: open ? [] : filesOf("record"),
    register: get("verify-register").value || null,
    today: engine.today(),
  };
  const { bytes } = await engine.askOnce({ ask: "read-paper" }, pdf);
  const both = new Uint8Array(bytes.length + pdf.length);
  both.set(bytes);
  both.set(pdf, bytes.length);
  return (await engine.askOnce({ ...request, read: bytes.length }, both, desk.all())).told;
}

function line({ verdict, about, message, fails }) {
  const item = element("li");
  if (fails) item.dataset.fails = "";
  item.append(element("strong", verdict), element("span", about ? `${about}: ${message}` : message));
  return item;
}

function list(checks) {
  const made = element("ul", undefined, "checks");
  made.append(...checks.map(line));
  return made;
}

function inWords({ title, codes, remarks, next, limits }) {
  const shown = [element("p", title)];
  for (const code of codes) shown.push(element("h3", code.title), list(code.checks));
  if (remarks.length) shown.push(list(remarks.map((remark) => ({ ...remark, fails: true }))));
  if (next) shown.push(element("p", next, "verdict"));
  shown.push(element("p", limits), element("p", OPTIONS, "small"));
  return shown;
}

const OPTIONS = "These are the lines of the command coldring verify. Here --spec means to open that spec and compare with it, --house to open house.yaml and its logo with the spec, --record to open the records with “Open more files”, and --register the list of that name.";
