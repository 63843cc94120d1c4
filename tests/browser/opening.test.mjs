// What a person meets on opening the page for the first time: the card, the other
// papers, the list of fields, what was found, and the buttons that write a fix.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, readdir } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { describe, test } from "node:test";
import { promisify } from "node:util";
import { audit, begin, choose, context, errorAt, isStale, lineOf, page, replace, said, select, served, wanted } from "./page.mjs";
import { open, program } from "./serve.mjs";

const run = promisify(execFile);
const focused = () => page.evaluate(() => document.activeElement.id || document.activeElement.className);
const cursorLine = () => page.$eval("#text", (text) => text.value.slice(0, text.selectionStart).split("\n").length);
const selected = () => page.$eval("#text", (text) => text.value.slice(text.selectionStart, text.selectionEnd));
const weights = () => page.$$eval("#findings li", (all) => all.map((li) => li.dataset.weight));

describe("papers", () => {
  test("the card is in view first, and every paper of a build has its tab and pages", async () => {
    await begin();
    assert.equal(await page.getAttribute("#tab-card", "aria-selected"), "true");
    assert.equal(await page.$eval(".leaf img", (image) => image.alt), "Card, page 1 of 2");
    const out = await mkdtemp(path.join(tmpdir(), "coldring-browser-out-"));
    await run(program, ["build", served.file, "--out", out, "--as-of", "2026-11-25"]);
    const [folder] = (await readdir(out)).filter((name) => !name.startsWith("."));
    const built = (await readdir(path.join(out, folder))).filter((name) => name.endsWith(".pdf"));
    const tabs = await page.$$eval("[role=tab]", (tabs) => tabs.map((tab) => tab.id.slice(4)));
    assert.deepEqual([...tabs].sort(), built.map((name) => name.replace(".pdf", "")).sort());
    assert.deepEqual(tabs, ["card", "lid", "depth-marks", "procedure", "sources"]);
    for (const id of tabs) {
      await page.waitForFunction((id) => Number(document.querySelector(`#tab-${id} .count`).textContent) > 0, id);
      const told = Number(await page.textContent(`#tab-${id} .count`));
      await choose(id);
      assert.equal((await wanted()).length, told, id);
      // The page tree of the PDF counts them too.
      const pdf = await readFile(path.join(out, folder, `${id}.pdf`), "latin1");
      const counts = [...pdf.matchAll(/\/Type\s*\/Pages\b[^>]*?\/Count\s+(\d+)/g)].map((found) => Number(found[1]));
      if (counts.length) assert.equal(Math.max(...counts), told, id);
    }
  });

  test("only pages in view or near it are fetched, the one in view before all", async () => {
    const asked = [];
    await begin();
    await page.reload();
    page.on("request", (request) => {
      const found = /picture\/(\w+)$/.exec(request.url());
      if (found) asked.push(found[1]);
    });
    await page.reload();
    await page.waitForSelector(".leaf img");
    await page.waitForFunction(() => Number(document.querySelector("#tab-sources .count")?.textContent) > 0);
    await page.waitForTimeout(500);
    const card = await wanted();
    assert.equal(asked[0], card[0]);
    assert.deepEqual(asked.filter((id) => !card.includes(id)), []);
    // A long paper is not fetched whole.
    asked.length = 0;
    await choose("procedure");
    await page.waitForTimeout(500);
    const procedure = await wanted();
    assert.equal(asked[0], procedure[0]);
    assert.ok(!asked.includes(procedure.at(-1)), `${asked.length} of ${procedure.length}`);
  });

  test("a keystroke is sent at once, and those right after it go together", async () => {
    await begin();
    await select("First issue");
    const sent = await page.evaluate(async () => {
      const real = window.fetch;
      let looks = 0;
      window.fetch = (where, ...rest) => {
        if (where === "look") looks += 1;
        return real(where, ...rest);
      };
      // No time passes while these are typed, however busy the computer is.
      const now = performance.now();
      performance.now = () => now;
      document.execCommand("insertText", false, "a");
      const atOnce = looks;
      for (const letter of "bcdefgh") document.execCommand("insertText", false, letter);
      const together = looks;
      delete performance.now;
      await new Promise((then) => setTimeout(then, 300));
      return { atOnce, together, all: looks };
    });
    assert.deepEqual(sent, { atOnce: 1, together: 1, all: 2 });
  });
});

