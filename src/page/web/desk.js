// The files that are open, which stand in for the disk: a spec and what it names. A
// file that the browser lets this page write has a handle; any other is downloaded
// to be kept. Nothing is stored in the browser.

const files = new Map(); // path → bytes
let spec = null; // its path
let handle = null;
let known = null; // when the file on the disk was last changed
let fresh = false;
let saved = false;
let open;

// Resolves once a spec was opened.
export const opened = new Promise((resolve) => (open = resolve));

export const all = () => files;
export const path = () => spec;
export const onDisk = () => handle !== null;
// Whether the spec was begun here and never saved, and what it is called otherwise.
export const isFresh = () => fresh;
export const state = () => (handle || saved ? "saved" : "unchanged");
export const canPick = () => "showOpenFilePicker" in window;

// A house style is open with the others, in a file of this name.
export const house = () => [...files.keys()].find((path) => path !== spec && path.split("/").at(-1) === "house.yaml") ?? null;

// `opened` are paths and bytes, `chosen` is the path of the spec among them.
export function take(chosen, list, { handle: itsHandle = null, begun = false } = {}) {
  files.clear();
  for (const [path, bytes] of list) files.set(path, bytes);
  [spec, handle, known, fresh, saved] = [chosen, itsHandle, null, begun, false];
  open();
}

// The bytes of the spec, as the disk has them. The same object as long as they are.
export async function bytes() {
  if (handle) {
    const file = await handle.getFile();
    if (known !== file.lastModified) {
      const read = new Uint8Array(await file.arrayBuffer());
      files.set(spec, read);
      known = file.lastModified;
    }
  }
  return files.get(spec);
}

export async function save(bytes) {
  if (!handle && "showSaveFilePicker" in window) {
    handle = await window.showSaveFilePicker({ suggestedName: spec.split("/").at(-1) });
  }
  if (handle) {
    const writer = await handle.createWritable();
    await writer.write(bytes);
    await writer.close();
    known = (await handle.getFile()).lastModified;
  } else {
    download(spec.split("/").at(-1), bytes);
  }
  [fresh, saved] = [false, true];
  files.set(spec, bytes);
}

// Holds a file beside the spec. A spec takes the place of no other file.
export function add(name, bytes, isSpec) {
  let path = name;
  for (let n = 2; files.has(path) && (isSpec || path === spec); n++) path = `${n}/${name}`;
  files.set(path, bytes);
  return path;
}

export function download(name, bytes, type = "application/yaml") {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([bytes], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
