// The page without a program: coldring.html from a disk and from a server, and the
// folder of it. Its papers are those of the program, it asks for nothing, and what
// ends its worker does not end it.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, readdir, writeFile } from "node:fs/promises";
import http from "node:http";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { audit, beginAlone, errorAt, isStale, lineOf, page, replace, said } from "./page.mjs";
import { packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const specs = path.join(top, "specs");

// A server of files and nothing more, and what it was asked for.
let served;
const hits = [];
before(async () => {
  const kinds = { ".html": "text/html; charset=utf-8", ".wasm": "application/wasm" };
  served = http.createServer(async (request, answer) => {
    hits.push(request.url);
    const file = path.join(packages, request.url.endsWith("/") ? `${request.url}index.html` : request.url);
    const bytes = await readFile(file).catch(() => null);
    answer.writeHead(bytes ? 200 : 404, { "content-type": kinds[path.extname(file)] ?? "text/plain" });
    answer.end(bytes);
  });
  await new Promise((resolve) => served.listen(0, "127.0.0.1", resolve));
});
after(() => served.close());
const address = (file) => `http://127.0.0.1:${served.address().port}/${file}`;

// The papers of a spec as the program builds them, by name.
async function built(spec, more = []) {
  const out = await mkdtemp(path.join(tmpdir(), "coldring-alone-"));
  await run(program, ["build", path.resolve(specs, spec), "--out", out, ...more]);
  const [folder] = (await readdir(out)).filter((name) => !name.startsWith("."));
  const names = (await readdir(path.join(out, folder))).filter((name) => name.endsWith(".pdf"));
  const read = async (name) => [name.replace(/\.pdf$/, ""), await readFile(path.join(out, folder, name))];
  return new Map(await Promise.all(names.map(read)));
}

async function example(name) {
  const title = await page.evaluate((name) => {
    const all = JSON.parse(document.getElementById("examples").textContent);
    return all.findIndex((one) => one.spec === name);
  }, path.basename(name));
  await page.click(`#example-list button:nth-child(${title + 1})`);
  await settled();
}
const settled = async () => {
  await page.waitForSelector("#sheets[aria-busy=false]");
  await page.waitForSelector(".leaf img");
};

async function downloaded(id) {
  await page.click(`#tab-${id}`);
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("#download")]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

const DEMOS = [
  "hollow-creek-geothermal.yaml", "alder-fork-gas.yaml", "tern-valley-water.yaml", "saddle-works-hot-water.yaml",
  "tour/1-least.yaml", "tour/2-measured.yaml", "tour/3-own-times.yaml", "tour/4-papers.yaml", "tour/5-qualified.yaml", "tour/6-full.yaml",
];

describe("papers are byte for byte those of the program", () => {
  test("every demo is an example", async () => {
    await beginAlone(onDisk);
    const there = await page.$$eval("#example-list button", (all) => all.length);
    const yaml = (names) => names.filter((name) => name.endsWith(".yaml")).length;
    // One is there in a house style too.
    assert.equal(there, DEMOS.length + 1);
    assert.equal(DEMOS.length, yaml(await readdir(specs)) + yaml(await readdir(path.join(specs, "tour"))));
  });
  const places = [["from a disk", () => onDisk, DEMOS], ["from a server", () => address("coldring.html"), DEMOS], ["from the folder of it", () => address("page/"), DEMOS.slice(0, 2)]];
  for (const [where, at, demos] of places) {
    for (const spec of demos) {
      test(`${spec} ${where}`, async () => {
        const expected = await built(spec);
        await beginAlone(at());
        await example(spec);
        for (const [id, bytes] of expected) {
          const made = await downloaded(id);
          assert.ok(made.bytes.equals(bytes), id);
        }
        const kept = await page.$$eval("[role=tab] .count", (all) => all.filter((it) => it.textContent !== "–").length);
        assert.equal(kept, expected.size);
      });
    }
  }
});

test("an example in a house style is as the program builds it in that style", async () => {
  const expected = await built("hollow-creek-geothermal.yaml", ["--house", path.join(specs, "house")]);
  await beginAlone(onDisk);
  await page.click("#example-list button:has-text('in its house style')");
  await settled();
  for (const [id, bytes] of expected) assert.ok((await downloaded(id)).bytes.equals(bytes), id);
});

// As in a browser that lets no page write.
const without = () => {
  for (const name of ["showOpenFilePicker", "showSaveFilePicker"]) {
    delete window[name];
    delete Window.prototype[name];
  }
};

describe("the form beside the text", () => {
  const key = JSON.stringify(["cycles", "waits", "before_handling", "value"]);
  const focused = () => page.evaluate(() => document.activeElement.dataset.path);
  const until = (words) => page.waitForFunction((words) => document.getElementById("text").value.includes(words), words);
  const card = () => page.$eval(".sheet", (sheet) => sheet.dataset.wanted);
  async function form() {
    await page.keyboard.press("F2");
    await page.waitForSelector("#form .part");
    for (let n = 0; n < 300 && (await focused()) !== key; n++) await page.keyboard.press("Tab");
    assert.equal(await focused(), key);
  }

  test("is filled in by keyboard; the papers follow, and the comments stay", async () => {
    await beginAlone(onDisk, { before: without });
    await example("tour/2-measured.yaml");
    const [before, was] = [await page.inputValue("#text"), await card()];
    await form();
    await page.keyboard.press("Control+a");
    await page.keyboard.type("7 min");
    await until("before_handling: {value: 7 min");
    const text = await page.inputValue("#text");
    assert.equal(text, before.replace(/(before_handling: {value: )[^,}]*/, "$17 min"));
    assert.ok(before.match(/# /g).length > 5, "it has comments");
    await page.waitForFunction((was) => document.querySelector(".sheet").dataset.wanted !== was, was);
    await settled();
    assert.equal(await focused(), key);
    const [kept] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
    await said("Saved.");
    const file = path.join(await mkdtemp(path.join(tmpdir(), "coldring-alone-")), "2-measured.yaml");
    await writeFile(file, await readFile(await kept.path()));
    for (const [id, bytes] of await built(file)) assert.ok((await downloaded(id)).bytes.equals(bytes), id);
  });

  test("is heard before the next paper is laid out", async () => {
    await beginAlone(onDisk);
    await example("tour/2-measured.yaml");
    await form();
    await page.waitForTimeout(1000);
    const [worker] = page.workers();
    // Every step takes so long that the next key is pressed meanwhile.
    await worker.evaluate(() => {
      globalThis.asked = [];
      const quick = ask;
      ask = (request, bytes) => {
        asked.push(request.ask);
        for (const end = performance.now() + 700; request.ask === "step" && performance.now() < end; );
        return quick(request, bytes);
      };
    });
    await page.keyboard.press("End");
    await page.keyboard.type("u");
    await until("minu");
    await page.waitForTimeout(150);
    await page.keyboard.type("t");
    await until("minut");
    const asked = (await worker.evaluate(() => asked)).filter((it) => /^(look|step|field)$/.test(it));
    assert.deepEqual(asked.slice(0, 4), ["field", "look", "step", "field"], asked.join());
    // Nothing more was laid out of the text before it.
    assert.equal(asked[4] ?? "look", "look", asked.join());
  });
});

describe("files of this computer", () => {
  test("are opened together, and a spec finds its records among them", async () => {
    await beginAlone(onDisk, { before: without });
    const files = ["alder-fork-gas.yaml", "records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml", "house/house.yaml", "house/logo.svg"];
    await page.setInputFiles("#open-input", files.map((file) => path.join(specs, file)));
    await settled();
    assert.equal(await page.textContent("#file-name"), "alder-fork-gas.yaml");
    const expected = await built("alder-fork-gas.yaml", ["--house", path.join(specs, "house")]);
    const made = await downloaded("card");
    assert.ok(made.bytes.equals(expected.get("card")));
    assert.equal(made.name, "alder-fork-gas-card.pdf");
  });

  test("that are missing are named in a finding", async () => {
    await beginAlone(onDisk, { before: without });
    await page.setInputFiles("#open-input", path.join(specs, "alder-fork-gas.yaml"));
    await page.waitForFunction(() => /AF-PQ-07\.yaml.*not open here/.test(document.getElementById("findings").textContent));
  });

  test("of several specs one is chosen, and of none it is said", async () => {
    await beginAlone(onDisk, { before: without });
    await page.setInputFiles("#open-input", path.join(specs, "records/AF-PQ-07.yaml"));
    await page.waitForFunction(() => /No spec/.test(document.getElementById("start-error").textContent));
    await page.setInputFiles("#open-input", ["tour/1-least.yaml", "tour/2-measured.yaml"].map((file) => path.join(specs, file)));
    await page.click("#which-list button:nth-child(2)");
    await settled();
    assert.equal(await page.textContent("#file-name"), "2-measured.yaml");
  });

  test("are saved by a download where the browser writes none, and leaving unsaved text is asked about", async () => {
    await beginAlone(onDisk, { before: without });
    await example("hollow-creek-geothermal.yaml");
    assert.equal(await page.textContent("#file-state"), "unchanged");
    await replace("First issue", "First printing");
    assert.equal(await page.textContent("#file-state"), "not saved");
    await page.click("#download", { force: true });
    await said("Save first");
    const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Control+s")]);
    assert.equal(download.suggestedFilename(), "hollow-creek-geothermal.yaml");
    assert.match(await readFile(await download.path(), "utf8"), /First printing/);
    await said("Saved.");
    assert.equal(await page.textContent("#file-state"), "saved");
    await replace("First printing", "Second printing");
    const asked = new Promise((resolve) => page.once("dialog", (dialog) => {
      resolve(dialog.type());
      dialog.accept();
    }));
    await page.close({ runBeforeUnload: true });
    assert.equal(await asked, "beforeunload");
  });

  test("are written in place where the browser lets it, and never over a change of another program", async () => {
    const text = await readFile(path.join(specs, "hollow-creek-geothermal.yaml"), "utf8");
    await beginAlone(onDisk, {
      before: `{
        const disk = (window.disk = { text: ${JSON.stringify(text)}, changed: 1 });
        const getFile = async () => new File([disk.text], "mine.yaml", { lastModified: disk.changed });
        const createWritable = async () => ({ write: async (bytes) => { disk.text = new TextDecoder().decode(bytes); }, close: async () => { disk.changed++; } });
        window.showOpenFilePicker = async () => [{ getFile, createWritable }];
      }`,
    });
    await page.click("#open-files");
    await settled();
    assert.ok(await page.isVisible("#reload"));
    await replace("First issue", "First printing");
    await page.keyboard.press("Control+s");
    await said("Saved.");
    assert.match(await page.evaluate(() => disk.text), /First printing/);
    await replace("First printing", "Second printing");
    await page.evaluate(() => {
      disk.text = disk.text.replace("First printing", "Theirs");
      disk.changed++;
    });
    await page.keyboard.press("Control+s");
    await page.waitForSelector("#changed[open]");
    assert.match(await page.evaluate(() => disk.text), /Theirs/);
  });
});

test("a new spec is what the program writes, and is not saved yet", async () => {
  await beginAlone(onDisk);
  await page.check("#new-sizes input[value='1 IPS']");
  await page.check("#new-sizes input[value='2 IPS']");
  await page.selectOption("#new-service", "water");
  await page.click("#new-make");
  await page.waitForFunction(() => document.getElementById("text").value);
  // Whoever starts here need not write YAML.
  const number = (value) => [...document.querySelectorAll("#form input")].some((input) => input.value === value);
  await page.waitForFunction(number, "SF-001");
  const file = path.join(await mkdtemp(path.join(tmpdir(), "coldring-alone-")), "new.yaml");
  await run(program, ["new", file, "--sizes", "1 IPS,2 IPS", "--service", "water", "--no-schema"]);
  assert.equal(await page.inputValue("#text"), await readFile(file, "utf8"));
  assert.equal(await page.textContent("#file-state"), "not saved");
});

describe("private", () => {
  test("nothing is asked for, and nothing is stored", async () => {
    await beginAlone(onDisk);
    await example("alder-fork-gas.yaml");
    await replace("set_point: 500 °F", "set_point: 900 °F");
    await isStale(true);
    await page.click("#findings .more");
    await page.waitForSelector(".reason p");
    await page.selectOption("#theme", "dark");
    await page.click("#outline-fold");
    // The page itself, and what it made in memory.
    const asked = page.requests.filter((url) => !/^(blob|data):/.test(url));
    assert.deepEqual(asked, [onDisk]);
    const stored = await page.evaluate(async () => [localStorage.length, sessionStorage.length, (await indexedDB.databases()).length]);
    assert.deepEqual(stored, [0, 0, 0]);
  });

  test("the policy lets no script of the page send anything", async () => {
    await beginAlone(address("coldring.html"));
    const before = hits.length;
    const sent = await page.evaluate((there) => fetch(there).then(() => "sent", () => "refused"), address("sent-by-the-page"));
    const [worker] = page.workers();
    const sentByWorker = await worker.evaluate((there) => fetch(there).then(() => "sent", () => "refused"), address("sent-by-the-worker"));
    assert.deepEqual([sent, sentByWorker], ["refused", "refused"]);
    assert.equal(hits.length, before);
    // The browser complains of it, as it should.
    page.complaints.length = 0;
  });

  test("what is written in a spec stays text", async () => {
    await beginAlone(onDisk);
    await example("hollow-creek-geothermal.yaml");
    await replace("Socket fusion of PE4710", "<img src=x onerror=document.title='taken'></script><script>document.title='taken'</script>");
    await page.waitForSelector("#sheets[aria-busy=false]");
    assert.doesNotMatch(await page.title(), /taken/);
    assert.equal(await page.$("#under img, #findings img"), null);
  });
});

describe("the page goes on", () => {
  const works = async (line) => {
    await page.evaluate(() => {
      const text = document.getElementById("text");
      text.value = window.good;
      text.dispatchEvent(new Event("input"));
    });
    await page.waitForFunction(() => !document.querySelector("#findings li[data-weight=error]"));
    await settled();
    await isStale(false);
    await replace("set_point: 500 °F", "set_point: 900 °F");
    await errorAt(line);
  };
  const hostile = {
    "lists nested deeply": "coldring: 1\na: " + "[".repeat(100_000),
    "groups nested deeply": "coldring: 1\n" + Array.from({ length: 3000 }, (_, n) => " ".repeat(n) + "a:").join("\n"),
    "more than a spec may have": "# " + "x".repeat(9_000_000),
    "aliases of aliases": "a: &a [x,x,x,x,x,x,x,x,x]\n" + [..."bcdefghij"].map((name, n) => `${name}: &${name} [${Array(9).fill("*" + "abcdefghi"[n])}]`).join("\n"),
    "no text at all": "\u0000\ufffe\u202e",
  };
  for (const [what, text] of Object.entries(hostile)) {
    test(`after ${what}`, async () => {
      await beginAlone(onDisk);
      await example("hollow-creek-geothermal.yaml");
      const line = await lineOf("set_point");
      await page.evaluate((text) => {
        const area = document.getElementById("text");
        window.good = area.value;
        area.value = text;
        area.dispatchEvent(new Event("input"));
      }, text);
      await page.waitForSelector("#findings li[data-weight=error]");
      await works(line);
    });
  }

  // Asks the module itself for room that there is not.
  const failures = {
    "a panic of the module": [2 ** 32 - 1, /panicked at .*capacity overflow/s],
    "more memory than there may be": [2 ** 31 - 4096, /more memory than it may have/],
  };
  for (const [what, [room, told]] of Object.entries(failures)) {
    test(`after ${what}, and says so`, async () => {
      await beginAlone(onDisk);
      await example("alder-fork-gas.yaml");
      const line = await lineOf("set_point");
      await page.evaluate(() => (window.good = document.getElementById("text").value));
      const [worker] = page.workers();
      await worker.evaluate((room) => {
        const module = exports;
        exports = { ...module, coldring_ask: () => module.coldring_room(room) };
      }, room);
      await replace("before_handling: {value: 5 min", "before_handling: {value: 6 min");
      await page.waitForFunction(() => /A fault of coldring/.test(document.getElementById("page-note").textContent));
      assert.match(await page.textContent("#page-note"), told);
      assert.match(await page.inputValue("#text"), /before_handling: {value: 6 min/);
      await works(line);
    });
  }

  test("the memory of the module ends at 1 GiB", async () => {
    await beginAlone(onDisk);
    const [worker] = page.workers();
    const grown = (pages) => worker.evaluate((pages) => {
      const had = exports.memory.buffer.byteLength >> 16;
      try {
        exports.memory.grow(pages - had);
        return exports.memory.buffer.byteLength;
      } catch (error) {
        return error.name;
      }
    }, pages);
    assert.equal(await grown(2 ** 14 + 1), "RangeError");
    assert.equal(await grown(2 ** 14), 2 ** 30);
  });

  test("after its worker was silent for longer than it may be, which ends it", async () => {
    const patient = await readFile(new URL(onDisk), "utf8");
    assert.match(patient, / data-longest="60000"/);
    const file = path.join(await mkdtemp(path.join(tmpdir(), "coldring-alone-")), "coldring.html");
    await writeFile(file, patient.replace(' data-longest="60000"', ' data-longest="2500"'));
    await beginAlone(pathToFileURL(file).href);
    await example("alder-fork-gas.yaml");
    const line = await lineOf("set_point");
    await page.evaluate(() => (window.good = document.getElementById("text").value));
    const [worker] = page.workers();
    await worker.evaluate(() => (exports = { ...exports, coldring_ask: () => { for (;;); } }));
    const ended = new Promise((resolve) => worker.once("close", resolve));
    await replace("before_handling: {value: 5 min", "before_handling: {value: 6 min");
    await page.waitForFunction(() => document.getElementById("page-note").textContent.includes("nothing came back within 2.5 seconds"));
    await ended;
    assert.equal(page.workers().length, 1);
    assert.match(await page.inputValue("#text"), /before_handling: {value: 6 min/);
    await works(line);
  });

  test("after its worker has failed, and says so", async () => {
    await beginAlone(onDisk);
    await example("alder-fork-gas.yaml");
    const line = await lineOf("set_point");
    await page.evaluate(() => (window.good = document.getElementById("text").value));
    const [worker] = page.workers();
    // As if the next text made the module fail.
    await worker.evaluate(() => (exports = { ...exports, coldring_ask: () => { throw new Error("four is not five"); } }));
    await replace("before_handling: {value: 5 min", "before_handling: {value: 6 min");
    await page.waitForFunction(() => document.getElementById("page-note").textContent.includes("four is not five"));
    assert.match(await page.inputValue("#text"), /before_handling: {value: 6 min/);
    await works(line);
  });
});

describe("for everybody", () => {
  for (const look of ["light", "dark"]) {
    for (const width of [1280, 390]) {
      test(`no serious violation is found by axe, ${look}, ${width} px wide`, async () => {
        await beginAlone(onDisk, { context: { colorScheme: look, viewport: { width, height: 800 } } });
        await audit(`${look}, start`);
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "no scrolling sideways");
        await example("hollow-creek-geothermal.yaml");
        await audit(`${look}, a spec`);
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "no scrolling sideways");
        await page.keyboard.press("F2");
        if (width < 900) await page.click("#sides [data-side=spec]");
        await page.waitForSelector("#form .part");
        await audit(`${look}, its form`);
        assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "no scrolling sideways");
      });
    }
  }

  test("an example is reached and opened with the keyboard alone", async () => {
    await beginAlone(onDisk);
    const at = () => page.evaluate(() => document.activeElement.closest("#example-list") !== null);
    for (let n = 0; n < 80 && !(await at()); n++) await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await settled();
  });
});
