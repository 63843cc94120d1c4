// Papers from anybody, verified in the page without a program: what is told is what the
// program tells, and no file ends the page or its compiler.

import assert from "node:assert/strict";
import { execFile } from "node:child_process";
import { mkdtemp, readFile, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { before, describe, test } from "node:test";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { audit, beginAlone, errorAt, lineOf, oneWorker, page, replace } from "./page.mjs";
import { HOSTILE } from "./pdf.mjs";
import { packages, program, top } from "./serve.mjs";

const run = promisify(execFile);
const onDisk = pathToFileURL(path.join(packages, "coldring.html")).href;
const of = (file) => path.join(top, "specs", file);
const SPEC = "alder-fork-gas.yaml";
const EARLIER = "earlier/alder-fork-gas-r1.yaml";
const BESIDE = ["records/AF-PQ-07.yaml", "confirmations/AF-EC-2.yaml"];

let folder;
let key;
const inFolder = (name) => path.join(folder, name);
const card = "AF-JP-12-r2/card.pdf";
before(async () => {
  folder = await mkdtemp(path.join(tmpdir(), "coldring-verify-"));
  await run(program, ["keys", "demo", "--out", folder]);
  key = inFolder("demo.public.pem");
  const signed = ["--key", inFolder("demo.private.pem"), "--out", folder];
  await run(program, ["build", of(SPEC), of("hollow-creek-geothermal.yaml"), ...signed]);
});

const squeezed = (text) => text.replace(/\s+/g, "");

// What the program prints, whether the paper holds or not.
async function printed(paper, more) {
  const command = ["verify", path.basename(paper), "--trust", key, ...more];
  const ended = await run(program, command, { cwd: path.dirname(inFolder(paper)) }).catch((failed) => failed);
  return ended.stdout;
}

async function begin(spec = SPEC, options = {}) {
  await beginAlone(options.address ?? onDisk, options);
  await page.setInputFiles("#open-input", [spec, ...BESIDE].map(of));
  await page.waitForSelector("#sheets[aria-busy=false]");
  await page.click("#further");
  await page.setInputFiles("#verify-key", key);
  await page.waitForFunction(() => /BEGIN PUBLIC KEY/.test(document.getElementById("verify-keys").value));
}

// Verifies a paper, and returns what is shown of it as the program prints it.
async function verified(paper) {
  await page.setInputFiles("#verify-paper", inFolder(paper));
  await page.waitForSelector("#more-result-head:focus");
  return page.evaluate(() => {
    const shown = [...document.getElementById("more-shown").children].filter((one) => one.className !== "small");
    return [...shown, document.getElementById("more-result-head")].map((one) => [...one.querySelectorAll("li")].map((line) => line.textContent).join("") || one.textContent).join("");
  });
}

async function refused(file) {
  await page.setInputFiles("#verify-paper", file);
  await page.waitForSelector("#more-error:not([hidden])");
  assert.ok(await page.isHidden("#more-result"), "nothing else is told of it");
  return page.textContent("#more-error");
}

// The compiler still answers, and a paper is still proven.
async function works() {
  assert.match(await verified(card), /Proven: signature, spec and pages/);
  await page.waitForFunction(() => document.getElementById("more-state").textContent === "");
  await oneWorker();
  await page.click("#more-back");
  const line = await lineOf("set_point");
  await replace("set_point: 500 °F", "set_point: 900 °F");
  await errorAt(line);
}

describe("a paper", () => {
  test("that the open spec makes is proven, by the lines of the program", async () => {
    await begin();
    assert.equal(squeezed(await verified(card)), squeezed(await printed(card, ["--spec", of(SPEC)])));
    assert.equal(await page.textContent("#more-result-head"), "Proven: signature, spec and pages.");
    await audit("proven");
    // Nothing of it stays.
    await oneWorker();
    await page.click("#more-back");
    assert.equal(await page.textContent("#more-shown"), "");
  });

  test("that carries its spec is proven without another", async () => {
    await begin();
    await page.selectOption("#verify-spec", "attached");
    for (const paper of ["HC-SF-104-r2/procedure.pdf", "AF-JP-12-r2/procedure.pdf"]) {
      const record = paper.startsWith("AF") ? ["--record", of(BESIDE[0])] : [];
      const shown = await verified(paper);
      assert.equal(squeezed(shown), squeezed(await printed(paper, record)));
      assert.match(shown, /same byte for byte/);
    }
  });

  test("is verified from the start too, where no spec is open", async () => {
    await beginAlone(onDisk);
    await page.focus("#start-verify");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#more-head:focus");
    assert.ok(await page.isHidden("#form-make"));
    await page.setInputFiles("#verify-key", key);
    await page.waitForFunction(() => /BEGIN PUBLIC KEY/.test(document.getElementById("verify-keys").value));
    const paper = "HC-SF-104-r2/procedure.pdf";
    assert.equal(squeezed(await verified(paper)), squeezed(await printed(paper, [])));
    assert.equal(squeezed(await verified(card)), squeezed(await printed(card, [])));
    assert.match(await page.textContent("#more-result-head"), /^NOT PROVEN: page 2: spec \(unchecked\), pages \(unchecked\)/);
    await audit("from the start");
    await page.focus("#more-back");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#start-verify:focus");
  });

  test("with one number altered is not proven", async () => {
    const altered = "AF-JP-12-r2/altered.pdf";
    await writeFile(inFolder(altered), await withOtherNumber(inFolder(card)));
    await begin();
    const shown = await verified(altered);
    assert.equal(squeezed(shown), squeezed(await printed(altered, ["--spec", of(SPEC)])));
    assert.match(await page.textContent("#more-result-head"), /^NOT PROVEN: page 2: pages \(missing\)/);
    assert.ok(await page.$("#more-shown [data-fails]"));
  });

  test("of another revision is not proven", async () => {
    await begin(EARLIER);
    const shown = await verified(card);
    assert.equal(squeezed(shown), squeezed(await printed(card, ["--spec", of(EARLIER)])));
    assert.match(shown, /is NOT the one that was signed/);
  });

  test("by another key, without a key, or with a private one, is not proven", async () => {
    await begin();
    await page.setInputFiles("#verify-key", inFolder("demo.private.pem"));
    await page.waitForSelector("#more-error:not([hidden])");
    assert.doesNotMatch(await page.inputValue("#verify-keys"), /PRIVATE/);
    await page.fill("#verify-keys", "");
    assert.match(await refused(inFolder(card)), /no key is given/);
    await run(program, ["keys", "other", "--out", folder]);
    await page.fill("#verify-keys", await readFile(inFolder("other.public.pem"), "utf8"));
    assert.match(await verified(card), /NOT PROVEN/);
  });
});

// A copy of a paper in which a digit is another one, as pdftotext reads it.
async function withOtherNumber(paper) {
  const plain = inFolder("plain.pdf");
  const text = async (bytes) => {
    await writeFile(plain, bytes);
    return (await run("pdftotext", ["-layout", plain, "-"])).stdout;
  };
  await run("qpdf", ["--qdf", "--object-streams=disable", paper, plain]);
  const bytes = (await readFile(plain)).toString("latin1");
  const was = await text(Buffer.from(bytes, "latin1"));
  for (const run of bytes.matchAll(/\[<(\w{4})(\w{4})*>\]TJ/g)) {
    const end = run.index + run[0].length - ">]TJ".length;
    const changed = Buffer.from(bytes.slice(0, end - 4) + run[1] + bytes.slice(end), "latin1");
    const is = await text(changed);
    const at = [...was].findIndex((one, n) => one !== is[n]);
    if (at >= 0 && /\d/.test(was[at]) && /\d/.test(is[at]) && was.slice(at + 1) === is.slice(at + 1)) return changed;
  }
  throw new Error("no number was found in the paper");
}

const FILES = {
  "no PDF at all": () => Buffer.from("number: 1"),
  "nothing": () => Buffer.alloc(0),
  "half a paper": async () => {
    const whole = await readFile(inFolder(card));
    return whole.subarray(0, whole.length / 2);
  },
  ...HOSTILE,
};

describe("the page goes on", () => {
  for (const [what, made] of Object.entries(FILES)) {
    test(`after ${what}, which proves nothing`, async () => {
      const file = inFolder("hostile.pdf");
      await writeFile(file, await made());
      await begin();
      await page.setInputFiles("#verify-paper", file);
      await page.waitForSelector("#more-error:not([hidden]), #more-result-head:focus");
      const told = (await page.textContent("#more-error")) || (await page.textContent("#more-result-head"));
      assert.match(told, /^(Nothing is proven: hostile\.pdf cannot be verified: .{9}|NOT PROVEN: no signed code was found)/);
      await works();
    });
  }

  test("after a reader that is silent, which is ended", async () => {
    const patient = await readFile(new URL(onDisk), "utf8");
    const address = inFolder("coldring.html");
    await writeFile(address, patient.replace(' data-longest="60000"', ' data-longest="12000"'));
    await begin(SPEC, {
      address: pathToFileURL(address).href,
      before: () => {
        const stuck = () => URL.createObjectURL(new Blob(["for (;;);"]));
        window.Worker = class extends Worker {
          constructor(source) {
            super(window.silent ? stuck() : source);
          }
        };
      },
    });
    await page.evaluate(() => (window.silent = true));
    assert.match(await refused(inFolder(card)), /reading it took more than 12 seconds/);
    await page.evaluate(() => (window.silent = false));
    await works();
  });
});
