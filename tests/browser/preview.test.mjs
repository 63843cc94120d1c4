// The page of `coldring preview` in a real browser: what a person types, sees,
// saves and downloads, with the mouse and without.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdir, mkdtemp, readFile, readdir, writeFile } from "node:fs/promises";
import http from "node:http";
import { tmpdir } from "node:os";
import path from "node:path";
import { beforeEach, describe, test } from "node:test";
import { promisify } from "node:util";
import {
  PATIENCE, audit, begin, choose, context, end, errorAt, isStale, lineOf, page, replace, said, select, served, stale, wanted,
} from "./page.mjs";
import { open, program } from "./serve.mjs";

const run = promisify(execFile);

describe("typing", () => {
  beforeEach(() => begin("hollow-creek-geothermal.yaml"));

  test("an error is found at its line, and the pages are marked as of an earlier text", async () => {
    const line = await lineOf("set_point");
    await replace("set_point: 500 °F", "set_point: 900 °F");
    const found = await errorAt(line);
    assert.equal(await page.$eval(`#gutter div:nth-child(${line})`, (it) => it.dataset.weight), "error");
    assert.ok(await page.$(`#under .line:nth-child(${line}) .error`), "it is underlined");
    await isStale(true);
    assert.match(await page.textContent("#page-note"), /earlier text.*error/);
    assert.ok(await page.$(".leaf img"), "the last pages stay");

    // The button goes to the line.
    await select("coldring: 1");
    await (await found.$(".go")).click();
    const at = await page.$eval("#text", (text) => text.value.slice(0, text.selectionStart).split("\n").length);
    assert.equal(at, line);

    // Why the rule exists is as `explain` tells it.
    await (await found.$(".more")).click();
    const why = await (await found.waitForSelector(".reason p")).textContent();
    const rule = await found.evaluate((it) => it.dataset.rule);
    const { stdout } = await run(program, ["explain", rule]);
    const words = (text) => text.replace(/\s+/g, " ").trim();
    assert.ok(words(stdout).includes(words(why)), why);

    // Undo is the browser's, and takes it back.
    await page.focus("#text");
    await page.keyboard.press("Control+z");
    assert.match(await page.inputValue("#text"), /set_point: 500 °F/);
    await isStale(false);
    assert.equal(await page.isVisible("#page-note"), false);
  });

  test("a change changes its page, and no other", async () => {
    await choose("procedure");
    const first = await wanted();
    await replace("First issue", "First printing");
    await page.waitForFunction((first) => [...document.querySelectorAll(".sheet")].some((it, n) => it.dataset.wanted !== first[n]), first);
    const second = await wanted();
    const changed = second.map((id, n) => (id === first[n] ? null : n)).filter((n) => n !== null);
    assert.equal(changed.length, 1, String(changed));
    // It was not in view, and is now.
    await page.waitForFunction((n) => {
      const [sheet, view] = [document.querySelectorAll(".sheet")[n], document.getElementById("sheets")].map((it) => it.getBoundingClientRect());
      return sheet.top < view.bottom && sheet.bottom > view.top;
    }, changed[0]);
    // Taken back, it is the page it was.
    await page.keyboard.press("Control+z");
    await page.waitForFunction((first) => [...document.querySelectorAll(".sheet")].every((it, n) => it.dataset.wanted === first[n]), first);
  });

  test("what changes another paper is told at its tab", async () => {
    await choose("procedure");
    await replace("before_handling: {value: 5 min", "before_handling: {value: 6 min");
    await page.waitForSelector("#tab-card .news");
    await page.click("#tab-card");
    assert.equal(await page.$("#tab-card .news"), null);
    assert.equal(await page.getAttribute("#tab-card", "aria-selected"), "true");
    await page.waitForSelector(".leaf img");
  });

  test("a text with markup in it is shown and not run", async () => {
    const evil = "<script>window.ran = 1</script><img src=x onerror='window.ran = 1'> #panic() $x$";
    await replace("Socket fusion of PE4710 geothermal and service pipe", JSON.stringify(evil));
    await page.waitForFunction(() => document.getElementById("under").textContent.includes("onerror"));
    // In a finding's message too.
    await replace("status: draft", `status: ${JSON.stringify(evil)}`);
    await errorAt(await lineOf("status:"));
    await page.waitForTimeout(500);
    assert.equal(await page.evaluate(() => window.ran), undefined);
    assert.equal(await page.$("#writing img, #writing script"), null);
  });

  test("two spaces by control and bracket, and enter keeps the margin", async () => {
    await select("number: HC-SF-104");
    await page.keyboard.press("Enter");
    await page.keyboard.type("x: 1");
    assert.match(await page.inputValue("#text"), /HC-SF-104\n  x: 1\n/);
    await page.keyboard.press("Control+]");
    assert.match(await page.inputValue("#text"), /HC-SF-104\n    x: 1\n/);
    await page.keyboard.press("Control+[");
    await page.keyboard.press("Control+[");
    assert.match(await page.inputValue("#text"), /HC-SF-104\nx: 1\n/);
    for (let n = 0; n < 20; n++) await page.keyboard.press("Control+z");
    assert.equal(await page.inputValue("#text"), await served.text());
  });
});

