// Starts the program over a copy of a spec and a browser that has opened its link.

import { spawn } from "node:child_process";
import { cp, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const top = fileURLToPath(new URL("../../", import.meta.url));
// As cargo has it: a relative folder counts from the top of the package.
const built = path.resolve(top, process.env.CARGO_TARGET_DIR || "target");
// What tests/package/page makes.
export const packages = path.join(built, "package");
export const program = process.env.COLDRING || path.join(built, "release/coldring");

const AS_OF = "2026-11-25";

// The program over a copy of specs/, so that nothing of the demo is written; what
// more it is told may depend on where that is.
export async function start(spec = "hollow-creek-geothermal.yaml", more = () => []) {
  const folder = await mkdtemp(path.join(tmpdir(), "coldring-browser-"));
  await cp(path.join(top, "specs"), folder, { recursive: true });
  const file = path.join(folder, spec);
  const child = spawn(program, ["preview", file, "--as-of", AS_OF, ...more(folder)]);
  let said = "";
  child.stderr.on("data", (data) => (said += data));
  const link = await new Promise((resolve, reject) => {
    child.stdout.on("data", (data) => {
      said += data;
      const found = /http:\/\/\S+/.exec(said);
      if (found) resolve(found[0]);
    });
    child.on("exit", (code) => reject(new Error(`ended with ${code}: ${said}`)));
  });
  return {
    folder,
    file,
    link,
    origin: new URL(link).origin,
    // Where the page is, for whoever was let in.
    page: link.split("?")[0],
    text: () => readFile(file, "utf8"),
    write: (text) => writeFile(file, text),
    stop: async () => {
      child.removeAllListeners("exit");
      const ended = new Promise((resolve) => child.once("exit", (code) => resolve(code)));
      child.kill("SIGINT");
      const code = await ended;
      await rm(folder, { recursive: true });
      return { code, said };
    },
  };
}

export function browser() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

// Opens the link; what the page complains of is kept.
export async function open(context, link) {
  const page = await context.newPage();
  page.complaints = [];
  page.on("console", (message) => message.type() === "error" && page.complaints.push(message.text()));
  page.on("pageerror", (error) => page.complaints.push(String(error)));
  page.requests = [];
  // A file has no origin: it may ask for itself alone.
  const { origin } = new URL(link);
  const own = (url) => (origin === "null" ? url === link : url.startsWith(origin));
  page.on("request", (request) => {
    page.requests.push(request.url());
    if (!own(request.url()) && !/^(blob|data):/.test(request.url())) {
      page.complaints.push(`asked for ${request.url()}`);
    }
  });
  await page.goto(link);
  return page;
}
