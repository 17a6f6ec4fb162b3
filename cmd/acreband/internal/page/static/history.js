// What a map was asked to be, one after the other, to go back and forth in.

let past = [];
let now = null;
let ahead = [];

export function clear() {
  [past, now, ahead] = [[], null, []];
}

// add keeps a setting that the map has.
export function add(setting) {
  const text = JSON.stringify(setting);
  if (text === now) return;
  if (now !== null) past.push(now);
  now = text;
  ahead = [];
}

// swap has a file be known by another name in what was, or takes it out where it has none: the
// server knows it by the old one no longer.
export function swap(id, other) {
  const anew = (text) => {
    const s = JSON.parse(text);
    if (s.files) s.files = s.files.filter((f) => other || f.id !== id).map((f) => (f.id === id ? { ...f, id: other } : f));
    return JSON.stringify(s);
  };
  if (now !== null) now = anew(now);
  const steps = (list) => [...list.map(anew), now].filter((text, i, all) => text !== all[i + 1]).slice(0, -1); // none that changes nothing
  [past, ahead] = [steps(past), steps(ahead)];
}

export const canUndo = () => past.length > 0;
export const canRedo = () => ahead.length > 0;

// undo and redo give the setting to go to; moved says that the map has it.
export const undo = () => JSON.parse(past.at(-1));
export const redo = () => JSON.parse(ahead.at(-1));

export function moved(back) {
  (back ? ahead : past).push(now);
  now = (back ? past : ahead).pop();
}
