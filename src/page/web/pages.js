// The papers: a tab for each, and its pages as pictures. A page that stays as it
// was is not touched; one that changed is fetched only when it is near the view,
// and takes the place of the old one once it can be painted.

import * as engine from "./engine.js";

const tabs = document.getElementById("tabs");
const sheets = document.getElementById("sheets");
const note = document.getElementById("page-note");

const papers = new Map(); // id → { name, stack, pages: [{id, figure}], withheld }
let chosen = "card";
// What the crew carries, then what the office keeps; a kind not named here is last.
const ORDER = ["card", "lid", "depth-marks", "procedure", "sources"];
let news = () => {};

// Changed pages that are not in view, until nothing was typed for a while.
const TYPING = 300;
const later = new Set();
let waiting = 0;

const near = new IntersectionObserver(
  (entries) => entries.filter((entry) => entry.isIntersecting).forEach((entry) => draw(entry.target)),
  { root: sheets, rootMargin: "900px" },
);

export const current = () => chosen;
export function onChoice(then) {
  news = then;
}

// Which papers there are; tabs stay while they are the same.
export function list(told) {
  const names = ordered(told);
  const ids = names.map((name) => name.id);
  if (ids.join() === [...papers.keys()].join()) return;
  for (const id of papers.keys()) if (!ids.includes(id)) papers.delete(id);
  const before = new Map(papers);
  papers.clear();
  for (const { id, name } of names) {
    papers.set(id, before.get(id) ?? { name, stack: stack(), pages: [], withheld: null, first: true });
  }
  if (!papers.has(chosen)) chosen = ids[0];
  tabs.replaceChildren(...names.map(tab));
  ids.forEach(count);
  choose(chosen);
}

// A further language of a paper, as card-es, stands with it.
function ordered(names) {
  const rank = ({ id }) => {
    const at = ORDER.findIndex((kind) => id === kind || id.startsWith(`${kind}-`));
    return at < 0 ? ORDER.length : at;
  };
  return [...names].sort((a, b) => rank(a) - rank(b));
}

function stack() {
  const made = document.createElement("div");
  made.className = "stack";
  return made;
}

function tab({ id, name }) {
  const made = document.createElement("button");
  made.role = "tab";
  made.id = `tab-${id}`;
  made.setAttribute("aria-controls", "sheets");
  const label = document.createElement("span");
  label.textContent = name;
  const pages = document.createElement("span");
  pages.className = "count";
  const word = document.createElement("span");
  word.className = "unseen";
  made.append(label, " ", pages, word);
  made.addEventListener("click", () => choose(id, true));
  return made;
}

tabs.addEventListener("keydown", (event) => {
  const ids = [...papers.keys()];
  const at = ids.indexOf(chosen);
  const to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: ids.length - 1 }[event.key];
  if (to === undefined) return;
  event.preventDefault();
  choose(ids[(to + ids.length) % ids.length], true);
  document.getElementById(`tab-${chosen}`).focus();
});

function choose(id, told = false) {
  const scrolled = papers.get(chosen);
  if (scrolled) scrolled.top = sheets.scrollTop;
  chosen = id;
  for (const one of tabs.children) {
    const is = one.id === `tab-${id}`;
    one.setAttribute("aria-selected", is);
    one.tabIndex = is ? 0 : -1;
    if (is) mark(one, false);
  }
  sheets.setAttribute("aria-labelledby", `tab-${id}`);
  lay();
  watch();
  sheets.scrollTop = papers.get(id).top ?? 0;
  if (told) news();
}

// Puts the chosen paper, or what keeps it back, where pages are seen.
function lay() {
  const paper = papers.get(chosen);
  if (paper.withheld) sheets.replaceChildren(empty(paper.withheld));
  else if (paper.stack.parentNode !== sheets) sheets.replaceChildren(paper.stack);
}

// How many pages a paper has, as far as it is known.
function count(id) {
  const [paper, tab] = [papers.get(id), document.getElementById(`tab-${id}`)];
  const [, pages, word] = tab.children;
  const told = paper.withheld ? "–" : paper.pages.length || "";
  pages.textContent = told;
  word.textContent = paper.withheld ? " not made" : told === 1 ? " page" : told ? " pages" : "";
}

function mark(tab, changed) {
  const label = tab.firstChild;
  label.classList.toggle("news", changed);
  tab.title = changed ? "changed by what was typed" : "";
}

export function empty(said) {
  const made = document.createElement("p");
  made.className = "no-pages";
  made.textContent = said;
  return made;
}

