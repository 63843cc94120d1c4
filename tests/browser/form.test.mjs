// The form beside the text: the same spec, filled in by keyboard, with the text's
// remarks kept and the findings at their fields.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { readFile, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { beforeEach, describe, test } from "node:test";
import { promisify } from "node:util";
import { audit, begin, page, replace, said, select, served } from "./page.mjs";
import { program } from "./serve.mjs";

const run = promisify(execFile);
const text = () => page.inputValue("#text");
const at = (...keys) => `#form :is(input, select)[data-path='${JSON.stringify(keys)}']`;
const focused = () => page.evaluate(() => document.activeElement.dataset.path ?? document.activeElement.id);
const until = (words) => page.waitForFunction((words) => document.getElementById("text").value.includes(words), words);
const gone = (words) => page.waitForFunction((words) => !document.getElementById("text").value.includes(words), words);

async function form() {
  await page.click("#views [data-view=form]");
  await page.waitForSelector("#form .part");
}

// Types over what a field has.
async function fill(keys, value) {
  await page.focus(at(...keys));
  await page.keyboard.press("Control+a");
  await page.keyboard.type(value);
}

describe("a field", () => {
  beforeEach(async () => {
    await begin("hollow-creek-geothermal.yaml");
    await form();
  });

  test("changes its own place in the text, as one step to undo", async () => {
    const before = await text();
    assert.equal(await page.inputValue(at("heater", "set_point")), "500 °F");
    await fill(["heater", "set_point"], "505 °F");
    await until("set_point: 505 °F");
    const line = (of) => of.split("\n").filter((it) => !it.includes("set_point"));
    assert.deepEqual(line(await text()), line(before));
    // The focus is where it was, and what is typed next is a step of its own.
    assert.equal(await focused(), JSON.stringify(["heater", "set_point"]));
    await fill(["heater", "step"], "5 °F");
    await until("step: 5 °F");
    await page.keyboard.press("Control+z");
    await gone("step: 5 °F");
    assert.match(await text(), /set_point: 505 °F/);
    await page.keyboard.press("Control+z");
    await page.waitForFunction((before) => document.getElementById("text").value === before, before);
    await page.waitForFunction((at) => document.querySelector(at).value === "500 °F", at("heater", "set_point"));
    await page.keyboard.press("Control+Shift+z");
    await until("set_point: 505 °F");
  });

  test("follows the text at every key, and the text follows it", async () => {
    await page.click("#views [data-view=text]");
    await replace("swing: ", "swing: 1");
    await page.keyboard.press("F2");
    await page.waitForSelector("#form .part");
    // At the field where the cursor was.
    await page.waitForFunction(() => document.activeElement.dataset.path === '["heater","swing"]');
    const swing = await page.inputValue(at("heater", "swing"));
    assert.match(swing, /^1/);
    await page.keyboard.press("End");
    await page.keyboard.press("Backspace");
    await gone(`swing: ${swing}`);
    await until(`swing: ${swing.slice(0, -1).trim()}`);
    // And back, at its place.
    await page.keyboard.press("F2");
    const line = await page.$eval("#text", (it) => it.value.slice(0, it.selectionStart).split("\n").at(-1));
    assert.match(line, /swing: $/);
    assert.equal(await focused(), "text");
  });

  test("has its findings under it, and their fix", async () => {
    const field = at("heater", "set_point");
    await fill(["heater", "set_point"], "900 °F");
    await page.waitForFunction((at) => {
      const field = document.querySelector(at);
      const told = document.getElementById(field.getAttribute("aria-describedby").split(" ").at(-1));
      return field.ariaInvalid === "true" && told.textContent.includes("900");
    }, field);
    const described = (await page.getAttribute(field, "aria-describedby")).split(" ");
    const told = await page.evaluate((ids) => ids.map((id) => document.getElementById(id).textContent).join(" "), described);
    assert.match(told, /controller/);
    assert.match(told, /error: .*900/);
    // Without its unit a number is no temperature.
    await fill(["heater", "swing"], "4");
    await page.waitForSelector(`${at("heater", "swing")}[aria-invalid=true]`);
    await fill(["heater", "set_point"], "500 °F");
    await page.waitForFunction((at) => !document.querySelector(at).hasAttribute("aria-invalid"), field);
    // The list goes to the field, not to the text.
    await page.click("#findings li[data-weight=error] .go");
    assert.equal(await focused(), JSON.stringify(["heater", "swing"]));
    assert.equal(await page.isVisible("#form"), true);
  });

  test("has a button that writes what its finding says, where that is certain", async () => {
    await fill(["cleaning", "strength"], "91");
    const button = await page.waitForSelector(`#form .row[data-path='["cleaning","strength"]'] .fix`);
    assert.match(await button.textContent(), /Write.*91 %/);
    await button.click();
    await until("strength: 91 %");
    await page.waitForFunction((at) => document.querySelector(at).value === "91 %", at("cleaning", "strength"));
    assert.equal(await page.isVisible("#form"), true);
  });

  test("is left out when it is emptied, and its remark stays", async () => {
    await page.click("#views [data-view=text]");
    const swing = /  swing: (.*)\n/.exec(await text())[0].trimEnd();
    await replace(swing, `${swing}  # measured`);
    await form();
    await page.focus(at("heater", "swing"));
    await page.keyboard.press("Control+a");
    await page.keyboard.press("Delete");
    await gone("swing:");
    assert.match(await text(), /\n  # measured\n/);
    await page.keyboard.type("4 °F");
    await until("swing: 4 °F  # measured");
  });

  test("with a hostile text in it stays data", async () => {
    const evil = `"] }: {x: &a <img src=x onerror='window.ran = 1'> # *b`;
    await fill(["procedure", "title"], evil);
    await until("window.ran");
    assert.equal(await page.inputValue(at("procedure", "title")), evil);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.$("#writing img"), null);
    assert.equal(await page.inputValue(at("procedure", "organization")), "Hollow Creek District Energy");
  });
});

