// The start screen: a spec is opened from the disk, begun from sizes and a service, or
// taken from the examples. It comes back by the button Files.

import * as desk from "./desk.js";
import * as engine from "./engine.js";
import { element } from "./element.js";
import * as file from "./file.js";
import * as form from "./form.js";
import { bytesOf, kindOf } from "./kinds.js";
import * as pages from "./pages.js";
import * as recent from "./recent.js";

const get = (id) => document.getElementById(id);
const EXAMPLES = JSON.parse(get("examples").textContent);
const SERVICES = { gas: "fuel gas", water: "water under pressure", geothermal: "ground-source loops", industrial: "plant piping" };

let open = false;

function show(is) {
  document.body.toggleAttribute("data-start", is);
  get("start-back").hidden = !open;
  if (is) {
    document.title = "coldring";
    get(open ? "start-back" : "open-files").focus();
  }
}

function wrong(why) {
  get("start-error").textContent = why;
  get("start-error").hidden = !why;
}

// Opens a spec among files that are held as [path, bytes].
async function take(path, files, how = {}) {
  wrong("");
  if (open && file.unsaved() && !confirm("The open spec has text that is not saved. Leave it?")) return;
  await engine.begun;
  await engine.ask({ ask: "clear" });
  await Promise.all(files.map(([path, bytes]) => engine.put(path, bytes)));
  desk.take(path, files, how);
  get("reload").hidden = !desk.onDisk();
  if (how.handle) recent.remember(how.handle);
  show(false);
  if (open) {
    pages.clear();
    await file.open();
    get("text").dispatchEvent(new Event("input"));
  }
  open = true;
  show(false);
}

// ---- Files of this computer

async function chosen(entries) {
  get("which").hidden = true;
  try {
    const files = await Promise.all(entries.map(async (entry) => [entry.file.name, await bytesOf(entry.file)]));
    const specs = files.filter(([name, bytes]) => kindOf(name, bytes) === "spec");
    const handle = (name) => entries.find((entry) => entry.file.name === name).handle ?? null;
    if (!specs.length) return wrong("No spec is among these files. A spec is a YAML file that begins with “coldring: 1”.");
    if (specs.length === 1) return take(specs[0][0], files, { handle: handle(specs[0][0]) });
    get("which-list").replaceChildren(...specs.map(([name]) => {
      const button = element("button", name);
      button.addEventListener("click", () => take(name, files, { handle: handle(name) }));
      return button;
    }));
    get("which").hidden = false;
  } catch (error) {
    wrong(`These files cannot be read: ${error.message}.`);
  }
}

get("open-files").addEventListener("click", async () => {
  if (!desk.canPick()) return get("open-input").click();
  let handles;
  try {
    handles = await window.showOpenFilePicker({ multiple: true });
  } catch (error) {
    if (error.name !== "AbortError") get("open-input").click();
    return;
  }
  chosen(await Promise.all(handles.map(async (handle) => ({ handle, file: await handle.getFile() }))));
});
get("open-input").addEventListener("change", () => {
  const files = [...get("open-input").files];
  get("open-input").value = "";
  if (files.length) chosen(files.map((file) => ({ file })));
});

// ---- Examples

get("example-list").replaceChildren(...EXAMPLES.map(({ spec, title, about, files }) => {
  const button = element("button", title);
  button.append(element("small", about));
  button.addEventListener("click", () => take(spec, files.map(([path, text]) => [path, new TextEncoder().encode(text)])));
  return button;
}));

// ---- A new spec

function choices({ sizes, services }) {
  get("new-sizes").replaceChildren(...sizes.map(([system, names]) => {
    const group = element("div", undefined, "size-system");
    group.append(element("span", system === "metric" ? "metric, outside diameter" : system));
    for (const name of names) {
      const label = element("label");
      const box = document.createElement("input");
      box.type = "checkbox";
      box.value = name;
      label.append(box, name);
      group.append(label);
    }
    return group;
  }));
  get("new-service").replaceChildren(...services.map((service) => new Option(SERVICES[service] ?? service, service)));
  get("new-make").disabled = false;
}

get("new-form").addEventListener("submit", async (event) => {
  event.preventDefault();
  const sizes = [...document.querySelectorAll("#new-sizes :checked")].map((box) => box.value);
  if (!sizes.length) return wrong("Choose at least one size.");
  try {
    const { told } = await engine.ask({ ask: "starter", sizes, service: get("new-service").value, today: engine.today() });
    // Whoever starts here may never have written such a text.
    form.prefer();
    await take("procedure.yaml", [["procedure.yaml", new TextEncoder().encode(told.text)]], { begun: true });
  } catch (failure) {
    wrong(`No spec was written: ${failure.message}.`);
  }
});

// ---- The rest of the page

const again = element("button", "Files");
again.id = "files";
again.addEventListener("click", () => show(true));
get("reload").before(again);
get("start-back").addEventListener("click", () => show(false));

async function font(name, weight) {
  const { bytes } = await engine.ask({ ask: "font", name });
  const face = new FontFace("Paper Sans", bytes, { weight, unicodeRange: "U+20-5F, U+61-2FFF" });
  document.fonts.add(await face.load());
}

recent.begin(chosen, wrong);
show(true);
engine.begun.then(async () => {
  choices((await engine.ask({ ask: "choices" })).told);
  get("start-state").textContent = "Ready.";
  await Promise.all([font("regular", "400"), font("bold", "700")]);
}).catch((failure) => {
  get("start-state").textContent = "";
  wrong(`${failure.message}. A browser of the last two years, updated, is needed.`);
});
