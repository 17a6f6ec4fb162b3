// The form of what may be changed, and what of it the map has already: a value that waits
// for something, or was refused, stays in its field, and the map keeps the one before.
import { at, element } from "./element.js";
import { percent } from "./slope.js";
import { reveal } from "./tabs.js";
import * as units from "./units.js";

let limits = [];
let costs = [];
let terms = null; // as they were when the parcel was first mapped
let held = new Map(); // of each field of limits and costs, what the map has, as the field shows it
let asks = new Map(); // of costs and worth that were changed, what the map was asked for, in the units it was typed in
let raisedBy = { by: "", reason: "" }; // as the map has it
const refused = new Set(); // ids of fields whose text was refused and stands unchanged
const figures = ["worth", "days", "budget"];
let send;

// begin calls apply where the form says something new.
export function begin(apply) {
  send = apply;
  at("change").addEventListener("input", (e) => refused.delete(e.target.id));
  at("change").addEventListener("change", (e) => {
    refused.delete(e.target.id);
    const wasOpen = !at("answerable").hidden;
    if (pend() && !wasOpen) at("by").focus();
    send();
  });
  at("change").addEventListener("submit", (e) => { e.preventDefault(); if (!pend() || at("by").value.trim() && at("reason").value.trim()) send(); else at(at("by").value.trim() ? "reason" : "by").focus(); });
  at("restore").addEventListener("click", () => {
    for (const l of limits) field(l).value = l.file;
    for (const c of costs) field(c).value = c.file;
    at("by").value = at("reason").value = "";
    refused.clear();
    pend();
    send();
  });
}

const idOf = (l) => `set-${`${l.machine} ${l.limit ?? l.figure}`.trim().replaceAll(/[^a-z0-9]/g, "-")}`;
const field = (l) => at(idOf(l));
const typed = (l) => field(l).value.trim();
const isRaised = (l) => percent(typed(l)) > percent(l.file) + 1e-6;
const answered = () => at("by").value.trim() !== "" && at("reason").value.trim() !== "";

// pend marks raised limits that wait for who and why, and reports whether a limit is raised.
function pend() {
  const raised = limits.filter(isRaised);
  const waiting = raised.filter((l) => !answered() && typed(l) !== held.get(idOf(l)));
  for (const l of limits) {
    const waits = waiting.includes(l);
    field(l).classList.toggle("pending", waits);
    const note = at(`${idOf(l)}-waits`);
    note.hidden = !waits;
    note.textContent = waits ? `waits for who and why; the map has ${held.get(idOf(l))}` : "";
  }
  at("answerable").hidden = raised.length === 0;
  if (raised.length) {
    const names = raised.map((l) => `${l.name} ${l.words} to ${typed(l)} from ${l.file}`);
    at("pending").textContent = `Raised above the fleet file: ${names.join(", ")}. That is somebody’s decision, printed on every file.${waiting.length ? " Until then the map keeps the lower limit." : ""}`;
  }
  return raised.length > 0;
}

// text is what the map is asked to have in a field: what is typed, or what it has already.
function text(l) {
  const id = idOf(l);
  if (refused.has(id) || l.limit && isRaised(l) && !answered()) return held.get(id);
  return typed(l);
}

// cost is what is asked for in a field whose figure has units: what is typed, and what was asked
// before where nothing is, for the field may show it in other units now. undefined is as the fleet
// file has it, which shows as plain.
function cost(id, value, plain) {
  if (refused.has(id) || value === held.get(id)) return asks.get(id);
  return value === plain ? undefined : value;
}

const ticked = () => [...document.querySelectorAll("[name=bring]:checked")].map((e) => e.value).join(",");
const comes = (t) => t.bring.filter((m) => m.comes).map((m) => m.key).join(",");

// asked are the terms that were changed.
function asked() {
  const out = {};
  if (!terms) return out;
  if (ticked() !== comes(terms)) out.bring = ticked();
  for (const f of figures.filter((x) => x !== "worth")) {
    const value = refused.has(f) ? held.get(f) : at(f).value.trim();
    if (value !== terms[f]) out[f] = value;
  }
  const worth = cost("worth", at("worth").value.trim(), terms.worthFile);
  if (worth !== undefined) out.worth = units.withUnit(worth, units.now.perArea);
  return out;
}

// setting is what the map is asked to be, with as much of the form as can be had now.
export function setting() {
  const who = answered() ? { by: at("by").value.trim(), reason: at("reason").value.trim() } : raisedBy;
  const asks = limits.filter((l) => text(l) !== l.file).map((l) => ({ machine: l.machine, limit: l.limit, value: text(l) }));
  const raised = limits.some((l) => percent(text(l)) > percent(l.file) + 1e-6);
  return {
    ...asked(),
    view: at("viewing").hidden ? "" : document.querySelector("[name=view]:checked")?.value ?? "",
    limits: asks, by: raised ? who.by : "", reason: raised ? who.reason : "",
    ground: document.querySelector("[name=ground]:checked")?.value ?? "",
    cautious: at("cautious").checked,
    cover: document.querySelector("[name=cover]:checked")?.value,
    costs: costs.map((c) => ({ machine: c.machine, figure: c.figure, value: cost(idOf(c), typed(c), c.file) })).filter((c) => c.value !== undefined),
  };
}