describe("sizes, cards and words", () => {
  beforeEach(async () => {
    await begin("tour/2-measured.yaml");
    await form();
  });

  test("a size is added, filled in and taken out", async () => {
    const before = await text();
    await page.focus('#form [data-path=\'["tools","depth_gauges","key"]\']');
    await page.keyboard.type("2 IPS");
    await page.keyboard.press("Enter");
    await until("2 IPS: {}");
    await page.waitForFunction(() => document.activeElement.dataset.path === '["tools","depth_gauges","2 IPS","depth"]');
    await page.keyboard.type("0.9 in");
    await until("2 IPS: {depth: 0.9 in}");
    assert.equal(await page.getAttribute(at("tools", "depth_gauges", "2 IPS", "depth"), "aria-label"), "Depth, 2 IPS");
    await page.click('#form [data-path=\'["tools","depth_gauges","2 IPS","remove"]\']');
    await page.waitForFunction((before) => document.getElementById("text").value === before, before);
  });

  test("a card is added once something stands in it", async () => {
    const before = await text();
    await page.click('#form [data-path=\'["procedure","revisions","add"]\']');
    await page.waitForFunction(() => document.activeElement.dataset.path === '["procedure","revisions","1","revision"]');
    assert.equal(await text(), before);
    await page.keyboard.type("2");
    await until("- {revision: 2}");
    assert.equal(await focused(), '["procedure","revisions","1","revision"]');
    await page.keyboard.press("Tab");
    await page.keyboard.type("2026-12-01");
    await until("- {revision: 2, date: 2026-12-01}");
  });

  test("a word is ticked and unticked", async () => {
    const before = await text();
    await page.focus('#form [data-path=\'["fittings","kinds","cap"]\']');
    await page.keyboard.press("Space");
    await until("kinds: [coupling, elbow, tee, cap]");
    await page.keyboard.press("Space");
    await page.waitForFunction((before) => document.getElementById("text").value === before, before);
  });
});

test("what is not safe to change is left to the text", async () => {
  await begin("tour/2-measured.yaml");
  await replace("step: 2 °F", "step: &two 2 °F");
  await replace("swing: 4 °F", "swing: *two");
  await form();
  assert.equal(await page.$eval(at("heater", "step"), (it) => it.readOnly), true);
  assert.equal(await page.$eval(at("heater", "swing"), (it) => it.readOnly), true);
  await page.keyboard.press("F2");
  await replace("cycles:", "cycles: [");
  await page.keyboard.press("F2");
  await page.waitForSelector("#form .no-form");
  await page.click("#form .no-form button");
  assert.equal(await page.isVisible("#form"), false);
});

