// What the page remembers where nothing is stored: everything, until it is closed.

const kept = new Map();
const memory = { get: (key) => kept.get(key) ?? null, set: (key, value) => kept.set(key, value) };

export const LONG = memory;
export const TAB = memory;
export const WHERE = "Kept until this page is closed; nothing is stored.";