// write puts a setting into the form.
export function write(s) {
  refused.clear();
  const valueOf = (l, list, plain) => list?.find((x) => x.machine === l.machine && (x.limit ?? x.figure) === (l.limit ?? l.figure))?.value ?? plain;
  for (const l of limits) field(l).value = valueOf(l, s.limits, l.file);
  for (const c of costs) field(c).value = valueOf(c, s.costs, c.file);
  units.choose(s.units);
  at("by").value = s.by ?? "";
  at("reason").value = s.reason ?? "";
  for (const name of ["ground", "cover", "view"]) for (const r of document.querySelectorAll(`[name=${name}]`)) if (s[name]) r.checked = r.value === s[name];
  at("cautious").checked = Boolean(s.cautious);
  if (terms) {
    tick(s.bring ?? comes(terms));
    for (const f of figures) at(f).value = s[f] ?? terms[f];
    at("worth").value = s.worth === undefined ? terms.worthFile : units.withUnit(s.worth, units.of(s.units).perArea);
  }
  pend();
}

// stand ticks the machines of a crew, and no others.
export function stand(keys) {
  tick(keys);
  send();
}

function tick(keys) {
  const all = keys.split(",");
  for (const b of document.querySelectorAll("[name=bring]")) b.checked = all.includes(b.value);
}

// fresh makes the fields of an answer anew, before its cards are made with limitField.
export function fresh(a) {
  limits = a.limits;
  costs = a.costs ?? [];
  asks = new Map();
  terms = a.terms ?? null;
  refused.clear();
  raisedBy = { by: "", reason: "" };
  at("by").value = at("reason").value = "";
  at("costs").replaceChildren(...costs.flatMap((c) => pair(c, `${c.name}: ${c.words}`)));
  at("costing").hidden = costs.length === 0;
  held = new Map([...limits, ...costs].map((l) => [idOf(l), l.value]));
  held.set("worth", terms?.worth);
}

// limitField is the field of a limit on its machine's card, and what it waits for.
export function limitField(l) {
  return {
    field: element("div", {}, ...pair(l, l.words.replace("up and down", "up, down").replace(/, (off a tether|wet)/, ""), `${l.name}, ${l.words}`)),
    waits: element("span", { id: `${idOf(l)}-waits`, class: "waits", hidden: true }),
  };
}

function pair(l, words, whole) {
  const input = element("input", { id: idOf(l), autocomplete: "off", "aria-label": whole, "aria-describedby": whole && `${idOf(l)}-waits` });
  input.value = l.value;
  return [element("label", { for: idOf(l) }, words), input];
}

// show says what the map has now. sent is the setting it answers, undefined where it is
// the first: what is typed and waits, or was refused, stays.
export function show(a, sent) {
  trouble(null);
  for (const x of sent?.limits ?? []) held.set(idOf(x), x.value);
  if (sent) {
    for (const l of limits) if (!sent.limits.some((x) => idOf(x) === idOf(l))) held.set(idOf(l), l.file);
    showCosts(a.costs ?? [], sent.costs ?? []);
    if (sent.worth === undefined) asks.delete("worth");
    else asks.set("worth", sent.worth);
    raisedBy = { by: sent.by, reason: sent.reason };
  }
  for (const l of limits) field(l).parentElement.hidden = l.on !== a.ground && !refused.has(idOf(l)) && typed(l) === held.get(idOf(l));
  for (const r of document.querySelectorAll("[name=ground]")) r.checked = r.value === a.ground;
  for (const r of document.querySelectorAll("[name=cover]")) r.checked = r.value === a.cover;
  for (const r of document.querySelectorAll("[name=view]")) r.checked = r.value === a.view;
  at("growing").hidden = !a.plan;
  at("viewing").hidden = !a.crew;
  at("crew").hidden = !a.terms;
  at("asking").hidden = !a.terms;
  at("cautious").checked = a.cautious;
  if (a.terms) {
    tick(comes(a.terms));
    terms.worthFile = a.terms.worthFile;
    for (const f of figures) {
      held.set(f, a.terms[f]);
      if (!refused.has(f)) at(f).value = a.terms[f];
    }
  }
  pend();
}

// showCosts has the fields of costs show them as the map has them, in its units, but where something
// else was typed meanwhile, or refused.
function showCosts(now, sent) {
  for (const c of now) {
    const id = idOf(c), asked = sent.find((x) => idOf(x) === id)?.value;
    if (!refused.has(id) && [held.get(id), asked, costs.find((x) => idOf(x) === id)?.file].includes(typed(c))) field(c).value = c.value;
    field(c).labels[0].textContent = `${c.name}: ${c.words}`;
    held.set(id, c.value);
    if (asked === undefined) asks.delete(id);
    else asks.set(id, asked);
  }
  costs = now;
}

// trouble shows what was refused beside the field it is about; false where it is about
// none of the form's.
export function trouble(error) {
  for (const e of at("change").querySelectorAll("[aria-invalid]")) if (!refused.has(e.id)) e.removeAttribute("aria-invalid");
  const box = at("change-trouble");
  box.hidden = true;
  if (!error?.field) return false;
  const e = at(error.field === "bring" ? "asking" : error.field) ?? at(`set-${error.field.replaceAll(/[^a-z0-9]/g, "-")}`);
  if (!e) return false;
  if (e.id === "by" || e.id === "reason") at("answerable").hidden = false;
  else if (e.tagName === "INPUT") refused.add(e.id);
  e.setAttribute("aria-invalid", "true");
  const has = held.get(e.id);
  box.textContent = `${error.message}${has === undefined ? "" : `. The map keeps ${has || "none"}.`}`;
  box.hidden = false;
  reveal(e);
  e.focus();
  return true;
}
