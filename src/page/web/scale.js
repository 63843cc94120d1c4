// How large the pages are: a zoom, and what a millimeter is on this screen.

import { LONG as kept, WHERE } from "./storage.js";

const sheets = document.getElementById("sheets");
const select = document.getElementById("zoom");
const root = document.documentElement;
const STEPS = [50, 75, 100, 125, 150, 200, 300, 400];
const MILLIMETER = 96 / 25.4;

for (const [value, words] of [["fit", "fit width"], ...STEPS.map((n) => [String(n), `${n} %`])]) {
  select.append(new Option(words, value));
}

export { kept };

const measuredScale = () => {
  const measured = Number(kept.get("coldring-bar"));
  return measured >= 50 && measured <= 200 ? 100 / measured : 1;
};

function widest() {
  const leaves = [...sheets.querySelectorAll(".leaf")];
  return Math.max(...leaves.map((leaf) => Number(leaf.style.getPropertyValue("--w"))), 0);
}

function fitting() {
  const room = sheets.clientWidth - 2 * parseFloat(getComputedStyle(sheets).paddingLeft);
  return Math.min(4, Math.max(0.2, room / (widest() * MILLIMETER * measuredScale() || room)));
}

let zoom = 1;
export function apply() {
  root.style.setProperty("--true", measuredScale());
  const next = select.value === "fit" ? fitting() : Number(select.value) / 100;
  // What is at the top of the view stays there.
  const top = sheets.scrollTop * (next / zoom);
  root.style.setProperty("--zoom", next);
  if (next !== zoom) sheets.scrollTop = top;
  zoom = next;
}

// True size where a page has room, and the width of the view where it has not.
let chosen = false;
export function begin() {
  if (!chosen && widest()) {
    chosen = true;
    select.value = "100";
    if (fitting() < 1) select.value = "fit";
  }
  apply();
}

function step(by) {
  const now = Math.round(zoom * 100);
  const next = by > 0 ? STEPS.find((n) => n > now) : STEPS.findLast((n) => n < now);
  if (next) select.value = String(next);
  apply();
}

select.addEventListener("change", apply);
document.getElementById("larger").addEventListener("click", () => step(1));
document.getElementById("smaller").addEventListener("click", () => step(-1));
sheets.addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "+" || event.key === "=") step(1);
  else if (event.key === "-") step(-1);
  else if (event.key === "0") { select.value = "fit"; apply(); }
});
new ResizeObserver(() => select.value === "fit" && apply()).observe(sheets);

document.getElementById("kept-where").textContent = WHERE;
const dialog = document.getElementById("calibrate");
const measured = document.getElementById("measured");
document.getElementById("true-size").addEventListener("click", () => {
  measured.value = 100;
  dialog.showModal();
});
document.getElementById("measured-set").addEventListener("click", () => {
  if (!measured.reportValidity()) return;
  // The bar was drawn by what was measured before.
  kept.set("coldring-bar", String(Number(measured.value) / measuredScale()));
  measured.value = 100;
  apply();
});
document.getElementById("measured-forget").addEventListener("click", () => {
  kept.set("coldring-bar", "100");
  apply();
});
document.getElementById("calibrate-close").addEventListener("click", () => dialog.close());
