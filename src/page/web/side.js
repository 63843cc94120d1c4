// A screen too narrow for both shows the spec or the papers, one at a time; the
// buttons for it are hidden where there is room for both.

const buttons = [...document.querySelectorAll("#sides button")];

export function show(side) {
  document.body.dataset.side = side;
  for (const button of buttons) button.setAttribute("aria-pressed", button.dataset.side === side);
}

for (const button of buttons) button.addEventListener("click", () => show(button.dataset.side));
// A link to a place that is hidden shows it first.
for (const link of document.querySelectorAll(".skip")) {
  link.addEventListener("click", () => show(link.dataset.side));
}
