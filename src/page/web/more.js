// The screen “More”: what is made of the open spec and other files besides its papers.

import * as desk from "./desk.js";
import { element } from "./element.js";
import * as engine from "./engine.js";
import { bytesOf, kindOf } from "./kinds.js";
import { earlier } from "./more-compare.js";
import { forget } from "./more-desk.js";
import { forms } from "./more-forms.js";
import { fusers } from "./more-fusers.js";
import { forgetKeys, sign } from "./more-sign.js";
import { submittal } from "./more-submittal.js";
import { verify } from "./more-verify.js";

const get = (id) => document.getElementById(id);

function files() {
  get("more-list").textContent = [...desk.all().keys()].join(", ");
  forms();
  earlier();
  fusers();
  sign();
  submittal();
  verify();
}

const button = element("button", "More");
button.id = "further";
get("reload").before(button);

// From the start, where there may be no spec, it is there to verify a paper.
let from;
function enter(by, spec) {
  from = by;
  forget();
  files();
  document.body.toggleAttribute("data-start", false);
  document.body.toggleAttribute("data-verify", !spec);
  document.body.toggleAttribute("data-more", true);
  get("more-head").textContent = spec ? "More from this spec" : "Papers from others";
  get("more-back").textContent = spec ? "Back to the spec" : "Back to the start";
  get("more-head").focus();
}
button.addEventListener("click", () => enter(button, true));
get("start-verify").addEventListener("click", () => enter(get("start-verify"), false));
get("more-back").addEventListener("click", () => {
  // What it shows may name people.
  forget();
  forgetKeys();
  document.body.toggleAttribute("data-more", false);
  document.body.toggleAttribute("data-start", from !== button);
  from.focus();
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
  if (desk.path()) get("text").dispatchEvent(new Event("input"));
});
