// From keystroke to painted page, measured in the browser: from the input event to
// the first frame with the pages that show it, by performance.now. A benchmark,
// never a test. `tests/browser/latency [spec] [rounds]` builds what it measures.

import { browser, open, start } from "./serve.mjs";

// Places in the demo where one types, and what is typed there.
const PLACES = {
  "hollow-creek-geothermal.yaml": [
    { what: "a word of the title", after: "Socket fusion of PE4710", keys: "abcdefgh" },
    { what: "a digit of a wait", after: "before_handling: {value: ", keys: "1234" },
    { what: "a gauge's depth", after: "DG-5, source: \"caliper, gauge DG-5, 2026-10-2", keys: "8123" },
    { what: "a letter of a source", after: "HC Operations Manual 7.", keys: "abcdef" },
    { what: "a letter of a comment", after: "and so are its n", keys: "abcdef" },
  ],
  "alder-fork-gas.yaml": [
    { what: "a word of the title", after: "Socket fusion of PE2708", keys: "abcdefgh" },
    { what: "a digit of a wait", after: "before_handling: {value: ", keys: "1234" },
    { what: "a letter of a comment", after: "# ", keys: "abcdef" },
  ],
};

const [spec = "hollow-creek-geothermal.yaml", rounds = "4"] = process.argv.slice(2);
const served = await start(spec);
const chromium = await browser();
const at = (sorted, share) => sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
const all = [];
try {
  const context = await chromium.newContext({ viewport: { width: 1280, height: 800 } });
  const page = await open(context, served.link);
  await page.waitForSelector(".leaf img");
  await page.waitForTimeout(2000);
  for (const paper of ["procedure", "card", "depth-marks"]) {
    await page.click(`#tab-${paper}`);
    await page.waitForTimeout(1500);
    for (const { what, after, keys } of PLACES[spec] ?? []) {
      const took = [];
      for (let round = 0; round < Number(rounds); round++) {
        for (const key of [...keys, ..."\b".repeat(keys.length)]) {
          await page.evaluate(() => performance.clearMeasures());
          if (key !== "\b") await caret(page, after, keys.indexOf(key));
          await page.keyboard.press(key === "\b" ? "Backspace" : key);
          const measured = await page
            .waitForFunction(() => performance.getEntriesByName("typed to painted")[0]?.duration, null, { timeout: 5000, polling: 20 })
            .then((handle) => handle.jsonValue(), () => null);
          if (measured !== null) took.push(measured);
          // As fast as a quick typist.
          await page.waitForTimeout(120);
        }
      }
      took.sort((a, b) => a - b);
      all.push(...took);
      console.log(`${paper.padEnd(12)} ${what.padEnd(24)} ${took.length} keystrokes  p50 ${at(took, 0.5)?.toFixed(0)} ms  p95 ${at(took, 0.95)?.toFixed(0)} ms  worst ${took.at(-1)?.toFixed(0)} ms`);
    }
  }
  all.sort((a, b) => a - b);
  console.log(`all ${all.length}: p50 ${at(all, 0.5).toFixed(0)} ms, p95 ${at(all, 0.95).toFixed(0)} ms, worst ${all.at(-1).toFixed(0)} ms`);
} finally {
  await chromium.close();
  await served.stop();
}

function caret(page, after, typed) {
  return page.evaluate(([after, typed]) => {
    const text = document.getElementById("text");
    const place = text.value.indexOf(after) + after.length + typed;
    text.focus();
    text.setSelectionRange(place, place);
  }, [after, typed]);
}
