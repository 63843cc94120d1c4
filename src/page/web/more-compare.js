// What differs from an earlier revision, and the notice of it.

import * as desk from "./desk.js";
import { ask, download, element, findings, needs, offer, onClick, show, stem, table } from "./more-desk.js";

const compare = () => ask({ ask: "compare", earlier: needs("compare-earlier", "the spec of the earlier revision") });

export const earlier = () => offer("compare-earlier", "spec", "choose an open spec");

function inWords({ from, to, notes, none, answers, groups }) {
  const side = (name, it) => element("p", `${name} revision ${it.revision} of ${it.date}, ${it.digest}, ${it.file}`);
  const shown = [side("From", from), side("To", to), ...notes.map((note) => element("p", note))];
  if (none) return [...shown, element("p", none)];
  for (const [label, short, text] of answers) {
    const answer = element("p");
    answer.append(element("strong", `${label}: ${short}. `), text);
    shown.push(answer);
  }
  for (const { title, meaning, lines } of groups) {
    const rows = lines.flatMap(({ name, items, why, basis }) => items.map(([of, differs], n) => {
      const reason = [why, basis && `(${basis})`].filter(Boolean).join(" ");
      return n ? ["", of, differs, ""] : [name, of, differs, reason];
    }));
    shown.push(element("h3", title), element("p", meaning), table(title, ["What", "Of", "Change", "Why"], rows));
  }
  return shown;
}

onClick("compare-show", async () => {
  const { told } = await compare();
  const { changes } = told;
  show(changes ? `Changes of ${changes.number}` : "The two cannot be compared", findings(told.findings), ...(changes ? inWords(changes) : []));
});

onClick("compare-notice", async () => {
  const { told, bytes } = await compare();
  if (told.name) return download(`${stem(desk.path())}-${told.name}`, bytes);
  show("No notice was made", findings(told.findings));
});