test("a starter is filled in by keyboard alone, and its remarks stay", async () => {
  const folder = await (await import("node:fs/promises")).mkdtemp(path.join(tmpdir(), "coldring-form-"));
  const made = path.join(folder, "new.yaml");
  await run(program, ["new", made, "--sizes", "3/4 IPS, 1 IPS", "--no-schema"]);
  const starter = await readFile(made, "utf8");
  await begin("tour/1-least.yaml");
  // As if it had been opened.
  await select("coldring: 1");
  await page.keyboard.press("Control+a");
  await page.keyboard.insertText(starter);
  await page.keyboard.press("F2");
  await page.waitForSelector("#form .part");

  // Only by the tab key.
  const goTo = async (...keys) => {
    const wanted = JSON.stringify(keys);
    for (let n = 0; n < 300; n++) {
      if ((await focused()) === wanted) return;
      await page.keyboard.press("Tab");
    }
    throw new Error(`the tab key does not reach ${wanted}`);
  };
  const put = async (keys, value) => {
    await goTo(...keys);
    await page.keyboard.press("Control+a");
    await page.keyboard.type(value);
  };
  await put(["procedure", "number"], "HC-SF-7");
  await put(["procedure", "title"], "Socket fusion of PE4710 pipe, 3/4 and 1 IPS");
  await put(["procedure", "organization"], "Hollow Creek District Energy");
  await put(["scope", "pipe_temperature"], "40 °F to 100 °F");
  await put(["heater", "face_offset"], "-2 °F");
  await put(["heater", "step"], "2 °F");
  await put(["heater", "swing"], "4 °F");
  await put(["heater", "face_check", "accuracy"], "2 °F");
  for (const [size, depth, id] of [["3/4 IPS", "0.64 in", "DG-1"], ["1 IPS", "0.71 in", "DG-2"]]) {
    await put(["tools", "depth_gauges", size, "depth"], depth);
    await put(["tools", "depth_gauges", size, "id"], id);
    await put(["tools", "depth_gauges", size, "source"], `caliper, gauge ${id}, 2026-10-28`);
  }
  await put(["cleaning", "strength"], "91 %");
  for (const [wait, value] of [["before_handling", "5 min"], ["before_pressure_test", "30 min"]]) {
    await put(["cycles", "waits", wait, "value"], value);
    await put(["cycles", "waits", wait, "source"], "HC Operations Manual 7.3");
  }
  await until("before_pressure_test: {value: 30 min, source: HC Operations Manual 7.3}");

  const written = await text();
  const remarks = (of) => of.match(/# .*/g).map((it) => it.trim());
  assert.deepEqual(remarks(written), remarks(starter));
  await writeFile(made, written);
  const { stdout } = await run(program, ["check", made, "--format", "json", "--as-of", "2026-11-25"]);
  const checked = JSON.parse(stdout);
  assert.equal(checked.errors, 0, stdout);
  const open = checked.findings.map((it) => it.rule);
  for (const rule of ["depth-not-measured", "face-offset-unknown", "heater-step-or-swing-unknown", "wait-missing"]) {
    assert.ok(!open.includes(rule), rule);
  }
  await page.waitForFunction(() => document.getElementById("sheets").getAttribute("aria-busy") === "false");
});

describe("for everybody", () => {
  for (const colorScheme of ["light", "dark"]) {
    test(`without serious findings of the auditor, ${colorScheme}`, async () => {
      await begin("alder-fork-gas.yaml", { context: { colorScheme } });
      await form();
      for (const it of await page.$$("#form details")) await it.evaluate((it) => (it.open = true));
      await fill(["heater", "set_point"], "900 °F");
      await page.waitForSelector(`${at("heater", "set_point")}[aria-invalid=true]`);
      await audit(colorScheme);
    });
  }

  test("every control has a name of its own", async () => {
    await begin("alder-fork-gas.yaml");
    await form();
    for (const it of await page.$$("#form details")) await it.evaluate((it) => (it.open = true));
    const names = await page.$$eval("#form table :is(input, select), #form .several input", (all) => all.map((it) => it.ariaLabel));
    assert.ok(names.length > 30);
    assert.ok(names.every((name) => name?.trim()), names.join("; "));
    const buttons = await page.$$eval("#form button", (all) => all.map((it) => `${it.textContent} ${it.closest("[data-path]").dataset.path}`));
    assert.equal(new Set(buttons).size, buttons.length);
  });

  test("a narrow screen has the form alone, and nothing to scroll sideways", async () => {
    await begin("alder-fork-gas.yaml", { context: { viewport: { width: 390, height: 800 } } });
    await page.click("#sides [data-side=spec]");
    await form();
    await fill(["heater", "swing"], "5 °F");
    await until("swing: 5 °F");
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(wide <= 0, `${wide} too wide`);
    await audit("narrow");
  });
});

test("the view is kept over a reload", async () => {
  await begin("tour/2-measured.yaml");
  await form();
  await page.reload();
  await page.waitForSelector("#form .part");
  assert.equal(await page.getAttribute("#views [data-view=form]", "aria-pressed"), "true");
});
