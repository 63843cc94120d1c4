// The specs that the page without a program remembers, from a disk: none unless it is
// asked to, only where they are, and none once it is told to forget.

import assert from "node:assert/strict";
import { cp, mkdtemp, rename } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { beforeEach, test } from "node:test";
import { pathToFileURL } from "node:url";
import { beginAlone, context, page } from "./page.mjs";
import { packages, top } from "./serve.mjs";

const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
let folder;
beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), "coldring-recent-"));
  for (const name of ["alder-fork-gas.yaml", "hollow-creek-geothermal.yaml", "people/fusers.yaml"]) {
    await cp(path.join(top, "specs", name), path.join(folder, path.basename(name)));
  }
});

// The next files that are picked, whose handles the browser gives for files that are dropped.
async function pick(...names) {
  await page.evaluate((count) => {
    const target = document.body;
    target.addEventListener("dragover", (event) => event.preventDefault(), { once: false });
    window.dropped = new Promise((resolve) => target.addEventListener("drop", (event) => {
      event.preventDefault();
      resolve(Promise.all([...event.dataTransfer.items].slice(0, count).map((item) => item.getAsFileSystemHandle())));
    }, { once: true }));
  }, names.length);
  const session = await page.context().newCDPSession(page);
  const data = { items: [], files: names.map((name) => path.join(folder, name)), dragOperationsMask: 1 };
  for (const type of ["dragEnter", "dragOver", "drop"]) await session.send("Input.dispatchDragEvent", { type, x: 40, y: 40, data });
  await page.evaluate(async () => {
    const handles = await window.dropped;
    window.showOpenFilePicker = async () => handles;
  });
  await page.click("#open-files");
}

const opened = (name) => page.waitForFunction((name) => document.getElementById("file-name").textContent === name && document.querySelector(".leaf img, #findings li"), name);
const again = async () => {
  await page.reload();
  await page.waitForFunction(() => document.getElementById("start-state").textContent === "Ready.");
};
const listed = () => page.$$eval("#recent-list button", (all) => all.map((one) => one.textContent));
const remembered = (count) => page.waitForFunction((count) => document.querySelectorAll("#recent-list button").length === count, count);
const databases = () => page.evaluate(async () => (await indexedDB.databases()).map(({ name }) => name));
// All that the database holds, as text; a handle shows its name.
const kept = () => page.evaluate(() => new Promise((resolve) => {
  const request = indexedDB.open("coldring-recent");
  request.onsuccess = () => {
    const database = request.result;
    const stores = [...database.objectStoreNames];
    const all = database.transaction(stores).objectStore(stores[0]).getAll();
    all.onsuccess = () => {
      database.close();
      resolve({ stores, all: all.result.map((list) => list.map((it) => [it.constructor.name, it.kind, it.name])) });
    };
  };
}));
const stored = () => page.evaluate(async () => [localStorage.length, sessionStorage.length, await caches.keys().then((all) => all.length, () => 0)]);

test("no spec is remembered unless it is asked for", async () => {
  await beginAlone(onDisk);
  assert.equal(await page.isChecked("#recent-on"), false);
  await pick("alder-fork-gas.yaml");
  await opened("alder-fork-gas.yaml");
  assert.deepEqual(await databases(), []);
  await again();
  assert.equal(await page.isChecked("#recent-on"), false);
  assert.deepEqual([await listed(), await databases()], [[], []]);
});

test("specs are remembered by where they are, opened again, and forgotten at once", async () => {
  await beginAlone(onDisk);
  await page.check("#recent-on");
  await pick("alder-fork-gas.yaml", "fusers.yaml");
  await opened("alder-fork-gas.yaml");
  await page.click("#files");
  await pick("hollow-creek-geothermal.yaml");
  await opened("hollow-creek-geothermal.yaml");
  await remembered(2);
  await again();
  // The newest is first; a roster is not among them.
  assert.deepEqual(await listed(), ["hollow-creek-geothermal.yaml", "alder-fork-gas.yaml"]);
  assert.equal(await page.isChecked("#recent-on"), true);
  assert.deepEqual(await kept(), { stores: ["specs"], all: [[
    ["FileSystemFileHandle", "file", "hollow-creek-geothermal.yaml"],
    ["FileSystemFileHandle", "file", "alder-fork-gas.yaml"],
  ]] });
  await page.click("#recent-list button:has-text('alder-fork-gas.yaml')");
  await opened("alder-fork-gas.yaml");
  // As its own file, which is saved in place.
  assert.ok(await page.isVisible("#reload"));
  await page.click("#files");
  await page.waitForSelector("#recent-list button:first-child:has-text('alder-fork-gas')");
  assert.deepEqual(await listed(), ["alder-fork-gas.yaml", "hollow-creek-geothermal.yaml"]);
  assert.deepEqual(await stored(), [0, 0, 0]);
  await page.uncheck("#recent-on");
  await page.waitForFunction(async () => !(await indexedDB.databases()).length);
  assert.deepEqual(await listed(), []);
  await again();
  assert.equal(await page.isChecked("#recent-on"), false);
});

test("the spec that is open when it is asked for is remembered too", async () => {
  await beginAlone(onDisk);
  await pick("alder-fork-gas.yaml");
  await opened("alder-fork-gas.yaml");
  await page.click("#files");
  await page.check("#recent-on");
  await page.waitForSelector("#recent-list button");
  assert.deepEqual(await listed(), ["alder-fork-gas.yaml"]);
});

test("permission is asked for again, and a file that is gone is told of", async () => {
  await beginAlone(onDisk);
  await page.check("#recent-on");
  await pick("alder-fork-gas.yaml");
  await opened("alder-fork-gas.yaml");
  await remembered(1);
  await again();
  const answer = (word) => page.evaluate((word) => {
    window.asked = [];
    FileSystemHandle.prototype.queryPermission = async () => "prompt";
    FileSystemHandle.prototype.requestPermission = async (how) => asked.push(how.mode) && word;
  }, word);
  const wrong = (words) => page.waitForFunction((words) => document.getElementById("start-error").textContent.includes(words), words);
  await answer("denied");
  await page.click("#recent-list button");
  await wrong("alder-fork-gas.yaml is not opened, because the browser may not read it.");
  assert.ok(await page.isVisible("#start"));
  await answer("granted");
  await rename(path.join(folder, "alder-fork-gas.yaml"), path.join(folder, "moved.yaml"));
  await page.click("#recent-list button");
  await wrong("no longer where it was");
  assert.deepEqual(await page.evaluate(() => asked), ["read"]);
  assert.deepEqual(await listed(), []);
});

test("nothing is offered where the browser has no handles of files, or stores nothing", async () => {
  const without = {
    "no handles": () => ["showOpenFilePicker", "showSaveFilePicker"].forEach((name) => delete Window.prototype[name] && delete window[name]),
    "no storage": () => (IDBFactory.prototype.databases = async () => { throw new DOMException("", "SecurityError"); }),
  };
  for (const [what, before] of Object.entries(without)) {
    await beginAlone(onDisk, { before });
    assert.equal(await page.isVisible("#recent"), false, what);
    await context.close();
  }
});
