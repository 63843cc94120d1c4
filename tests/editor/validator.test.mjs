// The schemas before a validator of JSON Schema that is not ours.

import assert from "node:assert/strict";
import { test } from "node:test";
import Ajv2020 from "ajv/dist/2020.js";
import { parse } from "yaml";
import { coldring, KINDS, read, RIGHT } from "./files.mjs";

// `errorMessage` is for editors: to a validator it is a note, as any other word
// that JSON Schema does not know.
const ajv = () => new Ajv2020.default({ allErrors: true, strict: true, keywords: ["errorMessage"], strictTypes: false, strictRequired: false });
const schema = (kind) => JSON.parse(coldring("schema", kind));

for (const kind of KINDS) {
  test(`the schema of ${kind} is JSON Schema 2020-12`, () => {
    const judge = ajv();
    const text = schema(kind);
    assert.equal(text.$schema, "https://json-schema.org/draft/2020-12/schema");
    assert.equal(text.$id, `urn:coldring:schema:${kind}:1`);
    assert.ok(judge.validateSchema(text), judge.errorsText());
    assert.ok(judge.compile(text));
  });
}

for (const [kind, file] of RIGHT) {
  test(`${file} is valid`, () => {
    const valid = ajv().compile(schema(kind));
    assert.ok(valid(parse(read(file))), JSON.stringify(valid.errors, null, 2));
  });
}

test("what is wrong on purpose is not valid", () => {
  const valid = ajv().compile(schema("spec"));
  assert.equal(valid(parse(read("specs/wrong/everything-at-once.yaml"))), false);
  const unknown = valid.errors.map((error) => error.params.additionalProperty);
  assert.ok(unknown.includes("setpoint_tolerance"));
});

test("a file of another kind is not valid", () => {
  for (const kind of KINDS) {
    const valid = ajv().compile(schema(kind));
    for (const [other, file] of RIGHT.filter(([other]) => other !== kind)) {
      assert.equal(valid(parse(read(file))), false, `${file} as ${kind}, not ${other}`);
    }
  }
});
