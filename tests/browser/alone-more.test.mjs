// What the page without a program makes besides the papers of a spec, by the keyboard.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, readdir } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { audit, beginAlone, page } from "./page.mjs";
import { packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const of = (file) => path.join(top, "specs", file);
const SPEC = "alder-fork-gas.yaml";
const EARLIER = "earlier/alder-fork-gas-r1.yaml";
const ROSTER = "people/fusers.yaml";

// The file of this name that a command writes.
async function written(name, folder, command) {
  const out = await mkdtemp(path.join(tmpdir(), "coldring-more-"));
  await run(program, [...command, folder, out]);
  const [inside] = (await readdir(out)).filter((name) => !name.startsWith("."));
  return readFile(path.join(out, inside, name));
}

async function press(id) {
  await page.focus(`#${id}`);
  await page.keyboard.press("Enter");
}

async function downloaded(id) {
  const [download] = await Promise.all([page.waitForEvent("download"), press(id)]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

// Chooses by typing how the entry begins.
async function choose(id, words) {
  await page.focus(`#${id}`);
  await page.keyboard.type(words);
}

test("forms, changes, standings, calendar and cards are those of the program", async () => {
  await beginAlone(onDisk);
  const files = [SPEC, "records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml"];
  await page.setInputFiles("#open-input", files.map(of));
  await page.waitForSelector("#sheets[aria-busy=false]");
  await press("further");
  await page.setInputFiles("#more-input", [EARLIER, ROSTER].map(of));
  await page.waitForFunction(() => /Opened/.test(document.getElementById("more-state").textContent));

  const form = await downloaded("form-make");
  assert.equal(form.name, "alder-fork-gas-record-form.pdf");
  assert.ok(form.bytes.equals(await written("record-form.pdf", "--out", ["forms", of(SPEC)])));

  // Without an earlier spec there is nothing to compare with.
  await press("compare-notice");
  await page.waitForSelector("#more-error:not([hidden])");
  await choose("compare-earlier", "alder");
  const notice = await downloaded("compare-notice");
  assert.ok(notice.bytes.equals(await written("change-notice.pdf", "--notice", ["compare", of(EARLIER), of(SPEC)])));
  await press("compare-show");
  await page.waitForSelector("#more-result-head:focus");
  assert.ok((await page.$$("#more-result tbody tr")).length > 3);

  await choose("fusers-roster", "fusers");
  await press("fusers-show");
  await page.waitForSelector("#more-result td");
  const { stdout } = await run(program, ["fusers", of(ROSTER), "--format", "json"]);
  assert.equal((await page.$$("#more-result tbody tr")).length, JSON.parse(stdout).rows.length);
  await audit("fusers");
  const calendar = await downloaded("fusers-calendar");
  assert.equal(calendar.name, "fusers.ics");
  assert.equal(calendar.bytes.toString(), (await run(program, ["fusers", of(ROSTER), "--format", "ics"])).stdout);

  await press("cards-make");
  await page.waitForSelector("#more-shown button");
  const [made] = await Promise.all([page.waitForEvent("download"), page.click("#more-shown button")]);
  const cards = await written(made.suggestedFilename(), "--out", ["cards", of(SPEC), "--fusers", of(ROSTER)]);
  assert.ok((await readFile(await made.path())).equals(cards));

  // What named people is not there any more.
  await press("more-back");
  assert.equal(await page.textContent("#more-shown"), "");
});