test("no other server on this computer is sent the cookie", async (t) => {
  await begin("hollow-creek-geothermal.yaml");
  const asked = [];
  const other = http.createServer((request, answer) => {
    asked.push({ path: request.url, cookie: request.headers.cookie, from: request.headers.referer });
    answer.end("<!doctype html><title>other</title><img src=/x/y>");
  });
  await new Promise((listening) => other.listen(0, "127.0.0.1", listening));
  t.after(() => {
    other.close();
    other.closeAllConnections();
  });
  const there = `http://127.0.0.1:${other.address().port}`;
  // The browser is led there from the page, whose host is the same.
  await page.evaluate((there) => { location = `${there}/here`; }, there);
  await page.waitForURL(`${there}/here`);
  await page.waitForLoadState("networkidle");
  assert.ok(asked.some(({ path }) => path === "/x/y"), JSON.stringify(asked));
  for (const { path, cookie, from } of asked) {
    assert.equal(cookie, undefined, path);
    assert.ok(!from?.includes(new URL(served.page).pathname), from);
  }
  // It has nothing of the page, while the browser still has its cookie.
  page.complaints.length = 0;
  await page.goto(served.page);
  await page.waitForSelector(".leaf img");
});

describe("a page without pages", () => {
  test("a spec with errors says so instead of showing nothing", async () => {
    await begin("wrong/everything-at-once.yaml", { pages: false });
    await page.waitForSelector(".no-pages");
    assert.match(await page.textContent(".no-pages"), /No pages yet.*errors/);
    assert.ok((await page.$$("#findings li[data-weight=error]")).length > 3);
  });

  test("a program that was ended is told of, and the text stays", async () => {
    await begin("hollow-creek-geothermal.yaml");
    const ended = await end();
    assert.equal(ended.code, 0);
    await replace("First issue", "Second issue");
    await page.waitForFunction(() => /does not answer/.test(document.getElementById("page-note").textContent));
    assert.equal(await stale(), true);
    assert.match(await page.inputValue("#text"), /Second issue/);
  });
});

describe("a house style", () => {
  test("is on the pages, and what it does wrong is found while the pages stay", async () => {
    const more = (folder) => ["--house", path.join(folder, "house")];
    await begin("hollow-creek-geothermal.yaml", { more });
    const before = await wanted();
    const picture = await page.evaluate((id) => fetch(`picture/${id}`).then((answer) => answer.text()), before[0]);
    assert.match(picture, /<image|<path/);

    // A house style has no templates; one is refused, and the papers in view stay.
    await mkdir(path.join(served.folder, "house/pages"), { recursive: true });
    await writeFile(path.join(served.folder, "house/pages/procedure.typ"), "= Mine");
    await replace("First issue", "First printing");
    await page.waitForSelector('#findings li[data-rule="house-template"]');
    await isStale(true);
    assert.deepEqual(await wanted(), before);
  });
});

