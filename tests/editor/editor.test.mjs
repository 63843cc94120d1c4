// What a person sees who writes a file in an editor: completion, help, and red
// underlines at the words that are wrong.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { coldring, folder, named, read, RIGHT } from "./files.mjs";
import { start } from "./server.mjs";

const GAS = read("specs/alder-fork-gas.yaml");
let server;
before(async () => {
  server = await start();
});
after(() => server.stop());

/** The demo for gas with one change, as the server has it. */
async function changed(t, from, to) {
  assert.equal(GAS.split(from).length, 2, `'${from}' stands once`);
  return server.open(named(folder(t), "spec", GAS.replace(from, to)));
}

for (const [kind, file] of RIGHT) {
  test(`nothing is underlined in ${file}`, async (t) => {
    const { faults } = await server.open(named(folder(t), kind, read(file)));
    assert.deepEqual(faults, []);
  });
}

test("a field nobody knows is underlined where it stands", async (t) => {
  const wrong = read("specs/wrong/everything-at-once.yaml");
  const { faults } = await server.open(named(folder(t), "spec", wrong));
  const line = wrong.split("\n").findIndex((line) => line.includes("setpoint_tolerance")) + 2;
  const at = faults.find((fault) => fault.text === "setpoint_tolerance");
  assert.equal(at?.line, line);
});

test("a spec that coldring new wrote has its schema beside it", async (t) => {
  const path = join(folder(t), "mine");
  coldring("schema", "--out", path);
  const spec = join(path, "my-procedure.yaml");
  coldring("new", spec);
  const clean = await server.open(spec);
  assert.deepEqual(clean.faults, []);
  assert.match(await clean.told("set_point"), /What the controller is set to/);
  const other = join(path, "other.yaml");
  writeFileSync(other, readFileSync(spec, "utf8").replace("set_point:", "setpoint:"));
  const { faults } = await server.open(other);
  assert.deepEqual(faults.map((fault) => fault.text).sort(), ["heater", "setpoint"]);
});

test("words of the tables are offered", async (t) => {
  const resin = await changed(t, "resin: PE2708", "resin: ");
  const offered = await resin.offered("resin: ");
  for (const code of ["PE4710", "PE2708", "PE100", "PP-R"]) assert.ok(offered.includes(code), code);

  const status = await changed(t, "status: qualified", "status: ");
  assert.deepEqual(await status.offered("status: "), ["draft", "qualified", "withdrawn"]);

  const kinds = await changed(t, "kinds: [coupling, elbow, tee, cap,", "kinds: [coupling, ");
  assert.ok((await kinds.offered("kinds: [coupling, ")).includes("threaded transition"));

  const method = await changed(t, "{method: pyrometer, accuracy: 2 °F}", "{method: }");
  assert.ok((await method.offered("{method: ")).includes("two indicating sticks"));

  const agent = await changed(t, "agent: isopropyl alcohol, strength: 91 %", "agent: ");
  assert.ok((await agent.offered("agent: ")).includes("isopropyl alcohol"));
});

test("sizes are offered as words and as the keys of a group", async (t) => {
  const cutter = await changed(t, "cutter: {largest: 2 IPS}", "cutter: {largest: }");
  const sizes = await cutter.offered("largest: ");
  for (const size of ["1-1/4 IPS", "1/2 CTS", "63 mm"]) assert.ok(sizes.includes(size), size);

  const adapters = "adapters: {1/2 CTS: {}, 3/4 CTS: {}, 1 IPS: {}, 1-1/4 IPS: {}, 2 IPS: {}}";
  const keys = await changed(t, adapters, "adapters:\n    ");
  assert.ok((await keys.offered("adapters:\n    ")).includes("1-1/4 IPS"));
});

test("fields are offered, and those of the chosen word alone", async (t) => {
  const heater = await changed(t, "  swing: 4 °F\n", "  s\n");
  assert.ok((await heater.offered("  step: 2 °F\n  s")).includes("swing"));

  const stick = "face_check:\n    method: indicating stick\n    ";
  const check = await changed(t, "face_check: {method: pyrometer, accuracy: 2 °F}", stick);
  const fields = await check.offered(stick);
  assert.ok(fields.includes("melts") && fields.includes("accuracy"), fields.join());
  assert.ok(!fields.includes("stays_solid"), fields.join());
});

