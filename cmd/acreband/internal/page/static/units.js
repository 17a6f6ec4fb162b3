// What figures are told in: one switch for the page, the sheet and the files. What units are called
// and how large they are is the server's word.
import { at } from "./element.js";

let systems = []; // that of the US first
const followers = [];
export let now = null; // the system that the page is told in

// begin takes the systems and the key of the one to begin with.
export function begin(all, key) {
  systems = all;
  choose(key);
  show(key);
}

// of is the system of a key; where none is said it is that of the US, as of a job saved before there
// were two.
export const of = (key) => systems.find((u) => u.key === key) ?? systems[0];

// asked is the key that the switch is at, which the map may have yet to follow.
export const asked = () => document.querySelector("[name=units]:checked").value;

export function choose(key) {
  for (const r of document.querySelectorAll("[name=units]")) r.checked = r.value === of(key).key;
}

// show tells the page's own words in a system.
export function show(key) {
  const before = now;
  now = of(key);
  if (now === before) return;
  for (const e of document.querySelectorAll("[data-unit]")) e.textContent = word(e.dataset.unit);
  for (const f of followers) f(now, before);
}

// word is a word of the system, with a capital where its name has one.
export function word(name) {
  const w = now[name[0].toLowerCase() + name.slice(1)];
  return name[0] === name[0].toLowerCase() ? w : w[0].toUpperCase() + w.slice(1);
}

// follow calls f with each new system and the one before it, null at first.
export const follow = (f) => followers.push(f);

const rounded = (v, decimals = 0) => v.toLocaleString("en-US", { minimumFractionDigits: decimals, maximumFractionDigits: decimals });

// length writes meters, with those in brackets where people are told in feet. One that is round
// has no tenth.
export function length(m, round = false) {
  const words = `${rounded(m / now.lengthM, !round && m !== 0 && m < now.tenthsM ? 1 : 0)} ${now.length}`;
  return now.lengthM === 1 ? words : `${words} (${rounded(m)} m)`;
}

// withUnit puts a unit behind what is a number alone.
export const withUnit = (text, unit) => (/^\$?\s*\d[\d,]*(\.\d+)?$/.test(text.trim()) ? text.trim() + unit : text.trim());
