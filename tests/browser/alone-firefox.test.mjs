// The page without a program in Firefox: it opens from a disk, its papers and cards are
// those of the program, and findings and the form work.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, readdir } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { beginAlone, errorAt, isStale, lineOf, page, replace } from "./page.mjs";
import { downloadedBy, packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const of = (file) => path.join(top, "specs", file);
const SPEC = "alder-fork-gas.yaml";
const FILES = [SPEC, "records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml"].map(of);
const ROSTER = of("people/fusers.yaml");

async function written(command) {
  const out = await mkdtemp(path.join(tmpdir(), "coldring-firefox-"));
  await run(program, [...command, "--out", out]);
  const [inside] = (await readdir(out)).filter((name) => !name.startsWith("."));
  const files = (await readdir(path.join(out, inside))).filter((name) => name.endsWith(".pdf"));
  return new Map(await Promise.all(files.map(async (name) => [name, await readFile(path.join(out, inside, name))])));
}

const downloaded = (selector) => downloadedBy(() => page.click(selector));

const settled = async () => {
  await page.waitForSelector("#sheets[aria-busy=false]");
  await page.waitForSelector(".leaf img");
};

test("papers, findings, the form and cards are as in any browser", async () => {
  const [papers, cards] = await Promise.all([written(["build", of(SPEC)]), written(["cards", of(SPEC), "--fusers", ROSTER])]);
  await beginAlone(onDisk);
  await page.setInputFiles("#open-input", FILES);
  await settled();
  // There are no handles of files, so nothing is offered to be remembered.
  assert.ok(!(await page.isVisible("#recent-on")));

  assert.ok(papers.size > 3);
  for (const [name, bytes] of papers) {
    await page.click(`#tab-${name.replace(/\.pdf$/, "")}`);
    assert.ok((await downloaded("#download")).bytes.equals(bytes), name);
  }

  const line = await lineOf("set_point");
  await replace("set_point: 500 °F", "set_point: 900 °F");
  await errorAt(line);
  await isStale(true);
  await replace("set_point: 900 °F", "set_point: 500 °F");
  await isStale(false);

  const key = JSON.stringify(["cycles", "waits", "before_handling", "value"]);
  await page.keyboard.press("F2");
  await page.fill(`#form input[data-path='${key}']`, "7 min");
  await page.waitForFunction(() => document.getElementById("text").value.includes("before_handling: {value: 7 min"));
  await page.fill(`#form input[data-path='${key}']`, "5 min");
  await page.waitForFunction(() => document.getElementById("file-state").textContent !== "not saved");

  await page.click("#further");
  await page.setInputFiles("#more-input", ROSTER);
  await page.waitForFunction(() => /Opened/.test(document.getElementById("more-state").textContent));
  await page.selectOption("#fusers-roster", { index: 1 });
  await page.click("#cards-make");
  await page.waitForSelector("#more-shown button");
  const made = await downloaded("#more-shown button");
  assert.ok(made.bytes.equals(cards.get(made.name)), made.name);
});
