// Forms to fill in by hand, and the form of a record that is open.

import * as desk from "./desk.js";
import { ask, download, findings, offer, onClick, show, stem } from "./more-desk.js";

const get = (id) => document.getElementById(id);
const kind = get("form-kind");

export function forms() {
  offer("form-record", "record", "nothing: a blank form");
  chosen();
}

// Only a record has a form that is filled in.
const chosen = () => (get("form-record-label").hidden = kind.value !== "record");
kind.addEventListener("change", chosen);

onClick("form-make", async () => {
  const record = kind.value === "record" ? get("form-record").value : "";
  const { told, bytes } = await ask({ ask: "form-to-fill", form: kind.value, record: record || null });
  if (told.findings.length) show(told.name ? "The record has errors" : "No form was made", findings(told.findings));
  const type = /\.pdf$/.test(told.name) ? "application/pdf" : "application/yaml";
  if (told.name) return download(`${stem(desk.path())}-${told.name}`, bytes, type);
});
