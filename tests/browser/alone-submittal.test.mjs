// A submittal in the page without a program is that of the program, byte for byte, and
// no PDF that it attaches ends the page or its compiler.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { audit, beginAlone, errorAt, lineOf, oneWorker, page, replace } from "./page.mjs";
import { HOSTILE } from "./pdf.mjs";
import { packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const of = (file) => path.join(top, "specs", file);
const SPEC = "alder-fork-gas.yaml";
const SUBMITTAL = "submittal/AF-S-031.yaml";
const SHEET = "submittal/attachments/fitting-sheet.pdf";
const CERTIFICATE = "submittal/attachments/pipe-certificate.pdf";

async function begin(enclosed, options = {}) {
  await beginAlone(options.address ?? onDisk, options);
  await page.setInputFiles("#open-input", [SPEC, "records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml"].map(of));
  await page.waitForSelector("#sheets[aria-busy=false]");
  await page.click("#further");
  await page.setInputFiles("#more-input", [of(SUBMITTAL), of("people/fusers.yaml"), ...enclosed]);
  await page.waitForFunction(() => /Opened/.test(document.getElementById("more-state").textContent));
  await page.selectOption("#submittal-file", "AF-S-031.yaml");
}

async function downloaded(id) {
  const [download] = await Promise.all([page.waitForEvent("download"), page.click(`#${id}`)]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

// The error that stands in the way of a packet; the compiler still answers after it.
async function refused() {
  await page.click("#submittal-make");
  await page.waitForSelector("#more-result-head:focus");
  assert.equal(await page.textContent("#more-result-head"), "No submittal was made");
  const errors = await page.$$eval("#more-shown [data-weight=error]", (all) => all.map((one) => one.firstChild.textContent));
  assert.equal(errors.length, 1, errors.join());
  await page.waitForFunction(() => document.getElementById("more-state").textContent === "");
  await oneWorker();
  await page.click("#more-back");
  const line = await lineOf("set_point");
  await replace("set_point: 500 °F", "set_point: 900 °F");
  await errorAt(line);
  return errors[0];
}

test("a submittal is that of the program, and one can be started here", async () => {
  await begin([CERTIFICATE, SHEET].map(of));
  const out = await mkdtemp(path.join(tmpdir(), "coldring-submittal-"));
  await run(program, ["submittal", of(SUBMITTAL), "--out", out]);
  const made = await downloaded("submittal-make");
  assert.equal(made.name, "AF-S-031-r0-submittal.pdf");
  assert.ok(made.bytes.equals(await readFile(path.join(out, "AF-S-031-r0-submittal/submittal.pdf"))));
  await audit("submittal");

  const started = await downloaded("submittal-starter");
  assert.equal(started.name, "submittal.yaml");
  const file = path.join(out, started.name);
  await writeFile(file, started.bytes);
  await page.setInputFiles("#more-input", file);
  await page.waitForFunction(() => /Opened submittal/.test(document.getElementById("more-state").textContent));
  await page.selectOption("#submittal-file", "submittal.yaml");
  assert.match((await downloaded("submittal-make")).name, /^S-001-r0/);
});

test("what is not open is an error at its line", async () => {
  await begin([of(SHEET)]);
  assert.match(await refused(), /^error: AF-S-031\.yaml, line \d+: 'attachments\/pipe-certificate\.pdf' cannot be read: it is not open here/);
});

const half = async () => {
  const whole = await readFile(of(CERTIFICATE));
  return whole.subarray(0, whole.length / 2);
};
for (const [what, made, told] of [
  ["is no PDF", () => Buffer.from("a certificate"), /is not a PDF/],
  ["is cut off", half, /is damaged/],
  ["has an image of a gigabyte", HOSTILE["an image of a gigabyte"], /is damaged|cannot be placed/],
  ["has a page that draws itself", HOSTILE["a page that draws itself"], /draws itself/],
]) {
  test(`an attachment that ${what} is an error at its line`, async () => {
    const folder = await mkdtemp(path.join(tmpdir(), "coldring-submittal-"));
    const file = path.join(folder, "pipe-certificate.pdf");
    await writeFile(file, await made());
    await begin([file, of(SHEET)]);
    const error = await refused();
    assert.match(error, /^error: AF-S-031\.yaml, line \d+: 'attachments\/pipe-certificate\.pdf'/);
    assert.match(error, told);
  });
}

test("an attachment that takes too long is an error at its line", async () => {
  const folder = await mkdtemp(path.join(tmpdir(), "coldring-submittal-"));
  const address = path.join(folder, "coldring.html");
  const patient = await readFile(new URL(onDisk), "utf8");
  await writeFile(address, patient.replace(' data-longest="60000"', ' data-longest="12000"'));
  await begin([CERTIFICATE, SHEET].map(of), {
    address: pathToFileURL(address).href,
    before: () => {
      // The first worker for an attachment never answers.
      const stuck = () => URL.createObjectURL(new Blob(["for (;;);"]));
      let begun = 0;
      window.Worker = class extends Worker {
        constructor(source) {
          super(++begun === 2 ? stuck() : source);
        }
      };
    },
  });
  assert.match(await refused(), /'attachments\/pipe-certificate\.pdf' cannot be placed: reading it took more than 12 seconds/);
});
