// Who on a roster is qualified until when; the calendar and the wallet cards.

import { ask, download, element, findings, needs, offer, onClick, show, stem, table } from "./more-desk.js";

const get = (id) => document.getElementById(id);
const roster = () => needs("fusers-roster", "a roster");
const rules = () => get("fusers-rules").value.split("\n").map((line) => line.trim()).filter(Boolean);
// An empty field is no number of days.
const dueWithin = () => get("fusers-due").valueAsNumber || 0;
const APPROVES = "By the roster and its rule sets. A day given is the last one that counts. This approves nobody; who may work is for a qualified person to decide.";

export function fusers() {
  offer("fusers-roster", "roster", "choose an open roster");
  offer("cards-earlier", "spec", "none");
}

const state = (row) => (row.qualified ? (row.due ? "due soon" : "qualified") : "not qualified");
const ORDER = ["due soon", "qualified", "not qualified"];

onClick("fusers-show", async () => {
  const path = roster();
  const days = dueWithin();
  const { told } = await ask({ ask: "roster", roster: path, rules: rules(), due_within: days });
  const errors = told.findings.some((finding) => finding.severity === "error");
  if (errors) return show("The roster has errors", findings(told.findings));
  const rows = told.rows.toSorted((a, b) => ORDER.indexOf(state(a)) - ORDER.indexOf(state(b)));
  const count = (name) => rows.filter((row) => state(row) === name).length;
  show(
    `Fusers as of ${told.as_of}`,
    findings(told.findings),
    element("p", `${count("due soon")} due within ${days} days, ${count("qualified")} qualified for longer, ${count("not qualified")} not qualified.`),
    table("Fusers", ["Badge", "Name", "Procedure", "State", "Last day", "Days left", "Why", "By the rule"], rows.map((row) => [
      row.badge, row.name, row.procedure ?? "nothing on record", state(row), row.valid_until, row.qualified ? row.days_left : "", row.reason,
      row.rule && `${row.rule}: ${row.source} (${row.basis})`,
    ])),
    element("p", `${APPROVES} A specimen counts for the revision it was made by; whether it holds for the revision in force is decided when the cards are made.`),
  );
});

onClick("fusers-calendar", async () => {
  const path = roster();
  const { bytes } = await ask({ ask: "calendar", roster: path, rules: rules(), due_within: dueWithin() });
  return download(`${stem(path)}.ics`, bytes, "text/calendar");
});

onClick("cards-make", async () => {
  const { told, bytes } = await ask({ ask: "cards", roster: roster(), rules: rules(), earlier: get("cards-earlier").value || null });
  let from = 0;
  const files = told.files.map(({ name, cards, bytes: length }) => {
    const pdf = bytes.subarray(from, (from += length));
    const button = element("button", `Download ${name}`);
    button.addEventListener("click", () => (get("more-state").textContent = download(name, pdf)));
    const line = element("p");
    line.append(button, ` ${cards} card${cards === 1 ? "" : "s"}`);
    return line;
  });
  const rows = told.rows.map((row) => [row.badge, row.name, row.procedure ?? "nothing on record", row.valid_until, row.file ?? "no card", row.reason]);
  show(
    files.length ? "Wallet cards" : "No cards were made",
    findings(told.findings),
    ...files,
    rows.length ? table("Cards", ["Badge", "Name", "Procedure", "Last day", "Card", "Why none"], rows) : null,
    files.length ? element("p", APPROVES) : null,
  );
});