describe("the file", () => {
  beforeEach(() => begin("hollow-creek-geothermal.yaml"));

  test("is saved as typed, byte by byte, and nothing is left beside it", async () => {
    const before = await served.text();
    const beside = await readdir(served.folder);
    await replace("First issue", "First printing");
    assert.equal(await page.textContent("#file-state"), "not saved");
    await page.keyboard.press("Control+s");
    await said("Saved.");
    assert.equal(await served.text(), before.replace("First issue", "First printing"));
    assert.equal(await page.textContent("#file-state"), "saved");
    assert.deepEqual(await readdir(served.folder), beside);
  });

  test("keeps its line ends", async () => {
    const crlf = (await served.text()).replaceAll("\n", "\r\n");
    await served.write(crlf);
    await page.click("#reload");
    await said("Read again");
    assert.equal(await page.textContent("#file-state"), "saved");
    await replace("First issue", "First printing");
    await page.keyboard.press("Control+s");
    await said("Saved.");
    assert.equal(await served.text(), crlf.replace("First issue", "First printing"));
  });

  test("is not written over when something else wrote it", async () => {
    const mine = (await served.text()).replace("First issue", "Mine");
    const other = (await served.text()).replace("First issue", "Theirs");
    await replace("First issue", "Mine");
    await served.write(other);
    await page.keyboard.press("Control+s");
    await page.waitForSelector("#changed[open]");
    assert.equal(await served.text(), other);
    await page.click("#show-disk");
    assert.match(await page.inputValue("#disk-text"), /Theirs/);

    // A copy beside it.
    await page.click("#keep-copy");
    await said("-copy.yaml");
    const copy = path.join(served.folder, "hollow-creek-geothermal-copy.yaml");
    assert.equal(await readFile(copy, "utf8"), mine);
    assert.equal(await served.text(), other);

    // Over it, after being asked twice.
    await page.focus("#text");
    await page.keyboard.press("Control+s");
    await page.waitForSelector("#changed[open]");
    await page.click("#overwrite");
    assert.equal(await served.text(), other);
    await page.click("#sure-yes");
    await said("Saved.");
    assert.equal(await served.text(), mine);
  });

  test("that changed again after it was shown is not written over either", async () => {
    await replace("First issue", "Mine");
    await served.write((await served.text()).replace("First issue", "Theirs"));
    await page.keyboard.press("Control+s");
    await page.waitForSelector("#changed[open]");
    const third = (await served.text()).replace("Theirs", "Theirs again");
    await served.write(third);
    await page.click("#overwrite");
    await page.click("#sure-yes");
    await page.waitForSelector("#changed[open]");
    assert.equal(await served.text(), third);
  });

  test("is read again, and undo brings back what was typed", async () => {
    await replace("First issue", "Mine");
    await page.click("#reload");
    await said("Read again");
    assert.equal(await page.inputValue("#text"), await served.text());
    await page.focus("#text");
    await page.keyboard.press("Control+z");
    assert.match(await page.inputValue("#text"), /Mine/);
  });

  test("written by another editor is followed while nothing is typed here", async () => {
    await served.write((await served.text()).replace("First issue", "Theirs"));
    await page.waitForFunction(() => document.getElementById("text").value.includes("Theirs"));
    assert.equal(await page.textContent("#file-state"), "saved");
  });

  test("in two tabs: the second to save is refused, the first follows", async () => {
    const second = await open(context, served.page);
    await second.waitForSelector(".leaf img");
    await replace("First issue", "Mine");
    await second.evaluate(() => {
      const text = document.getElementById("text");
      const start = text.value.indexOf("First issue");
      text.focus();
      text.setSelectionRange(start, start + "First issue".length);
    });
    await second.keyboard.insertText("Theirs");
    await page.bringToFront();
    await page.keyboard.press("Control+s");
    await said("Saved.");
    await second.bringToFront();
    await second.waitForSelector("#disk-note:not([hidden])", PATIENCE);
    await second.keyboard.press("Control+s");
    await second.waitForSelector("#changed[open]");
    assert.match(await served.text(), /Mine/);
    await second.click("#take-disk");
    assert.match(await second.inputValue("#text"), /Mine/);
  });
});

describe("a PDF", () => {
  for (const spec of ["hollow-creek-geothermal.yaml", "tern-valley-water.yaml"]) {
    test(`of ${spec} has the bytes of a build of the saved file`, async () => {
      await begin(spec);
      // Laid out many times before, and with a change that is saved.
      await replace("revision: 1", "revision: 1 ");
      await page.keyboard.press("Control+s");
      await said("Saved.");
      const out = await mkdtemp(path.join(tmpdir(), "coldring-browser-out-"));
      await run(program, ["build", served.file, "--out", out, "--as-of", "2026-11-25"]);
      const [folder] = (await readdir(out)).filter((name) => !name.startsWith("."));
      const tabs = await page.$$eval("[role=tab]", (tabs) => tabs.map((tab) => tab.id.slice(4)));
      for (const id of tabs) {
        await page.click(`#tab-${id}`);
        const [download] = await Promise.all([page.waitForEvent("download"), page.click("#download")]);
        const made = await readFile(await download.path());
        const built = await readFile(path.join(out, folder, `${id}.pdf`));
        assert.ok(made.equals(built), id);
      }
      assert.ok(tabs.length >= 3);
    });
  }

  test("is not made of a text that is not saved", async () => {
    await begin("hollow-creek-geothermal.yaml");
    await replace("First issue", "First printing");
    // It says why, rather than being dead.
    await page.click("#download", { force: true });
    await said("Save first");
  });

  test("takes paper, language and card size from the page", async () => {
    await begin("hollow-creek-geothermal.yaml");
    await page.selectOption("#language", "es");
    await page.selectOption("#paper-size", "a4");
    await page.selectOption("#card-trim", "id-3");
    await page.click("#tab-card");
    const out = await mkdtemp(path.join(tmpdir(), "coldring-browser-out-"));
    await run(program, ["build", served.file, "--out", out, "--language", "es", "--paper", "a4", "--card-trim", "id-3"]);
    const [folder] = (await readdir(out)).filter((name) => !name.startsWith("."));
    const [download] = await Promise.all([page.waitForEvent("download"), page.click("#download")]);
    const made = await readFile(await download.path());
    assert.ok(made.equals(await readFile(path.join(out, folder, "card.pdf"))));
    // A4 is 210 mm wide.
    await page.waitForFunction(() => Math.abs(Number(document.querySelector(".leaf").style.getPropertyValue("--w")) - 210) < 0.01);
  });
});

