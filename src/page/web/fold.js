// Panels that fold to their heading. Which are folded is remembered until the tab
// is closed, and no longer.

import { TAB as remembered } from "./storage.js";

// `button` is the heading of `panel`. Returns a function that opens or folds it.
export function folding(button, panel, open) {
  const key = `coldring-fold-${panel.id}`;
  const set = (is) => {
    button.setAttribute("aria-expanded", is);
    panel.hidden = !is;
    panel.parentElement.toggleAttribute("data-folded", !is);
  };
  const change = (is) => {
    set(is);
    remembered.set(key, is ? "open" : "folded");
  };
  button.addEventListener("click", () => change(panel.hidden));
  const before = remembered.get(key);
  set(before ? before === "open" : open);
  return change;
}
