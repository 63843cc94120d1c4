// Everything the page asks of coldring where no program runs: a worker answers, which
// holds the compiler as WebAssembly. The functions are those of engine-http.js.
//
// A worker that fails or takes too long is dropped, and another begun with the files
// that are open; what was typed is in the page and stays there.

import * as desk from "./desk.js";
import { Failure } from "./failure.js";

export { Failure };

// How long the worker may be silent, in milliseconds. No spec of the demo takes a tenth of it.
const LONGEST = Number(document.getElementById("module").dataset.longest);
const MOST_PICTURES = 120;

const source = URL.createObjectURL(
  new Blob([document.getElementById("worker").textContent], { type: "text/javascript" }),
);

let worker;
let module = null; // compiled once, for every worker
let waiting = new Map(); // what was asked and is not answered
let asked = 0;
let watchdog = 0;
let ready;
export const begun = new Promise((resolve, reject) => (ready = { resolve, reject }));

function begin() {
  worker = new Worker(source);
  worker.onmessage = ({ data }) => take(data);
  worker.onerror = (event) => failed(event.message);
  if (module) worker.postMessage({ module });
  for (const [path, bytes] of desk.all()) post({ ask: "put", path }, bytes, () => {});
}

// The module as it lies in the page, or its address where the page has it not.
function unpack() {
  const packed = document.getElementById("module");
  worker.postMessage({ packed: packed.textContent.trim(), address: packed.dataset.address && new URL(packed.dataset.address, location).href });
  packed.remove();
}

function take({ id, compiled, failure, told, bytes, last }) {
  if (failure) return failed(failure);
  if (compiled) {
    module = compiled;
    return ready.resolve();
  }
  const then = waiting.get(id);
  if (last) waiting.delete(id);
  watch();
  then?.(told, bytes);
}

function watch() {
  clearTimeout(watchdog);
  if (module && waiting.size) watchdog = setTimeout(() => failed(`nothing came back within ${LONGEST / 1000} seconds`), LONGEST);
}

// All that was asked of the worker fails with it.
function failed(why) {
  worker.terminate();
  if (!module) return ready.reject(new Failure(why));
  const message = `A fault of coldring, not of your files: ${why}. Your text is still here, and coldring was started again. Please send this message and the spec to the maintainers; replace the names of people first.`;
  const lost = [...waiting.values()];
  waiting = new Map();
  begin();
  watch();
  for (const then of lost) then({ what: "fault", why: message, message }, null);
}

function post(request, bytes, then) {
  const id = ++asked;
  waiting.set(id, then);
  worker.postMessage({ id, request, bytes });
  watch();
}

export const ask = (request, bytes = null) => new Promise((resolve, reject) => {
  post(request, bytes, (told, made) => (told?.why && !told.rule ? reject(new Failure(told.why)) : resolve({ told, bytes: made })));
});

// The date here, as a program on this computer would have it.
function today() {
  const now = new Date();
  const two = (n) => String(n).padStart(2, "0");
  return `${String(now.getFullYear()).padStart(4, "0")}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
export { today };

const about = (text, wishes) => ({ path: desk.path(), house: desk.house(), text, wishes, today: today() });

export async function* look({ text, in_view, wishes }) {
  const come = [];
  let wake = () => {};
  post({ ask: "look", in_view, ...about(text, wishes) }, null, (told) => {
    come.push(told);
    wake();
  });
  for (;;) {
    while (come.length) {
      const told = come.shift();
      const message = told.what ? told : { what: "fault", message: told.why };
      yield message;
      if (message.what === "done" || message.what === "fault") return;
    }
    await new Promise((resolve) => (wake = resolve));
  }
}

const pictures = new Map(); // id → address
export async function picture(id) {
  if (!pictures.has(id)) {
    const { bytes } = await ask({ ask: "picture", id });
    pictures.set(id, URL.createObjectURL(new Blob([bytes], { type: "image/svg+xml" })));
  }
  const address = pictures.get(id);
  // The newest are last.
  pictures.delete(id);
  pictures.set(id, address);
  for (const [old, gone] of pictures) {
    if (pictures.size <= MOST_PICTURES) break;
    pictures.delete(old);
    URL.revokeObjectURL(gone);
  }
  return address;
}

export async function pdf(paper, wishes, seen) {
  const file = await read();
  if (file.digest !== seen) throw new Failure("The file was changed on the disk.", file);
  const { told, bytes } = await ask({ ask: "pdf", paper, ...about(file.text, wishes) });
  const stem = desk.path().split("/").at(-1).replace(/\.[^.]*$/, "");
  return { name: `${stem}-${told.name}`, blob: new Blob([bytes], { type: "application/pdf" }) };
}

// What is made of the open spec, as last saved, besides its papers.
export async function further(request, wishes) {
  const file = await read();
  if (file.text === null) throw new Failure(file.why);
  return ask({ ...request, ...about(file.text, wishes) });
}

export const why = async (rule) => (await ask({ ask: "why", rule })).told;
export const form = async (text) => (await ask({ ask: "form", text })).told;
export const writeField = async (field) => (await ask({ ask: "field", ...field })).told.edits;
export const describe = async (path) => (await ask({ ask: "describe", path })).told.help ?? "";

const digest = async (bytes) => (await ask({ ask: "digest" }, bytes)).told.digest;
const decode = (bytes) => {
  try {
    return { text: new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes), why: null };
  } catch {
    return { text: null, why: "the file is not UTF-8" };
  }
};

// The file as it is. Without a disk that is as it was last saved.
let last = { bytes: null };
export async function read() {
  await desk.opened;
  let bytes;
  try {
    bytes = await desk.bytes();
  } catch {
    return { name: desk.path(), text: null, digest: null, why: "the file is no longer there, or may not be read" };
  }
  if (last.bytes !== bytes || last.file.name !== desk.path()) {
    last = { bytes, file: { name: desk.path(), digest: await digest(bytes), ...decode(bytes) } };
  }
  return { ...last.file, fresh: desk.isFresh(), state: desk.state() };
}

export async function save(text, seen) {
  const before = await read();
  if (before.digest !== seen) throw new Failure("The file was changed on the disk.", before);
  const bytes = new TextEncoder().encode(text);
  try {
    await desk.save(bytes);
  } catch (error) {
    throw new Failure(error.name === "AbortError" ? "No place was chosen." : `The browser does not write the file: ${error.message}`);
  }
  return read();
}

export async function copy(text) {
  const name = desk.path().split("/").at(-1).replace(/(\.[^.]*)?$/, "-copy$1");
  desk.download(name, new TextEncoder().encode(text));
  return { name };
}

export function put(path, bytes) {
  return ask({ ask: "put", path }, bytes);
}

begin();
unpack();
