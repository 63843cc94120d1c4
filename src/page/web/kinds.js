// What a file is, by its name and how it begins, and its bytes.

// What each kind of YAML file begins with; a spec is the one without a word after coldring.
const HEAD = /^coldring(-[a-z]+)?:/m;
const KINDS = { "-record": "record", "-fusers": "roster" };
// The longest file that is read at all.
const MOST_BYTES = 64 << 20;

// spec, record, roster, or other.
export function kindOf(path, bytes) {
  if (/\.csv$/i.test(path)) return "roster";
  if (!/\.ya?ml$/i.test(path) || path.split("/").at(-1) === "house.yaml") return "other";
  const head = HEAD.exec(new TextDecoder().decode(bytes.subarray(0, 65_536)));
  return head?.[1] ? KINDS[head[1]] ?? "other" : "spec";
}

export async function bytesOf(file) {
  if (file.size > MOST_BYTES) throw new Error(`${file.name} has more than ${MOST_BYTES >> 20} MB`);
  return new Uint8Array(await file.arrayBuffer());
}
