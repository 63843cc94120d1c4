// The built program, its schemas, and the files of the demo by their kind.

import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const TOP = fileURLToPath(new URL("../../", import.meta.url));

export const KINDS = ["spec", "record", "fusers", "submittal", "house", "confirmations"];

/** Files that are right, by their kind. */
export const RIGHT = [
  ["spec", "specs/alder-fork-gas.yaml"],
  ["spec", "specs/hollow-creek-geothermal.yaml"],
  ["spec", "specs/saddle-works-hot-water.yaml"],
  ["spec", "specs/tern-valley-water.yaml"],
  ["spec", "specs/earlier/alder-fork-gas-r1.yaml"],
  ["record", "specs/records/AF-PQ-07.yaml"],
  ["confirmations", "specs/confirmations/AF-EC-2.yaml"],
  ["fusers", "specs/people/fusers.yaml"],
  ["submittal", "specs/submittal/AF-S-031.yaml"],
  ["house", "specs/house/house.yaml"],
];

/** A file of the package. */
export const read = (name) => readFileSync(resolve(TOP, name), "utf8");

/** Where cargo builds: a relative folder counts from the top of the package. */
const BUILT = resolve(TOP, process.env.CARGO_TARGET_DIR || "target");

/** Runs the built program. */
export const coldring = (...args) =>
  execFileSync(join(BUILT, "release/coldring"), args, { encoding: "utf8" });

// What `coldring new` writes is right, too, in either practice.
const written = mkdtempSync(join(tmpdir(), "coldring-new-"));
process.on("exit", () => rmSync(written, { recursive: true }));
for (const sizes of ["3/4 IPS, 1 IPS", "25 mm, 32 mm"]) {
  const path = join(written, `${RIGHT.length}.yaml`);
  coldring("new", path, "--sizes", sizes, "--service", "gas", "--no-schema");
  RIGHT.push(["spec", path]);
}

/** A folder with every schema, that goes with the test. */
export function folder(test) {
  const path = mkdtempSync(join(tmpdir(), "coldring-editor-"));
  test.after(() => rmSync(path, { recursive: true }));
  coldring("schema", "--out", path);
  return path;
}

/** Writes a file that names the schema of its kind, as `coldring new` does. */
export function named(folder, kind, text) {
  const path = join(folder, `${kind}-${Math.random().toString(36).slice(2)}.yaml`);
  writeFileSync(path, `# yaml-language-server: $schema=coldring-${kind}.schema.json\n${text}`);
  return path;
}
