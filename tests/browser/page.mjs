// The page that a test types in, and what a person does there.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, afterEach, before } from "node:test";
import { browser, open, start } from "./serve.mjs";

export const PATIENCE = { timeout: 30_000 };

let chromium;
export let served;
export let context;
export let page;
let gone = false; // whether a program was ended, which is asked again and again after that

before(async () => {
  chromium = await browser();
});
after(() => chromium.close());

export async function begin(spec = "hollow-creek-geothermal.yaml", options = {}) {
  served = await start(spec, options.more);
  context = await chromium.newContext({ viewport: { width: 1280, height: 800 }, ...options.context });
  page = await open(context, served.link);
  page.setDefaultTimeout(PATIENCE.timeout);
  await page.waitForSelector("#sheets[aria-busy=false]");
  if (options.pages !== false) await page.waitForSelector(".leaf img");
}

// The page without a program, at an address.
export async function beginAlone(address, options = {}) {
  context = await chromium.newContext({ viewport: { width: 1280, height: 800 }, ...options.context });
  if (options.before) await context.addInitScript(options.before);
  page = await open(context, address);
  page.setDefaultTimeout(PATIENCE.timeout);
  await page.waitForFunction(() => document.getElementById("start-state").textContent === "Ready.", null, PATIENCE);
}

// Ends the program before the test does; returns what it ended with.
export async function end() {
  const ended = await served.stop();
  served = null;
  gone = true;
  return ended;
}

afterEach(async () => {
  const complaints = page?.complaints ?? [];
  await context?.close();
  const ended = await served?.stop();
  page = context = served = null;
  // A refused save is told by the browser too.
  const unexpected = complaints.filter((said) => !said.includes("409") && !(gone && said.includes("ERR_CONNECTION_REFUSED")));
  gone = false;
  assert.deepEqual(unexpected, []);
  if (ended) assert.equal(ended.code, 0, ended.said);
});

// Puts the cursor behind a text, or marks it, as with the mouse.
export const select = (words, whole = false) =>
  page.evaluate(([words, whole]) => {
    const text = document.getElementById("text");
    const start = text.value.indexOf(words);
    if (start < 0) throw new Error(`no ${words}`);
    text.focus();
    text.setSelectionRange(whole ? start : start + words.length, start + words.length);
  }, [words, whole]);

export const replace = async (words, by) => {
  await select(words, true);
  await page.keyboard.insertText(by);
};
export const lineOf = async (words) => {
  const text = await page.inputValue("#text");
  return text.slice(0, text.indexOf(words)).split("\n").length;
};
export const wanted = () => page.$$eval(".sheet", (all) => all.map((one) => one.dataset.wanted));
// The compiler's worker is the only one; one that never rests takes a moment to end.
export async function oneWorker() {
  const latest = performance.now() + 10_000;
  while (page.workers().length > 1 && performance.now() < latest) await page.waitForTimeout(20);
  assert.equal(page.workers().length, 1);
}
export const stale = () => page.$eval("#sheets", (sheets) => sheets.hasAttribute("data-stale"));
export const errorAt = (line) => page.waitForSelector(`#findings li[data-weight="error"][data-line="${line}"]`);
export const said = (words) =>
  page.waitForFunction((words) => document.getElementById("said").textContent.includes(words), words);
export const isStale = (is) =>
  page.waitForFunction((is) => document.getElementById("sheets").hasAttribute("data-stale") === is, is);

// Another paper.
export async function choose(id) {
  await page.click(`#tab-${id}`);
  await page.waitForSelector(".leaf img");
}

export async function audit(what) {
  const axe = await readFile(new URL("node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
  // By the debugger's door: the page's own policy lets no other script in.
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
  const told = violations.map((it) => `${it.impact} ${it.id}: ${it.nodes.map((node) => node.html).slice(0, 3).join(" | ")}`);
  const grave = told.filter((it) => /^(serious|critical)/.test(it));
  assert.deepEqual(grave, [], what);
}