// The pages of a paper. Resolves when those in view are painted.
export async function show(id, pages, withheld) {
  const paper = papers.get(id);
  if (!paper) return;
  paper.withheld = withheld ? `No ${paper.name.toLowerCase()}: ${withheld}.` : null;
  if (id === chosen) lay();
  const changed = [];
  pages.forEach((page, index) => {
    const before = paper.pages[index];
    if (before?.dataset.wanted === page.id) return;
    const figure = before ?? sheet();
    figure.dataset.wanted = page.id;
    const leaf = figure.firstChild;
    leaf.style.setProperty("--w", page.width_mm);
    leaf.style.setProperty("--h", page.height_mm);
    paper.pages[index] = figure;
    if (!before) paper.stack.append(figure);
    changed.push(figure);
  });
  for (const gone of paper.pages.splice(pages.length)) {
    near.unobserve(gone);
    gone.remove();
  }
  paper.pages.forEach((figure, index) => {
    figure.lastChild.textContent = `${index + 1} of ${pages.length}`;
    const image = figure.querySelector("img");
    if (image) image.alt = alternative(figure);
  });
  count(id);
  const first = paper.first;
  paper.first = false;
  if (id === chosen && changed.length) {
    const seen = changed.filter(inView);
    await Promise.all((seen.length || first ? seen : changed.slice(0, 1)).map(draw));
    if (!seen.length && !first) {
      changed[0].scrollIntoView({ block: "start", behavior: "instant" });
      glow(changed[0].firstChild);
    }
  } else if (changed.length && !first) {
    mark(document.getElementById(`tab-${id}`), true);
  }
  // Those that are only near the view wait for a pause, since reading a picture
  // keeps the browser from the next keystroke.
  changed.forEach((figure) => later.add(figure));
  clearTimeout(waiting);
  waiting = setTimeout(watch, first ? 0 : TYPING);
}

// Watched anew, each is told of at once where it is near.
function watch() {
  for (const figure of later) {
    near.unobserve(figure);
    near.observe(figure);
  }
  later.clear();
}

function sheet() {
  const figure = document.createElement("figure");
  figure.className = "sheet";
  const leaf = document.createElement("div");
  leaf.className = "leaf";
  figure.append(leaf, document.createElement("figcaption"));
  return figure;
}

function inView(figure) {
  const [page, view] = [figure.getBoundingClientRect(), sheets.getBoundingClientRect()];
  return figure.isConnected && page.bottom > view.top + 40 && page.top < view.bottom - 40;
}

const alternative = (figure) =>
  `${[...papers.values()].find((paper) => paper.stack === figure.parentNode)?.name}, page ${figure.lastChild.textContent}`;

// Puts the picture that is wanted in place of the one that is there.
async function draw(figure) {
  const wanted = figure.dataset.wanted;
  if (figure.dataset.coming === wanted) return figure.drawing;
  figure.dataset.coming = wanted;
  return (figure.drawing = drawn(figure, wanted));
}

async function drawn(figure, wanted) {
  const image = new Image();
  image.alt = alternative(figure);
  try {
    image.src = await engine.picture(wanted);
    await image.decode();
  } catch {
    // Let go by the program in the meantime, or it does not answer.
    if (figure.dataset.coming === wanted) delete figure.dataset.coming;
    return;
  }
  if (figure.dataset.wanted !== wanted) return;
  figure.firstChild.replaceChildren(image);
}

// Marks the page that was gone to, for a moment.
function glow(leaf) {
  leaf.classList.add("new");
  leaf.addEventListener("animationend", () => leaf.classList.remove("new"), { once: true });
}

// What stands above the pages: that they are of an earlier text, or that there
// are none. `weight` is "", "grave" or "quiet".
export function say(said, weight = "", stale = false) {
  note.hidden = !said;
  if (note.textContent !== said) note.textContent = said;
  note.className = `note-bar ${weight}`;
  sheets.toggleAttribute("data-stale", stale);
}

// Forgets all papers, for those of another spec.
export function clear() {
  for (const { pages } of papers.values()) pages.forEach((figure) => near.unobserve(figure));
  papers.clear();
  later.clear();
  tabs.replaceChildren();
  sheets.replaceChildren();
}

export const busy = (is) => sheets.setAttribute("aria-busy", is);
export const any = () => [...papers.values()].some((paper) => paper.pages.length);

// How papers are asked for: empty where the spec decides.
export const wishes = () => ({
  language: document.getElementById("language").value,
  paper: document.getElementById("paper-size").value,
  card_trim: document.getElementById("card-trim").value,
});
