// The specs that were opened on this computer, for whoever wants them remembered: the
// browser's handles of their files, and nothing of what is in them. That the database
// is there means that they are to be remembered; to forget is to delete it.

import * as desk from "./desk.js";
import { element } from "./element.js";

const get = (id) => document.getElementById(id);
const NAME = "coldring-recent";
const MOST = 10;

let open = async () => {};
let said = () => {};

const settled = (request) => new Promise((resolve, reject) => {
  request.onsuccess = () => resolve(request.result);
  request.onerror = request.onblocked = () => reject(request.error ?? new Error("another page holds it"));
});

// Works in the store of handles, and closes it.
async function within(work, mode = "readonly") {
  const request = indexedDB.open(NAME, 1);
  request.onupgradeneeded = () => request.result.createObjectStore("specs");
  const database = await settled(request);
  try {
    const transaction = database.transaction("specs", mode);
    const result = work(transaction.objectStore("specs"));
    await new Promise((resolve, reject) => {
      transaction.oncomplete = resolve;
      transaction.onabort = () => reject(transaction.error);
    });
    return result.result;
  } finally {
    database.close();
  }
}

// Asking which databases there are makes none.
const on = async () => (await indexedDB.databases()).some(({ name }) => name === NAME);
// The newest is first.
const kept = async () => (await within((store) => store.get("list"))) ?? [];
const keep = (list) => within((store) => store.put(list.slice(0, MOST), "list"), "readwrite");

async function without(list, handle) {
  const same = await Promise.all(list.map((other) => handle.isSameEntry(other)));
  return list.filter((_, n) => !same[n]);
}

// Remembers the file of a spec, if that is wanted.
export async function remember(handle) {
  try {
    if (!offered() || !(await on())) return;
    await keep([handle, ...(await without(await kept(), handle))]);
    await show();
  } catch (error) {
    said(`This spec is not remembered: ${error.message}.`);
  }
}

async function reopen(handle) {
  try {
    const before = await handle.queryPermission({ mode: "read" });
    const may = before === "granted" ? before : await handle.requestPermission({ mode: "read" });
    if (may !== "granted") return said(`${handle.name} is not opened, because the browser may not read it.`);
    await open([{ handle, file: await handle.getFile() }]);
  } catch (error) {
    if (error.name !== "NotFoundError") return said(`${handle.name} cannot be read: ${error.message}.`);
    await keep(await without(await kept(), handle));
    await show();
    said(`${handle.name} is no longer where it was. Open it from its new place.`);
  }
}

async function show() {
  const list = (await on()) ? await kept() : [];
  get("recent-on").checked = await on();
  get("recent-list").replaceChildren(...list.map((handle) => {
    const button = element("button", handle.name);
    button.addEventListener("click", () => reopen(handle));
    return button;
  }));
}

const offered = () => !get("recent").hidden;

// Not offered where the browser has no handles, or stores nothing for this page.
export async function begin(then, tell) {
  [open, said] = [then, tell];
  if (!desk.canPick()) return;
  try {
    await indexedDB.databases();
  } catch {
    return;
  }
  get("recent").hidden = false;
  get("recent-shared").hidden = location.protocol !== "file:";
  desk.onHandle(remember);
  await show();
}

get("recent-on").addEventListener("change", async () => {
  try {
    if (get("recent-on").checked) {
      await keep([]);
      if (desk.onDisk()) await remember(desk.itsHandle());
    } else {
      await settled(indexedDB.deleteDatabase(NAME));
    }
  } catch (error) {
    said(`The browser does not do this: ${error.message}.`);
  }
  await show();
});
