// Signing with a private key. The file is read for one request alone, goes to the
// worker with it, and is in none of the files that are open.

import * as desk from "./desk.js";
import { Failure } from "./failure.js";
import { readOnce } from "./kinds.js";
import { ask, download, onClick, stem } from "./more-desk.js";
import * as pages from "./pages.js";

const get = (id) => document.getElementById(id);
const INPUTS = ["sign-key", "cards-key"];

export function sign() {
  const chosen = get("sign-paper").value;
  get("sign-paper").replaceChildren(...pages.names().map(([id, name]) => new Option(name, id)));
  if (chosen) get("sign-paper").value = chosen;
  if (get("sign-paper").selectedIndex < 0) get("sign-paper").selectedIndex = 0;
}

export const forgetKeys = () => INPUTS.forEach((id) => (get(id).value = ""));

// Asks something, with the key that is chosen there, if one is. From then on none is.
export async function askWithKey(id, request) {
  const [file] = get(id).files;
  if (!file) return ask(request);
  get(id).value = "";
  return ask({ ...request, key: file.name }, await readOnce(file));
}

export const signedWith = (key) => (key ? `Signed with the key ${key}.` : "");

onClick("sign-make", async () => {
  const paper = get("sign-paper").value;
  if (!paper) throw new Failure("the spec has errors, so it has no papers; fix them first");
  if (!get("sign-key").files.length) throw new Failure("choose the file of the private key");
  const { told, bytes } = await askWithKey("sign-key", { ask: "pdf", paper });
  return `${download(`${stem(desk.path())}-${told.name}`, bytes)} ${signedWith(told.key)}`;
});
