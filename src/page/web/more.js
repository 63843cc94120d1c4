// The screen “More”: what is made of the open spec and other files besides its papers.

import * as desk from "./desk.js";
import * as engine from "./engine.js";
import { bytesOf, kindOf } from "./kinds.js";
import { earlier } from "./more-compare.js";
import { element, forget } from "./more-desk.js";
import { forms } from "./more-forms.js";
import { fusers } from "./more-fusers.js";

const get = (id) => document.getElementById(id);

function files() {
  get("more-list").textContent = [...desk.all().keys()].join(", ");
  forms();
  earlier();
  fusers();
}

const button = element("button", "More");
button.id = "further";
get("reload").before(button);
button.addEventListener("click", () => {
  forget();
  files();
  document.body.toggleAttribute("data-more", true);
  get("more-head").focus();
});
get("more-back").addEventListener("click", () => {
  // What it shows may name people.
  forget();
  document.body.toggleAttribute("data-more", false);
  button.focus();
});

get("more-open").addEventListener("click", () => get("more-input").click());
get("more-input").addEventListener("change", async () => {
  const chosen = [...get("more-input").files];
  get("more-input").value = "";
  get("more-error").hidden = true;
  try {
    for (const file of chosen) {
      const bytes = await bytesOf(file);
      await engine.put(desk.add(file.name, bytes, kindOf(file.name, bytes) === "spec"), bytes);
    }
    get("more-state").textContent = `Opened ${chosen.map((file) => file.name).join(", ")}.`;
  } catch (error) {
    get("more-error").textContent = `Not every file can be read: ${error.message}.`;
    get("more-error").hidden = false;
  }
  files();
  // The spec may name one of them.
  get("text").dispatchEvent(new Event("input"));
});
