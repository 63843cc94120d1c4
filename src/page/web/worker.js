// The worker: holds the module, answers what the page asks, and lays out the newest
// text paper by paper. Between two papers it hears what the page has to say.

// How long a text rests before papers that are not in view are laid out.
const BETWEEN_KEYSTROKES = 300;
// How long layout waits for the text that a field of the form is about to change.
const AFTER_A_FIELD = 100;

let exports = null;
let newest = 0;
let ended = false;
let fieldWritten = -Infinity; // when
const early = []; // what was asked before there was a module

const view = (at, length) => new Uint8Array(exports.memory.buffer, at >>> 0, length);

function ask(request, bytes) {
  const json = new TextEncoder().encode(JSON.stringify(request));
  const more = bytes?.length ?? 0;
  const room = view(exports.coldring_room(4 + json.length + more), 4 + json.length + more);
  new DataView(room.buffer, room.byteOffset).setUint32(0, json.length, true);
  room.set(json, 4);
  if (more) room.set(bytes, 4 + json.length);
  const length = exports.coldring_ask();
  const answer = view(exports.coldring_answer(), length);
  const split = 4 + new DataView(answer.buffer, answer.byteOffset).getUint32(0, true);
  return { told: JSON.parse(new TextDecoder().decode(answer.subarray(4, split))), bytes: answer.slice(split) };
}

// After a panic, or with the stack or the memory used up, nothing can be trusted.
function fail(error) {
  ended = true;
  const panic = view(exports.coldring_panic(), exports.coldring_panic_length());
  postMessage({ failure: panic.length ? new TextDecoder().decode(panic) : withoutPanic(error) });
}

// Rust stops without a word where the browser gives it no more memory.
function withoutPanic(error) {
  return error instanceof WebAssembly.RuntimeError && /unreachable/.test(error.message)
    ? "it needed more memory than it may have, 1 GB"
    : String(error);
}

const rest = (milliseconds) => new Promise((resolve) => setTimeout(resolve, milliseconds));

async function look(id, request) {
  const mine = ++newest;
  const refused = ask(request).told?.why;
  if (refused) return postMessage({ id, told: { what: "fault", message: refused }, last: true });
  let papers = 0;
  for (;;) {
    const { told } = ask({ ask: "step" });
    const last = !told.what || told.what === "done";
    postMessage({ id, told, last });
    if (last) return;
    await rest(told.what === "paper" && ++papers === 1 ? BETWEEN_KEYSTROKES : 0);
    while (performance.now() - fieldWritten < AFTER_A_FIELD && mine === newest && !ended) await rest(5);
    if (ended) return;
    // A newer text has taken its place.
    if (mine !== newest) return postMessage({ id, told: { what: "done" }, last: true });
  }
}

async function answer({ id, request, bytes }) {
  if (ended) return;
  try {
    if (request.ask === "look") return await look(id, request);
    const made = ask(request, bytes);
    if (request.ask === "field") fieldWritten = performance.now();
    postMessage({ id, ...made, last: true }, [made.bytes.buffer]);
  } catch (error) {
    fail(error);
  }
}

// The module is compiled while it is unpacked.
async function compile({ packed, address }) {
  const stream = packed
    ? new Blob([decode(packed)]).stream().pipeThrough(new DecompressionStream("deflate-raw"))
    : (await fetch(address)).body;
  return WebAssembly.compileStreaming(new Response(stream, { headers: { "content-type": "application/wasm" } }));
}

// Four bytes are five digits: a quarter more than the bytes, where Base64 is a third.
const DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz!#$%&()*+-;,=>?@^_`{|}~";

function decode(packed) {
  const value = new Uint8Array(128);
  for (let n = 0; n < DIGITS.length; n++) value[DIGITS.charCodeAt(n)] = n;
  const bytes = new Uint8Array(Math.ceil(packed.length / 5) * 4);
  const words = new DataView(bytes.buffer);
  for (let at = 0, to = 0; at < packed.length; to += 4) {
    let word = 0;
    // The last group may be shorter, and counts as if it ended in the last digit.
    for (const end = at + 5; at < end; at++) word = word * 85 + (at < packed.length ? value[packed.charCodeAt(at)] : 84);
    words.setUint32(to, word);
  }
  return bytes.subarray(0, Math.floor(packed.length * 4 / 5));
}

onmessage = async ({ data }) => {
  if (data.request) return exports ? answer(data) : early.push(data);
  try {
    const module = data.module ?? (await compile(data));
    exports = (await WebAssembly.instantiate(module, {})).exports;
    if (!data.module) postMessage({ compiled: module });
  } catch (error) {
    ended = true;
    return postMessage({ failure: `this browser cannot run coldring: ${error.message}` });
  }
  for (const one of early.splice(0)) answer(one);
};