describe("findings", () => {
  test("errors stand first, and each warning takes one line until it is opened", async () => {
    await begin("wrong/everything-at-once.yaml", { pages: false });
    const found = await weights();
    assert.deepEqual(found, [...found].sort((a, b) => ["error", "warning", "note"].indexOf(a) - ["error", "warning", "note"].indexOf(b)));
    assert.ok(new Set(found).size === 3, found.join());
    const heights = () => page.$$eval("#findings li[data-weight=warning]", (all) => all.map((li) => li.getBoundingClientRect().height));
    const closed = await heights();
    assert.ok(closed.every((height) => height < 36), closed.join());
    const more = page.locator("#findings li[data-weight=warning] .more").first();
    await more.click();
    assert.equal(await more.getAttribute("aria-expanded"), "true");
    const opened = await heights();
    assert.ok(opened[0] > 60, String(opened[0]));
    assert.deepEqual(opened.slice(1), closed.slice(1));
    // No words of an error are cut.
    assert.ok(await page.$$eval("#findings li[data-weight=error] .what", (all) => all.every((it) => it.scrollWidth <= it.clientWidth)));
    // Nothing is promised that does not come.
    assert.equal(await page.isVisible("#page-note"), false);
  });

  test("the pane folds, and stays so in this tab and in no other", async () => {
    await begin();
    await page.focus("#found-fold");
    await page.keyboard.press("Enter");
    assert.equal(await page.getAttribute("#found-fold", "aria-expanded"), "false");
    assert.equal(await page.isVisible("#findings"), false);
    // How many there are is still told.
    assert.match(await page.textContent("#found-count"), /\d warnings/);
    assert.ok(await page.isVisible("#found-count"));
    await page.reload();
    await page.waitForSelector(".leaf img");
    assert.equal(await page.isVisible("#findings"), false);
    const other = await open(context, served.page);
    await other.waitForSelector("#findings li");
    assert.equal(await other.isVisible("#findings"), true);
    await page.bringToFront();
    // Going to a finding shows it.
    await page.focus("#text");
    await page.keyboard.press("F8");
    assert.equal(await page.isVisible("#findings .chosen"), true);
  });
});

