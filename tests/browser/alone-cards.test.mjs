// A thousand wallet cards in the page without a program.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, readdir, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { beginAlone, page } from "./page.mjs";
import { packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const of = (file) => path.join(top, "specs", file);
const SPEC = "alder-fork-gas.yaml";
const PEOPLE = 1000;
// The longest that the page may be without an answer, in milliseconds. What is slow here
// is the list of all that are shown; layout is in the worker.
const SILENT = 1000;

const GIVEN = ["Ada", "Bo", "Cleo", "Dov", "Edda", "Finn", "Greta", "Hugo", "Iris", "Jory"];
const FAMILY = ["Alder", "Birch", "Cedar", "Dogwood", "Elder", "Fern", "Gorse", "Hazel", "Ivy", "Juniper"];
const badge = (n) => `AF-${String(n).padStart(4, "0")}`;
const roster = () => [
  "name,badge,procedure,specimen_date,specimen_result,specimen_revision,specimen_record",
  ...Array.from({ length: PEOPLE }, (_, n) => `${GIVEN[n % 10]} ${FAMILY[Math.floor(n / 10) % 10]} ${Math.floor(n / 100)},${badge(n)},AF-JP-12,2026-08-10,pass,2,R-${n}`),
].join("\n");

// The files of cards that the program makes, by name, and its seconds.
async function made(people, more) {
  const out = await mkdtemp(path.join(tmpdir(), "coldring-cards-"));
  const began = performance.now();
  await run(program, ["cards", of(SPEC), "--fusers", people, "--rules", "us-gas", ...more, "--out", out]);
  const seconds = (performance.now() - began) / 1000;
  const [inside] = (await readdir(out)).filter((name) => !name.startsWith("."));
  const names = (await readdir(path.join(out, inside))).filter((name) => name.endsWith(".pdf"));
  const read = async (name) => [name, await readFile(path.join(out, inside, name))];
  return { files: new Map(await Promise.all(names.map(read))), seconds };
}

for (const signed of [false, true]) {
  test(`a thousand ${signed ? "signed " : ""}cards are those of the program, and the page answers while they are made`, async (t) => {
    const folder = await mkdtemp(path.join(tmpdir(), "coldring-cards-"));
    const people = path.join(folder, "people.csv");
    await writeFile(people, roster());
    await run(program, ["keys", "demo", "--out", folder]);
    const key = path.join(folder, "demo.private.pem");
    const expected = await made(people, signed ? ["--key", key] : []);

    await beginAlone(onDisk);
    await page.setInputFiles("#open-input", [SPEC, "records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml"].map(of));
    await page.waitForSelector("#sheets[aria-busy=false]");
    await page.click("#further");
    await page.setInputFiles("#more-input", people);
    await page.selectOption("#fusers-roster", "people.csv");
    await page.fill("#fusers-rules", "us-gas");
    if (signed) await page.setInputFiles("#cards-key", key);
    await page.evaluate(() => {
      window.silent = 0;
      let last = performance.now();
      setInterval(() => {
        window.silent = Math.max(window.silent, performance.now() - last);
        last = performance.now();
      }, 10);
    });
    const asked = performance.now();
    await page.click("#cards-make");
    // What is chosen while they are made is chosen.
    await page.selectOption("#form-kind", "joint-log");
    await page.waitForSelector("#more-shown button", { timeout: 60_000 });
    const took = (performance.now() - asked) / 1000;
    assert.equal(await page.inputValue("#form-kind"), "joint-log");
    const silent = await page.evaluate(() => silent);
    assert.ok(silent < SILENT, `the page was silent for ${silent} ms`);

    const told = await page.$$eval("#more-shown p:has(button)", (all) => all.map((line) => line.textContent));
    assert.equal(told.map((line) => Number(/(\d+) cards?$/.exec(line)[1])).reduce((sum, cards) => sum + cards), PEOPLE);
    assert.equal(told.length, expected.files.size);
    const texts = [];
    for (const button of await page.$$("#more-shown button")) {
      const [download] = await Promise.all([page.waitForEvent("download"), button.click()]);
      const file = await download.path();
      assert.ok((await readFile(file)).equals(expected.files.get(download.suggestedFilename())), download.suggestedFilename());
      texts.push((await run("pdftotext", ["-layout", file, "-"], { maxBuffer: 1 << 28 })).stdout);
    }
    // A card for each of them, and none is there twice.
    const badges = texts.join("\n").match(/AF-\d{4}/g);
    assert.deepEqual([...new Set(badges)].sort(), Array.from({ length: PEOPLE }, (_, n) => badge(n)));
    assert.equal(badges.length, PEOPLE);
    const memory = await page.workers()[0].evaluate(() => exports.memory.buffer.byteLength);
    t.diagnostic(`${took.toFixed(1)} s, the program ${expected.seconds.toFixed(1)} s; module ${(memory / 1e6).toFixed(0)} MB; the page silent for ${silent.toFixed(0)} ms at most`);
  });
}
