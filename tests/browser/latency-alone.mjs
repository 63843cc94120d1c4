// What coldring.html costs, measured in the browser: until it is ready, until a first
// card is painted, from a keystroke to the findings and to the painted page, and its
// memory. A benchmark, never a test. `tests/browser/latency alone [keystrokes]`, or
// `tests/browser/latency alone hour [edits]` for its memory over an hour's edits.

import { readFile, stat } from "node:fs/promises";
import path from "node:path";
import { argv } from "node:process";
import { pathToFileURL } from "node:url";
import { browser, open, packages, top } from "./serve.mjs";

const hour = argv[2] === "hour";
const [keystrokes = "50", edits = "3600"] = argv.slice(2);
const file = path.join(packages, "coldring.html");
const chromium = await browser();
const at = (all, share) => [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(share * all.length))];
const line = (what, all) => console.log(`${what.padEnd(34)} p50 ${at(all, 0.5).toFixed(0)} ms  p95 ${at(all, 0.95).toFixed(0)} ms  worst ${Math.max(...all).toFixed(0)} ms`);

// What the page, its module, and the process of both hold, in MB; the last has parts of the
// browser that other processes share with it.
async function memory(page) {
  const session = await page.context().newCDPSession(page);
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  const [worker] = page.workers();
  const module = await worker.evaluate(() => exports.memory.buffer.byteLength);
  return `page ${(usedSize / 1e6).toFixed(0)} MB, module ${(module / 1e6).toFixed(0)} MB, process ${await process()} MB`;
}

async function costs() {
  const [ready, card, first] = [[], [], []];
  for (let n = 0; n < 3; n++) {
    const context = await chromium.newContext({ viewport: { width: 1280, height: 800 } });
    const began = performance.now();
    const page = await open(context, pathToFileURL(file).href);
    await page.waitForFunction(() => document.getElementById("start-state").textContent === "Ready.", null, { polling: 20 });
    ready.push(performance.now() - began);
    const chosen = performance.now();
    await page.click("#example-list button:has-text('geothermal')");
    await page.waitForSelector(".leaf img");
    card.push(performance.now() - chosen);
    await page.waitForSelector("#sheets[aria-busy=false]");
    first.push(performance.now() - chosen);
    if (n < 2) {
      await context.close();
      continue;
    }
    line("opened to ready", ready);
    line("chosen to the first card", card);
    line("chosen to all papers", first);
    console.log(`memory then: ${await memory(page)}`);
    for (const paper of ["card", "procedure"]) {
      await page.click(`#tab-${paper}`);
      await page.waitForTimeout(3000);
      const [found, painted] = [[], []];
      const after = "before_handling: {value: ";
      for (let n = 0; n < Number(keystrokes); n++) {
        await page.evaluate(([after, n]) => {
          performance.clearMeasures();
          const text = document.getElementById("text");
          const place = text.value.indexOf(after) + after.length;
          text.focus();
          text.setSelectionRange(place, place + 1);
        }, [after, n]);
        await page.keyboard.press(n % 2 ? "5" : "6");
        const took = (name) => page.waitForFunction((name) => performance.getEntriesByName(name).at(-1)?.duration, name, { timeout: 15_000, polling: 20 }).then((it) => it.jsonValue());
        found.push(await took("typed to found"));
        painted.push(await took("typed to painted"));
        await page.waitForTimeout(120);
      }
      line(`${paper}: keystroke to findings`, found);
      line(`${paper}: keystroke to painted`, painted);
    }
    for (let n = 0; n < 200; n++) {
      await page.evaluate((n) => {
        const text = document.getElementById("text");
        text.value = text.value.replace(/^  title: .*$/m, `  title: Edited ${n}`);
        text.dispatchEvent(new Event("input"));
      }, n);
      await page.waitForTimeout(n % 10 ? 60 : 1500);
    }
    await page.waitForSelector("#sheets[aria-busy=false]");
    console.log(`memory after 200 edits: ${await memory(page)}`);
    await context.close();
  }
}

// As a page that is open all day: one spec after the other, every edit looked at with the
// card in view and then with the procedure, and what else is made of each spec.
const BLOCK = 300;
async function anHour() {
  const context = await chromium.newContext({ viewport: { width: 1280, height: 800 } });
  // Saved by a download, which asks nobody.
  await context.addInitScript(() => ["showOpenFilePicker", "showSaveFilePicker"].forEach((name) => delete Window.prototype[name] && delete window[name]));
  const page = await open(context, pathToFileURL(file).href);
  page.setDefaultTimeout(60_000);
  page.on("dialog", (dialog) => dialog.accept());
  await page.waitForFunction(() => document.getElementById("start-state").textContent === "Ready.");
  const settled = () => page.waitForSelector("#sheets[aria-busy=false]");
  console.log(`at the start: ${await memory(page)}`);
  const began = performance.now();
  for (let done = 0; done < Number(edits); done += BLOCK) {
    const spec = ["geothermal", "gas", "water", "hot"][(done / BLOCK) % 4];
    if (done) await page.click("#files");
    await page.click(`#example-list button:has-text('${spec}') >> nth=0`);
    await page.waitForSelector(".leaf img");
    for (let n = 0; n < BLOCK; n++) {
      if (n % (BLOCK / 2) === 0) await page.click(`#tab-${n ? "procedure" : "card"}`);
      await page.evaluate(([n, done]) => {
        const text = document.getElementById("text");
        // A number that the card prints, where the spec has it, and the title.
        const changed = text.value.replace(/(before_handling: \{value: )\d+/, (_, before) => before + (5 + (n % 7)));
        text.value = n % 2 ? changed : changed.replace(/^  title: .*$/m, `  title: Edited ${done + n}`);
        text.dispatchEvent(new Event("input"));
      }, [n, done]);
      await page.waitForTimeout(60);
      if (n % 10 === 9) await settled();
    }
    await settled();
    await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
    await page.click("#further");
    for (const kind of ["record", "joint-log", "test-sheet", "lesson-sheet"]) {
      await page.selectOption("#form-kind", kind);
      await page.click("#form-make");
      await page.waitForFunction(() => document.getElementById("more-state").textContent !== "Working…");
    }
    await page.setInputFiles("#more-input", path.join(top, "specs/people/fusers.csv"));
    await page.selectOption("#fusers-roster", "fusers.csv");
    await page.fill("#fusers-rules", "us-gas");
    await page.click("#cards-make");
    await page.waitForFunction(() => document.getElementById("more-state").textContent !== "Working…");
    await page.click("#more-back");
    console.log(`after ${done + BLOCK} edits (${spec}, ${((performance.now() - began) / 60_000).toFixed(1)} min): ${await memory(page)}`);
  }
  await context.close();
}

// The largest process that draws a page.
async function process() {
  const session = await chromium.newBrowserCDPSession();
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  await session.detach();
  const pages = processInfo.filter(({ type }) => type === "renderer");
  const held = await Promise.all(pages.map(async ({ id }) => {
    const status = await readFile(`/proc/${id}/status`, "utf8").catch(() => "");
    return Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1] ?? 0) / 1000;
  }));
  return Math.max(...held).toFixed(0);
}

console.log(`coldring.html ${((await stat(file)).size / 1e6).toFixed(1)} MB`);
try {
  await (hour ? anHour() : costs());
} finally {
  await chromium.close();
}
