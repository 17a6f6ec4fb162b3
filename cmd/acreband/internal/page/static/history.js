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

// without takes a file out of what was, that can no longer be had.
export function without(id) {
  const less = (text) => { const s = JSON.parse(text); if (s.files) s.files = s.files.filter((f) => f.id !== id); return JSON.stringify(s); };
  [past, ahead] = [past.map(less), ahead.map(less)];
  if (now !== null) now = less(now);
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
