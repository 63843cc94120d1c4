// The file: saved, read again, kept as a copy. Every save says which state of the
// file it goes over; where the file is in another, the person decides.

import * as editor from "./editor.js";
import * as engine from "./engine.js";

const get = (id) => document.getElementById(id);
const state = get("file-state");
const dialog = get("changed");
const diskNote = get("disk-note");
const LOOK_AGAIN = 1500;

let seen = null; // digest of the file as it is known here
let saved = ""; // its text, unless it was never saved, with line ends as the textarea has them
let lineEnd = "\n";
let kept = "saved"; // what it is called while nothing is typed
let onDisk = null; // the other state, while the person decides
let said = () => {};

const plain = (text) => text.replace(/\r\n?/g, "\n");
const withEnds = (text) => (lineEnd === "\n" ? text : text.replaceAll("\n", lineEnd));

export const unsaved = () => plain(editor.value()) !== saved;

export async function begin(tell) {
  said = tell;
  await open();
  setInterval(watch, LOOK_AGAIN);
}

// Shows the file from its start, with nothing to undo.
export async function open() {
  const file = await read();
  if (!file) return;
  know(file);
  diskNote.hidden = true;
  editor.begin(plain(file.text));
  const name = file.name.split("/").at(-1);
  document.title = `${name} – preview`;
  get("file-name").textContent = name;
  get("file-folder").textContent = file.name.slice(0, -name.length);
  told();
}

// The file, or nothing once it was said why there is none.
async function read() {
  try {
    const file = await engine.read();
    if (file.text !== null) return file;
    said(file.why);
  } catch (failure) {
    said(failure.message);
  }
  return null;
}

function know(file) {
  seen = file.digest;
  kept = file.state ?? "saved";
  lineEnd = /\r\n/.test(file.text) && !/(^|[^\r])\n/.test(file.text) ? "\r\n" : "\n";
  // One that was just begun is nowhere yet.
  saved = file.fresh ? null : plain(file.text);
}

// Says whether the text is saved.
export function told() {
  const not = unsaved();
  state.textContent = not ? "not saved" : kept;
  state.toggleAttribute("data-unsaved", not);
  get("download").setAttribute("aria-disabled", not);
}

export async function save(over = seen) {
  let file;
  try {
    file = await engine.save(withEnds(editor.value()), over);
  } catch (failure) {
    return failure.changed ? differs(failure.changed) : said(`Not saved. ${failure.message}`);
  }
  if (file.text === null) return differs(file);
  know(file);
  diskNote.hidden = true;
  told();
  said("Saved.");
}

function differs(file) {
  onDisk = file;
  get("changed-why").textContent = file.digest === null
    ? "The file is no longer there, or cannot be read. Nothing was saved."
    : "Something else wrote it after it was read here. Nothing was saved.";
  get("show-disk").hidden = get("take-disk").hidden = file.text === null;
  get("disk-text").hidden = true;
  get("sure").hidden = true;
  dialog.showModal();
}

function take(file) {
  know(file);
  if (plain(editor.value()) !== saved) editor.type(saved);
  diskNote.hidden = true;
  told();
}

// Notices that the file was written by something else. Where nothing is typed
// here that is not saved, the page follows the file.
async function watch() {
  if (document.hidden || dialog.open) return;
  const file = await engine.read().catch(() => null);
  if (!file || file.digest === seen) {
    if (file) diskNote.hidden = true;
    return;
  }
  if (file.text !== null && plain(file.text) === plain(editor.value())) return take(file);
  if (file.text !== null && !unsaved()) {
    take(file);
    return said("Read again: the file was changed on the disk.");
  }
  if (!diskNote.hidden && onDisk?.digest === file.digest) return;
  onDisk = file;
  diskNote.textContent = file.text === null
    ? `On the disk, ${file.why}.`
    : "The file was changed on the disk, and you have text here that is not saved.";
  const button = document.createElement("button");
  button.textContent = "Decide…";
  button.addEventListener("click", () => differs(file));
  diskNote.append(button);
  diskNote.hidden = false;
}

async function reload() {
  const file = await read();
  if (!file) return;
  const had = unsaved();
  take(file);
  said(had ? "Read again. Undo brings back what you had typed." : "Read again.");
}

export async function download(paper, wishes) {
  if (unsaved()) return said("Save first: a PDF carries the digest of the saved file.");
  said("Making the PDF…");
  let made;
  try {
    made = await engine.pdf(paper, wishes, seen);
  } catch (failure) {
    return said(`No PDF. ${failure.message}${failure.changed ? " Reload it first." : ""}`);
  }
  const link = document.createElement("a");
  link.href = URL.createObjectURL(made.blob);
  link.download = made.name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  said(`Downloaded ${link.download}.`);
}

get("save").addEventListener("click", () => save());
get("reload").addEventListener("click", reload);
get("changed-close").addEventListener("click", () => dialog.close());
get("show-disk").addEventListener("click", () => {
  get("disk-text").value = onDisk.text;
  get("disk-text").hidden = false;
  get("disk-text").focus();
});
get("take-disk").addEventListener("click", () => {
  dialog.close();
  take(onDisk);
  said("Read again. Undo brings back what you had typed.");
});
get("keep-copy").addEventListener("click", async () => {
  let kept;
  try {
    kept = await engine.copy(withEnds(editor.value()));
  } catch (failure) {
    return said(`No copy. ${failure.message}`);
  }
  dialog.close();
  said(`Your text is kept as ${kept.name}.`);
});
get("overwrite").addEventListener("click", () => {
  get("sure").hidden = false;
  get("sure-yes").focus();
});
get("sure-no").addEventListener("click", () => (get("sure").hidden = true));
get("sure-yes").addEventListener("click", () => {
  dialog.close();
  save(onDisk.digest);
});
addEventListener("beforeunload", (event) => {
  if (unsaved()) event.preventDefault();
});
