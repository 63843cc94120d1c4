// Everything the page asks of the program, which answers over HTTP. No other file
// of the page talks to it: an engine of another kind, loaded by the same name
// engine.js, has these functions too:
//
//   look            a text's findings, then its papers page by page
//   picture         the address of a page's picture
//   pdf             a paper as a file to keep
//   why             the reason behind a rule
//   describe        what a field is for
//   form            a text as groups of fields, each with its value
//   writeField      how the text changes when a field gets a value
//   read save copy  the file that is being written
//
// What fails throws a Failure, whose message is a sentence for the reader.

import { Failure } from "./failure.js";

export { Failure };

const SILENT = "The program does not answer.";

async function ask(where, what) {
  const options = what === undefined ? undefined : {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify(what),
  };
  const answer = await fetch(where, options).catch(() => { throw new Failure(SILENT); });
  if (answer.ok) return answer;
  const told = await answer.json().catch(() => ({}));
  if (answer.status === 409) throw new Failure("The file was changed on the disk.", told);
  throw new Failure(told.why ?? `The program answers ${answer.status}.`);
}

const asked = async (where, what) => (await ask(where, what)).json();

// One text of this tab: yields what is told of it as soon as it is told. A newer
// text makes an older one end early. `in_view` names the paper that is laid out first.
const tab = crypto.randomUUID();
let count = 0;
export async function* look({ text, in_view, wishes }) {
  const answer = await ask("look", { tab, count: ++count, text, in_view, wishes });
  const reader = answer.body.getReader();
  const decoder = new TextDecoder();
  let rest = "";
  let last = null;
  try {
    for (;;) {
      const { done, value } = await reader.read().catch(() => { throw new Failure(SILENT); });
      if (done && last !== "done" && last !== "fault") throw new Failure(SILENT);
      if (done) return;
      const lines = (rest + decoder.decode(value, { stream: true })).split("\n");
      rest = lines.pop();
      for (const line of lines) {
        const message = JSON.parse(line);
        last = message.what;
        yield message;
      }
    }
  } finally {
    // Nothing more is wanted of an older text.
    reader.cancel().catch(() => {});
  }
}

export const picture = (id) => `picture/${id}`;

// `seen` is the digest of the file that the paper is made of.
export async function pdf(paper, wishes, seen) {
  const answer = await ask(`pdf/${paper}?${new URLSearchParams({ ...wishes, seen })}`);
  const name = /filename\*=UTF-8''([^;]*)/.exec(answer.headers.get("content-disposition") ?? "");
  return { name: name ? decodeURIComponent(name[1]) : `${paper}.pdf`, blob: await answer.blob() };
}

export const why = (rule) => asked(`rule/${encodeURIComponent(rule)}`);

// `path` is the keys that lead to the field, from the top down.
export const describe = async (path) =>
  (await asked(`help?path=${encodeURIComponent(JSON.stringify(path))}`)).help ?? "";

export const form = (text) => asked("form", { text });
// `value` is null for a field that is taken out; `open` makes it a group with nothing in it.
export const writeField = async (field) => (await asked("field", field)).edits;

export const read = () => asked("file");
export const save = (text, seen) => asked("save", { text, seen });
export const copy = (text) => asked("copy", { text });
