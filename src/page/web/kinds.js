// What a file is, by its name and how it begins, and its bytes.

// What each kind of YAML file begins with; a spec is the one without a word after coldring.
const HEAD = /^coldring(-[a-z]+)?:/m;
const KINDS = { "-record": "record", "-fusers": "roster", "-submittal": "submittal" };
// The longest file that is read at all.
const MOST_BYTES = 64 << 20;

// spec, record, roster, submittal, or other.
export function kindOf(path, bytes) {
  if (/\.csv$/i.test(path)) return "roster";
  if (!/\.ya?ml$/i.test(path) || path.split("/").at(-1) === "house.yaml") return "other";
  const head = HEAD.exec(new TextDecoder().decode(bytes.subarray(0, 65_536)));
  return head?.[1] ? KINDS[head[1]] ?? "other" : "spec";
}

// A private key is not kept open with the others. Its bytes are never made a text, which
// could not be wiped.
const KEY = new TextEncoder().encode("PRIVATE KEY-----");
export const isPrivateKey = (bytes) => bytes.subarray(0, 65_536).some((_, at, all) => KEY.every((byte, n) => all[at + n] === byte));

// The bytes of a file that is opened.
export async function bytesOf(file) {
  const bytes = await readOnce(file);
  if (!isPrivateKey(bytes)) return bytes;
  bytes.fill(0);
  throw new Error(`${file.name} is a private key, which is not kept open; choose it under More where it signs`);
}

export async function readOnce(file) {
  if (file.size > MOST_BYTES) throw new Error(`${file.name} has more than ${MOST_BYTES >> 20} MB`);
  return new Uint8Array(await file.arrayBuffer());
}
