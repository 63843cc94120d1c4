// A YAML language server as an editor runs it, over standard input and output.

import { spawn } from "node:child_process";
import { once } from "node:events";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const require = createRequire(import.meta.url);
const { createMessageConnection, StreamMessageReader, StreamMessageWriter } =
  require("vscode-jsonrpc/node");

const PROGRAM = require.resolve("yaml-language-server/bin/yaml-language-server");
// Nothing but the comment in a file may lead the server to a schema.
const SETTINGS = {
  validate: true,
  hover: true,
  completion: true,
  schemaStore: { enable: false },
};

/** Starts a server; `stop` ends it. */
export async function start() {
  const child = spawn(process.execPath, [PROGRAM, "--stdio"], {
    stdio: ["pipe", "pipe", "inherit"],
  });
  const peer = createMessageConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  const waiting = new Map();
  peer.onNotification("textDocument/publishDiagnostics", ({ uri, diagnostics }) =>
    waiting.get(uri)?.(diagnostics),
  );
  peer.onRequest("workspace/configuration", ({ items }) =>
    items.map(({ section }) => (section === "yaml" ? SETTINGS : null)),
  );
  peer.onRequest("client/registerCapability", () => null);
  peer.onRequest("custom/schema/request", () => null);
  peer.listen();
  await peer.sendRequest("initialize", {
    processId: process.pid,
    rootUri: null,
    capabilities: {
      workspace: { configuration: true },
      textDocument: { completion: { completionItem: { snippetSupport: true } } },
    },
  });
  await peer.sendNotification("initialized", {});
  return new Server(peer, child, waiting);
}

class Server {
  constructor(peer, child, waiting) {
    Object.assign(this, { peer, child, waiting });
  }

  /** Opens a file and waits for what the server underlines in it. */
  async open(path, text = readFileSync(path, "utf8")) {
    const uri = pathToFileURL(path).href;
    const told = new Promise((tell) => this.waiting.set(uri, tell));
    await this.peer.sendNotification("textDocument/didOpen", {
      textDocument: { uri, languageId: "yaml", version: 1, text },
    });
    const underlined = await told;
    return new Opened(this.peer, uri, text, underlined);
  }

  async stop() {
    const ended = once(this.child, "exit");
    await this.peer.sendRequest("shutdown");
    await this.peer.sendNotification("exit");
    await ended;
    this.peer.dispose();
  }
}

class Opened {
  constructor(peer, uri, text, underlined) {
    Object.assign(this, { peer, uri, text, underlined });
  }

  /** What is underlined: the text itself and what is said of it. */
  get faults() {
    const lines = this.text.split("\n");
    return this.underlined.map(({ range: { start, end }, message }) => ({
      line: start.line + 1,
      text: lines[start.line].slice(
        start.character,
        end.line === start.line ? end.character : undefined,
      ),
      message,
    }));
  }

  /** The labels that are offered right after the text `before`. */
  async offered(before) {
    return (await this.completions(before)).map(({ label }) => label);
  }

  /** What the editor puts into the file there for each label. */
  async inserted(before) {
    return (await this.completions(before)).map(({ insertText }) => insertText);
  }

  async completions(before) {
    const answer = await this.ask("completion", this.text.indexOf(before) + before.length);
    return answer.items;
  }

  /** What is told of the first `word`. */
  async told(word) {
    const answer = await this.ask("hover", this.text.indexOf(word) + 1);
    return answer?.contents.value ?? "";
  }

  ask(what, offset) {
    const lines = this.text.slice(0, offset).split("\n");
    const position = { line: lines.length - 1, character: lines.at(-1).length };
    return this.peer.sendRequest(`textDocument/${what}`, {
      textDocument: { uri: this.uri },
      position,
    });
  }
}