describe("fields", () => {
  const rows = () => page.$$eval("#fields [role=treeitem]", (all) => all.map((item) => [item.firstChild.textContent, Number(item.dataset.line), Number(item.ariaLevel)]));

  test("are the keys of the spec with their lines, and lead there", async () => {
    await begin();
    const text = await page.inputValue("#text");
    const found = await rows();
    // A key of the first two levels, looked for in another way.
    const lines = text.split("\n");
    const keys = lines.flatMap((line, n) => {
      const key = /^( {0,2})([a-z_]+):/.exec(line);
      return key ? [[key[2], n + 1, key[1] ? 2 : 1]] : [];
    });
    assert.deepEqual(found, keys);
    assert.ok(found.length > 25);

    const line = await lineOf("  set_point:");
    await page.click(`#fields [data-line="${line}"]`);
    assert.equal(await focused(), "text");
    assert.equal(await cursorLine(), line);
    assert.equal(await page.$eval("#text", (text) => text.value.slice(text.selectionStart).split("\n")[0]), "500 °F");
    assert.equal(await page.getAttribute("#fields [aria-current]", "data-line"), String(line));
    // The line is in view.
    const inView = await page.$eval(`#gutter div:nth-child(${line})`, (row) => {
      const [it, view] = [row.getBoundingClientRect(), document.getElementById("editor").getBoundingClientRect()];
      return it.top >= view.top && it.bottom <= view.bottom;
    });
    assert.ok(inView);
    // A line put in above moves it.
    await select("coldring: 1");
    await page.keyboard.press("Enter");
    await page.waitForFunction((line) => document.querySelector(`#fields [data-line="${line}"]`)?.firstChild.textContent === "set_point", line + 1);
  });

  test("carry what was found, and tell it aloud", async () => {
    await begin();
    const line = await lineOf("  set_point:");
    await replace("set_point: 500 °F", "set_point: 900 °F");
    await errorAt(line);
    const item = await page.$(`#fields [data-line="${line}"]`);
    assert.equal(await item.getAttribute("data-weight"), "error");
    assert.match(await item.textContent(), /^set_point, line \d+, 1 error/);
    const clean = await page.$(`#fields [data-line="${await lineOf("  number:")}"]`);
    assert.equal(await clean.getAttribute("data-weight"), "");
  });

  test("are neither lists, nor running text, nor markup", async () => {
    await begin();
    const added = "notes: |\n  one: 1\n  two: 2\n\"<img src=x onerror='window.ran = 1'>\":\n    deep: 1\n    more:\n      no: 1\nlast:\n- {a: 1}\n- b: 1\n  c: 2\n";
    await select("coldring: 1\n");
    await page.keyboard.insertText(added);
    const found = (await rows()).map(([name]) => name);
    const at = found.indexOf("notes");
    assert.deepEqual(found.slice(at, at + 6), ["notes", "<img src=x onerror='window.ran = 1'>", "deep", "more", "last", "procedure"]);
    assert.equal(await page.$("#fields img"), null);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    await isStale(true);
  });

  test("are one tab stop, and the arrow keys go from one to the next", async () => {
    await begin();
    const name = () => page.evaluate(() => document.activeElement.firstChild?.textContent);
    await page.focus("#outline-fold");
    await page.keyboard.press("Tab");
    assert.equal(await page.evaluate(() => document.activeElement.role), "treeitem");
    await page.keyboard.press("Home");
    assert.equal(await name(), "coldring");
    await page.keyboard.press("ArrowDown");
    assert.equal(await name(), "procedure");
    await page.keyboard.press("ArrowRight");
    assert.equal(await name(), "references");
    await page.keyboard.press("h");
    assert.equal(await name(), "heater");
    await page.keyboard.press("ArrowDown");
    assert.equal(await name(), "set_point");
    assert.ok(await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle !== "none"), "seen");
    await page.keyboard.press("Enter");
    assert.equal(await focused(), "text");
    assert.equal(await cursorLine(), await lineOf("  set_point:"));
    // Back over one stop, and out of it by one more.
    await page.keyboard.press("Shift+Tab");
    assert.equal(await name(), "set_point");
    await page.keyboard.press("Shift+Tab");
    assert.equal(await focused(), "outline-fold");
    await page.keyboard.press("Enter");
    assert.equal(await page.isVisible("#fields"), false);
    await page.keyboard.press("Tab");
    assert.equal(await focused(), "text");
  });
});

describe("a fix", () => {
  const fixes = () => page.$$eval("#findings .fix code", (all) => all.map((it) => it.textContent));

  test("whose text is known is a button, one step to undo, and shown where it was written", async () => {
    await begin();
    // Letters of one, two, three and four bytes before it.
    await replace("First issue", "é € 😀");
    await replace("accuracy: 2 °F", "acuracy: 2 °F");
    const line = await lineOf("face_check");
    await errorAt(line);
    const before = await page.inputValue("#text");
    assert.deepEqual(await fixes(), ["accuracy: 2 °F"]);
    const button = page.locator("#findings .fix");
    assert.match(await button.textContent(), /^Write accuracy: 2 °F/);
    await button.focus();
    await page.keyboard.press("Enter");
    const fixed = before.replace("acuracy", "accuracy");
    assert.equal(await page.inputValue("#text"), fixed);
    assert.equal(await focused(), "text");
    assert.equal(await selected(), "accuracy");
    await said("Written: accuracy: 2 °F");
    await isStale(false);
    assert.deepEqual(await fixes(), []);
    await page.keyboard.press("Control+z");
    assert.equal(await page.inputValue("#text"), before);
    await errorAt(line);
    // By key, from the line.
    await select("acuracy");
    await page.keyboard.press("Control+.");
    assert.equal(await page.inputValue("#text"), fixed);
    await isStale(false);
    await page.keyboard.press("Control+.");
    await said("Nothing is known");
    assert.equal(await page.inputValue("#text"), fixed);
  });

  test("is what the program itself would write", async () => {
    await begin();
    await replace("set_point: 500 °F", "set_point:500 °F");
    await errorAt(await lineOf("set_point:500"));
    assert.deepEqual(await fixes(), ["set_point: 500 °F"]);
    await page.keyboard.press("Control+s");
    await said("Saved.");
    const { stdout } = await run(program, ["check", served.file, "--format", "json"]).catch((failed) => failed);
    const { edits } = JSON.parse(stdout).findings.find((finding) => finding.edits.length);
    const bytes = await readFile(served.file);
    const pieces = [bytes.subarray(0, edits[0].start), Buffer.from(edits[0].text), bytes.subarray(edits[0].end)];
    await page.click("#findings .fix");
    assert.equal(await page.inputValue("#text"), Buffer.concat(pieces).toString());
  });

  test("of a text that was changed since is not written", async () => {
    await begin();
    await replace("accuracy: 2 °F", "acuracy: 2 °F");
    await page.waitForSelector("#findings .fix");
    let go;
    const held = new Promise((then) => (go = then));
    await page.route("**/look", async (route) => {
      await held;
      await route.continue();
    });
    await replace("coldring: 1", "coldring:  1");
    const typed = await page.inputValue("#text");
    await page.click("#findings .fix");
    await said("The text has changed");
    assert.equal(await page.inputValue("#text"), typed);
    go();
    await page.unroute("**/look", { behavior: "ignoreErrors" });
  });
});

