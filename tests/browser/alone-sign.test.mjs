// Signing in the page without a program: papers and cards are those of the program
// with the same key, and the key is nowhere afterwards.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, readdir, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { audit, beginAlone, page } from "./page.mjs";
import { packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const of = (file) => path.join(top, "specs", file);
const SPEC = "alder-fork-gas.yaml";
const ROSTER = "people/fusers.yaml";

let folder;
let key; // its id, and the paths of its two files
let secrets; // what must not be found anywhere: the line of the PEM, and the 32 bytes
before(async () => {
  folder = await mkdtemp(path.join(tmpdir(), "coldring-sign-"));
  const { stdout, stderr } = await run(program, ["keys", "demo", "--out", folder]);
  key = {
    id: /^key ([0-9A-F]{8})$/m.exec(stdout + stderr)[1],
    private: path.join(folder, "demo.private.pem"),
    public: path.join(folder, "demo.public.pem"),
  };
  const line = (await readFile(key.private, "utf8")).split("\n")[1];
  secrets = [Buffer.from(line), Buffer.from(line, "base64").subarray(-32)];
});

async function written(command) {
  const out = await mkdtemp(path.join(folder, "out-"));
  await run(program, [...command, "--out", out]);
  const [inside] = (await readdir(out)).filter((name) => !name.startsWith("."));
  return (name) => readFile(path.join(out, inside, name));
}

async function more() {
  await beginAlone(onDisk);
  await page.setInputFiles("#open-input", [SPEC, "records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml"].map(of));
  await page.waitForSelector("#sheets[aria-busy=false]");
  await page.click("#further");
  await page.setInputFiles("#more-input", of(ROSTER));
  await page.waitForFunction(() => /Opened/.test(document.getElementById("more-state").textContent));
  await page.selectOption("#fusers-roster", { index: 1 });
}

async function downloaded(selector) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click(selector)]);
  return { name: download.suggestedFilename(), path: await download.path(), bytes: await readFile(await download.path()) };
}

const chosen = () => page.$$eval("#sign-key, #cards-key", (all) => all.map((one) => one.files.length));
const refused = async () => {
  await page.waitForSelector("#more-error:not([hidden])");
  return page.textContent("#more-error");
};

// Whether bytes are in the memory of the module.
const inModule = (bytes) => page.workers()[0].evaluate((wanted) => {
  const memory = new Uint8Array(exports.memory.buffer);
  for (let at = memory.indexOf(wanted[0]); at >= 0; at = memory.indexOf(wanted[0], at + 1)) {
    if (wanted.every((byte, n) => memory[at + n] === byte)) return true;
  }
  return false;
}, [...bytes]);

async function leftNothing() {
  assert.deepEqual(await chosen(), [0, 0]);
  const stored = await page.evaluate(async () => [
    localStorage.length, sessionStorage.length, (await indexedDB.databases()).length,
    await caches.keys().then((all) => all.length, () => 0), document.cookie.length,
  ]);
  assert.deepEqual(stored, [0, 0, 0, 0, 0]);
  assert.deepEqual(page.requests.filter((url) => !/^(blob|data):/.test(url)), [onDisk]);
  const [pem, bytes] = secrets;
  const shown = await page.evaluate(() => document.documentElement.outerHTML + [...document.querySelectorAll("input, textarea, select")].map((one) => one.value).join(" "));
  assert.ok(!shown.includes(pem.toString()) && !shown.includes("BEGIN PRIVATE KEY"));
  assert.ok(await inModule(Buffer.from("Marta Quill")), "what a roster says is there to be found");
  assert.equal(await inModule(pem), false, "the text of the key");
  assert.equal(await inModule(bytes), false, "its bytes");
}

test("a signed paper and signed cards are those of the program, and the key is nowhere afterwards", async () => {
  await more();
  const paper = await written(["build", of(SPEC), "--key", key.private]);
  await page.setInputFiles("#sign-key", key.private);
  await audit("signing");
  const card = await downloaded("#sign-make");
  assert.equal(card.name, "alder-fork-gas-card.pdf");
  assert.ok(card.bytes.equals(await paper("card.pdf")));
  await leftNothing();

  await page.selectOption("#sign-paper", "procedure");
  await page.setInputFiles("#sign-key", key.private);
  const procedure = await downloaded("#sign-make");
  assert.ok(procedure.bytes.equals(await paper("procedure.pdf")));
  await run(program, ["verify", procedure.path, "--trust", key.public, "--spec", of(SPEC)]);
  await leftNothing();

  const cards = await written(["cards", of(SPEC), "--fusers", of(ROSTER), "--key", key.private]);
  await page.setInputFiles("#cards-key", key.private);
  await page.click("#cards-make");
  await page.waitForSelector("#more-shown button");
  await leftNothing();
  assert.ok((await page.textContent("#more-shown")).includes(`Signed with the key ${key.id}.`));
  const made = await downloaded("#more-shown button");
  assert.ok(made.bytes.equals(await cards(made.name)));
  // Without a key there is no signature.
  await page.click("#cards-make");
  await page.waitForFunction(() => !/Signed with/.test(document.getElementById("more-shown").textContent));
  assert.ok(!(await downloaded("#more-shown button")).bytes.equals(made.bytes));
});

test("a file that is no private key signs nothing, and is forgotten too", async () => {
  await more();
  const large = path.join(folder, "large.pem");
  await writeFile(large, (await readFile(key.private, "utf8")) + "a".repeat(10_000));
  for (const [file, why] of [[key.public, /is a public key, which cannot sign/], [of(ROSTER), /has more than 10000 bytes|no Ed25519 private key/], [large, /more than 10000 bytes/]]) {
    for (const [input, button] of [["#sign-key", "#sign-make"], ["#cards-key", "#cards-make"]]) {
      await page.setInputFiles(input, file);
      await page.click(button);
      assert.match(await refused(), why);
      await leftNothing();
    }
  }
  await page.click("#sign-make");
  assert.match(await refused(), /choose the file of the private key/);
});

test("a key is forgotten when the screen is left, and is not opened with the other files", async () => {
  await more();
  await page.setInputFiles("#sign-key", key.private);
  await page.setInputFiles("#cards-key", key.private);
  assert.deepEqual(await chosen(), [1, 1]);
  await page.click("#more-back");
  await leftNothing();
  await page.click("#further");
  await page.setInputFiles("#more-input", key.private);
  assert.match(await refused(), /demo\.private\.pem is a private key, which is not kept open/);
  assert.doesNotMatch(await page.textContent("#more-list"), /pem/);
  await leftNothing();
});
