// What a finding's edits do to the text. An edit counts bytes of UTF-8, as files
// have them; the page counts the UTF-16 units of its strings.

const LONGEST_LABEL = 60;

// How many units of the text stand before a byte.
export const unit = (text, at) => units(new TextEncoder().encode(text), at);
const units = (bytes, at) => new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes.subarray(0, at)).length;

// The stretch of the text that changes, as one replacement, and the places of each
// edit in the text as it will be.
export function change(text, edits) {
  const bytes = new TextEncoder().encode(text);
  const sorted = edits
    .map((edit) => ({ from: units(bytes, edit.start), to: units(bytes, edit.end), text: edit.text }))
    .sort((a, b) => a.from - b.from);
  let [made, at] = ["", sorted[0].from];
  const places = [];
  for (const edit of sorted) {
    made += text.slice(at, edit.from);
    const from = sorted[0].from + made.length;
    made += edit.text;
    places.push({ from, to: from + edit.text.length });
    at = edit.to;
  }
  return { from: sorted[0].from, to: at, text: made, places };
}

// What will stand in the text, with the key it belongs to: `set_point: 500 °F`.
export function label(text, edits) {
  const { from, to, text: made, places } = change(text, edits);
  const after = text.slice(0, from) + made + text.slice(to);
  const shown = places.slice(0, 2).map((place) => {
    const whole = entry(after, place);
    return whole.length <= LONGEST_LABEL ? whole : shortened(after.slice(place.from, place.to).trim() || whole);
  });
  if (places.length > 2) shown.push(`and ${places.length - 2} more`);
  return shown.join(", ");
}

// The entry of a group or list that a place is in.
function entry(text, { from, to }) {
  const before = /[^\n{}[\],]*$/.exec(text.slice(0, from))[0];
  const rest = /^[^\n{}[\],]*/.exec(text.slice(to))[0];
  const whole = before.replace(/^\s*- /, "") + text.slice(from, to) + rest;
  return whole.replace(/\s#.*$/, "").trim();
}

function shortened(words) {
  const letters = [...words.replace(/\s+/g, " ")];
  return letters.length <= LONGEST_LABEL ? letters.join("") : `${letters.slice(0, LONGEST_LABEL - 1).join("")}…`;
}