describe("a narrow screen", () => {
  const narrow = { context: { viewport: { width: 400, height: 800 } } };

  test("shows the card, and the spec at the press of a button", async () => {
    await begin(undefined, narrow);
    assert.ok(await page.isVisible(".leaf img"));
    assert.equal(await page.isVisible("#text"), false);
    await page.click("#sides [data-side=spec]");
    assert.equal(await page.getAttribute("#sides [data-side=spec]", "aria-pressed"), "true");
    assert.equal(await page.isVisible("#sheets"), false);
    // Room for some lines.
    assert.ok((await page.$eval("#editor", (it) => it.clientHeight)) > 300);
    await page.click("#outline-fold");
    const line = await lineOf("  set_point:");
    await page.click(`#fields [data-line="${line}"]`);
    assert.equal(await cursorLine(), line);
    assert.equal(await focused(), "text");
    // From the papers, the next finding leads to the spec.
    await page.click("#sides [data-side=papers]");
    await page.keyboard.press("F8");
    assert.ok(await page.isVisible("#text"));
    assert.equal(await focused(), "text");
  });

  // 1280 by 800 at 200 %, and a phone.
  for (const [width, height] of [[640, 400], [360, 740]]) {
    test(`of ${width} pixels never scrolls sideways, and cuts no button`, async () => {
      await begin(undefined, { context: { viewport: { width, height } } });
      for (const side of ["papers", "spec"]) {
        await page.click(`#sides [data-side=${side}]`);
        const cut = await page.evaluate(() => [...document.querySelectorAll("button, select")]
          .filter((it) => it.checkVisibility() && !it.closest("dialog"))
          .map((it) => [it.id || it.className, it.getBoundingClientRect()])
          .filter(([, box]) => box.left < -0.5 || box.right > innerWidth + 0.5)
          .map(([name]) => name));
        assert.deepEqual(cut, [], side);
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), side);
      }
    });
  }
});

for (const look of ["light", "dark"]) {
  test(`no serious violation is found by axe in fields, findings and fixes, ${look}`, async () => {
    await begin(undefined, { context: { colorScheme: look } });
    await page.locator("#findings .more").first().click();
    await audit(`${look}, with warnings`);
    await replace("accuracy: 2 °F", "acuracy: 2 °F");
    await page.waitForSelector("#findings .fix");
    await page.hover("#findings .fix");
    await audit(`${look}, with a fix`);
    await page.click("#found-fold");
    await page.click("#outline-fold");
    await audit(`${look}, folded`);
    await page.setViewportSize({ width: 400, height: 800 });
    for (const side of ["papers", "spec"]) {
      await page.click(`#sides [data-side=${side}]`);
      await audit(`${look}, narrow, ${side}`);
    }
  });
}