describe("pages", () => {
  beforeEach(() => begin("hollow-creek-geothermal.yaml"));

  test("are in true size at 100 %", async () => {
    await page.selectOption("#zoom", "100");
    const width = await page.$eval(".leaf", (leaf) => leaf.getBoundingClientRect().width);
    // Letter is 8.5 in wide, and CSS has 96 px to the inch.
    assert.ok(Math.abs(width - 8.5 * 96) < 0.5, String(width));
    const natural = await page.$eval(".leaf img", (image) => [image.naturalWidth, image.naturalHeight]);
    assert.deepEqual(natural, [816, 1056]);
    await page.click("#true-size");
    await page.fill("#measured", "80");
    await page.click("#measured-set");
    const corrected = await page.$eval(".leaf", (leaf) => leaf.getBoundingClientRect().width);
    assert.ok(Math.abs(corrected - (8.5 * 96 * 100) / 80) < 0.5, String(corrected));
  });

  test("fit the width, and never scroll sideways then", async () => {
    for (const width of [1280, 1920, 1000, 500]) {
      await page.setViewportSize({ width, height: 800 });
      await page.selectOption("#zoom", "fit");
      await page.waitForFunction(() => {
        const sheets = document.getElementById("sheets");
        return sheets.scrollWidth <= sheets.clientWidth;
      });
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${width}`);
    }
  });
});

test("everything is reached and done with the keyboard alone", async () => {
  await begin("hollow-creek-geothermal.yaml");
  const focused = () => page.evaluate(() => document.activeElement.id || document.activeElement.className);
  const reach = async (id, key = "Tab") => {
    for (let n = 0; n < 60; n++) {
      if ((await focused()) === id) return;
      await page.keyboard.press(key);
    }
    assert.fail(`${id} is not reached; at ${await focused()}`);
  };
  await reach("text");
  await page.keyboard.press("Control+Home");
  await page.keyboard.press("F8");
  assert.ok((await page.$eval("#text", (text) => text.selectionStart)) > 0, "at a finding");
  // Out of the text and to the papers.
  await reach("tab-card");
  await page.keyboard.press("ArrowRight");
  assert.equal(await focused(), "tab-lid");
  await page.keyboard.press("End");
  assert.equal(await focused(), "tab-sources");
  await page.keyboard.press("Home");
  await reach("sheets");
  const width = () => page.$eval(".leaf", (leaf) => leaf.getBoundingClientRect().width);
  const before = await width();
  await page.keyboard.press("+");
  assert.ok((await width()) > before);
  await page.keyboard.press("0");
  await page.keyboard.press("PageDown");
  await page.waitForFunction(() => document.getElementById("sheets").scrollTop > 100);
  // And back into the text.
  await reach("text", "Shift+Tab");
});

test("leaving with a text that is not saved is asked about", async () => {
  await begin("hollow-creek-geothermal.yaml");
  await replace("First issue", "First printing");
  const asked = new Promise((resolve) => page.once("dialog", (dialog) => {
    resolve(dialog.type());
    dialog.accept();
  }));
  await page.close({ runBeforeUnload: true });
  assert.equal(await asked, "beforeunload");
});

describe("for everybody", () => {
  for (const look of ["light", "dark"]) {
    test(`no serious violation is found by axe, ${look}`, async () => {
      await begin("hollow-creek-geothermal.yaml", { context: { colorScheme: look } });
      await replace("set_point: 500 °F", "set_point: 900 °F");
      await isStale(true);
      await audit(`${look}, with an error`);
      await page.click("#true-size");
      await audit(`${look}, with a dialog`);
    });
  }
});
