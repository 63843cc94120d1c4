// One PDF of a submittal's file and all that it names. The PDFs it attaches are from
// anybody: each is tried in a worker of its own, and another places them all.

import * as desk from "./desk.js";
import * as engine from "./engine.js";
import { ask, download, findings, needs, offer, onClick, saved, show } from "./more-desk.js";

export const submittal = () => offer("submittal-file", "submittal", "choose an open file");

async function tried(path, pdf) {
  try {
    const { told } = await engine.askOnce({ ask: "try-attachment" }, pdf);
    return [path, told.tried];
  } catch (failure) {
    if (failure.ended) return [path, { Err: { Stopped: failure.message } }];
    throw failure;
  }
}

onClick("submittal-make", async () => {
  const path = needs("submittal-file", "a submittal’s file and what it names");
  const text = await saved();
  const attached = await engine.ask({ ask: "attachments", submittal: path });
  const results = [];
  let from = 0;
  // One at a time: each may need all the memory there is.
  for (const { path, bytes } of attached.told.attachments) {
    results.push(await tried(path, attached.bytes.slice(from, (from += bytes))));
  }
  const request = { ask: "submittal", submittal: path, tried: results, ...text };
  let made;
  try {
    made = await engine.askOnce(request, null, desk.all());
  } catch (failure) {
    if (failure.ended) failure.message = `placing the attachments ${failure.message}; attach the pages that matter, or split the submittal`;
    throw failure;
  }
  const { told, bytes } = made;
  if (told.findings.length) show(told.name ? "What was found" : "No submittal was made", findings(told.findings));
  if (told.name) return download(told.name, bytes);
});

onClick("submittal-starter", async () => {
  const { told } = await ask({ ask: "submittal-starter" });
  return download(told.name, new TextEncoder().encode(told.text), "application/yaml");
});
