// What coldring.html costs, measured in the browser: until it is ready, until a first
// card is painted, from a keystroke to the findings and to the painted page, and its
// memory. A benchmark, never a test. `tests/browser/latency alone [keystrokes]`.

import { stat } from "node:fs/promises";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { browser, open, packages } from "./serve.mjs";

const [keystrokes = "50"] = process.argv.slice(2);
const file = path.join(packages, "coldring.html");
const chromium = await browser();
const at = (all, share) => [...all].sort((a, b) => a - b)[Math.min(all.length - 1, Math.floor(share * all.length))];
const line = (what, all) => console.log(`${what.padEnd(34)} p50 ${at(all, 0.5).toFixed(0)} ms  p95 ${at(all, 0.95).toFixed(0)} ms  worst ${Math.max(...all).toFixed(0)} ms`);

// What all processes of the browser hold, in MB; shared pages are counted once.
async function memory(page) {
  const session = await page.context().newCDPSession(page);
  const { usedSize } = await session.send("Runtime.getHeapUsage");
  const [worker] = page.workers();
  const module = await worker.evaluate(() => exports.memory.buffer.byteLength);
  return `page ${(usedSize / 1e6).toFixed(0)} MB, module ${(module / 1e6).toFixed(0)} MB`;
}

console.log(`coldring.html ${((await stat(file)).size / 1e6).toFixed(1)} MB`);
try {
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
} finally {
  await chromium.close();
}
