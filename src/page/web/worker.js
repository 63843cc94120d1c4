// The worker: holds the module, answers what the page asks, and lays out the newest
// text paper by paper. Between two papers it hears what the page has to say.

// How long a text rests before papers that are not in view are laid out.
const BETWEEN_KEYSTROKES = 300;

let exports = null;
let newest = 0;
let ended = false;
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
  postMessage({ failure: panic.length ? new TextDecoder().decode(panic) : String(error) });
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

function decode(packed) {
  if (Uint8Array.fromBase64) return Uint8Array.fromBase64(packed);
  const text = atob(packed);
  const bytes = new Uint8Array(text.length);
  for (let n = 0; n < text.length; n++) bytes[n] = text.charCodeAt(n);
  return bytes;
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