test("no figure is offered for a quantity", async (t) => {
  for (const [from, to, before] of [
    ["1 IPS: {depth: 0.70 in,", "1 IPS: {depth: ,", "  1 IPS: {depth: "],
    ["set_point: 500 °F", "set_point: ", "set_point: "],
    ["{value: 5 min,", "{value: ,", "before_handling: {value: "],
  ]) {
    const opened = await changed(t, from, to);
    const offered = await opened.offered(before);
    assert.ok(!offered.some((word) => /[0-9]/.test(word)), offered.join());
  }
});

test("a field that is chosen comes without a figure", async (t) => {
  // The numbers of the places where the cursor goes, as in $1 and ${2:text}.
  const figures = (inserted) => inserted.replace(/\$\{?[0-9]+/g, "").match(/[0-9]/);
  for (const [kind, text] of [
    ["spec", "heater:\n  "],
    ["spec", "cycles:\n  rows:\n    - "],
    ["spec", "tools:\n  depth_gauges:\n    1 IPS:\n      "],
    ["record", "joints:\n  - tests:\n      - "],
    ["record", "joints:\n  - id: A\n    "],
  ]) {
    const opened = await server.open(named(folder(t), kind, text));
    const inserted = await opened.inserted(text);
    assert.ok(inserted.length > 0, text);
    assert.deepEqual(inserted.filter(figures), [], text);
  }
});

test("a clause of a house style tells the words that it replaces", async (t) => {
  const house = read("specs/house/house.yaml");
  const told = await (await server.open(named(folder(t), "house", house))).told("step-heater");
  assert.match(told, /Check both adapter faces/);
  assert.match(told, /It must say: set\\?_point/);
});

test("hovering tells what a field is for, its unit, and what holds without it", async (t) => {
  const spec = await server.open(named(folder(t), "spec", GAS));
  const point = await spec.told("set_point");
  assert.match(point, /What the controller is set to/);
  assert.match(point, /°F or °C/);
  assert.match(await spec.told("effective"), /If omitted: the papers say the effective date is not stated/);
  assert.match(await spec.told("sizes: [1/2"), /#### Sizes .*nominal size/s);
  assert.match(await spec.told("resin"), /PE4710/);
  assert.match(await spec.told("depth: 0.52"), /never taken from a table/);
});

test("what is wrong is underlined, and the message says what is wanted", async (t) => {
  for (const [from, to, text, message] of [
    ["resin: PE2708", "resin: PE2780", "PE2780", /PE2708/],
    ["set_point: 500 °F", "set_point: 500", "500", /with its unit \(°F or °C\)/],
    ["swing: 4 °F", "swing: 4 mm", "4 mm", /difference of temperature/],
    ["effective: 2026-10-01", "effective: 10/01/2026", "10/01/2026", /year, month, day/],
    ["1 IPS: {depth: 0.70 in,", "1 IPS: {depth: soon,", "soon", /to be measured/],
    ["kinds: [coupling", "kinds: [copling", "copling", /coupling/],
    ["{method: pyrometer, acc", "{method: pyrometre, acc", "pyrometre", /two indicating sticks/],
    ["cutter: {largest: 2 IPS}", "cutter: {biggest: 2 IPS}", "biggest", /not allowed/],
    // A wall beside a ratio is that of one size.
    ["wall: 0.090 in}", "wall: 0.090 in, dimension_ratio: 11}", "[1/2 CTS, 3/4 CTS]", /1 or fewer/],
    ["  service: gas\n", "", "procedure", /service/],
  ]) {
    const { faults } = await changed(t, from, to);
    const told = faults.some((fault) => fault.text === text && message.test(fault.message));
    assert.ok(told, `${to}: ${JSON.stringify(faults)}`);
  }
});

test("the fields of a record depend on the kind of test", async (t) => {
  const record = read("specs/records/AF-PQ-07.yaml");
  const less = record.replace("straps: 3, with_voids: 0, ", "straps: 3, ");
  assert.notEqual(less, record);
  const { faults } = await server.open(named(folder(t), "record", less));
  assert.match(faults.map((fault) => fault.message).join(), /with_voids/);
});
