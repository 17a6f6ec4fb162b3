// The form of what may be changed.

const at = (id) => document.getElementById(id);
let limits = [];
let costs = [];
let terms = null; // as they were when the parcel was first mapped
const figures = ["worth", "days", "budget"];
let send;

export function begin(apply) {
  send = apply;
  at("change").addEventListener("change", (e) => { if (!waits(e.target)) send(); });
  at("change").addEventListener("submit", (e) => { e.preventDefault(); send(); });
  at("restore").addEventListener("click", () => {
    for (const l of limits) field(l).value = l.file;
    at("by").value = at("reason").value = "";
    answerable();
    send();
  });
}

const idOf = (l) => `${l.machine} ${l.limit ?? l.figure}`.trim().replaceAll(/[^a-z0-9]/g, "-");
const field = (l) => at(`set-${idOf(l)}`);
const pct = (text) => {
  const n = parseFloat(text);
  return text.trim().endsWith("deg") ? 100 * Math.tan(n * Math.PI / 180) : n;
};
const isRaised = (l) => pct(field(l).value) > pct(l.file) + 1e-6;

// answerable shows who and why where a limit is above the fleet file's.
function answerable() {
  const raised = limits.some(isRaised);
  at("answerable").hidden = !raised;
  return raised;
}

// waits tells whether a change is not sent yet: a limit is raised and nobody has said
// who and why.
function waits(target) {
  const wasOpen = !at("answerable").hidden;
  const raised = answerable();
  if (!raised) return target.id === "by" || target.id === "reason";
  if (at("by").value.trim() && at("reason").value.trim()) return false;
  if (!wasOpen) at("by").focus();
  return true;
}

const ticked = () => [...document.querySelectorAll("[name=bring]:checked")].map((e) => e.value).join(",");
const first = (t) => t.bring.filter((m) => m.comes).map((m) => m.key).join(",");

// asked are the terms that were changed.
function asked() {
  const out = {};
  if (!terms) return out;
  if (ticked() !== first(terms)) out.bring = ticked();
  for (const f of figures) if (at(f).value.trim() !== terms[f]) out[f] = at(f).value.trim();
  return out;
}

function showTerms(a, fresh) {
  at("asking").hidden = !a.terms;
  at("viewing").hidden = !a.crew;
  for (const r of document.querySelectorAll("[name=view]")) r.checked = r.value === a.view;
  if (fresh) {
    terms = a.terms ?? null;
    at("bring-terms").replaceChildren(...(a.terms?.bring ?? []).map((m) => {
      const label = document.createElement("label");
      label.className = "inline";
      const box = Object.assign(document.createElement("input"), { type: "checkbox", name: "bring", value: m.key });
      label.append(box, ` ${m.name}`);
      return label;
    }));
  }
  if (!a.terms) return;
  for (const m of a.terms.bring) document.querySelector(`[name=bring][value="${m.key}"]`).checked = m.comes;
  for (const f of figures) at(f).value = a.terms[f];
}

// setting is what the form says.
export function setting() {
  return {
    ...asked(),
    view: at("viewing").hidden ? "" : document.querySelector("[name=view]:checked")?.value ?? "",
    limits: limits.filter((l) => field(l).value.trim() !== l.file).map((l) => ({ machine: l.machine, limit: l.limit, value: field(l).value.trim() })),
    by: at("by").value, reason: at("reason").value,
    ground: document.querySelector("[name=ground]:checked")?.value ?? "",
    cautious: at("cautious").checked,
    cover: document.querySelector("[name=cover]:checked")?.value,
    costs: costs.filter((c) => field(c).value.trim() !== c.first).map((c) => ({ machine: c.machine, figure: c.figure, value: field(c).value.trim() })),
  };
}

// show puts an answer's values into the form; fresh makes it anew.
export function show(a, fresh) {
  trouble(null);
  showTerms(a, fresh);
  if (fresh) {
    limits = a.limits;
    at("limits").replaceChildren(...limits.flatMap((l) => pair(l, `${l.name}, ${l.words}`, l.value)));
    costs = (a.costs ?? []).map((c) => ({ ...c, first: c.value }));
    at("costs").replaceChildren(...costs.flatMap((c) => pair(c, `${c.name}: ${c.words}`, c.value)));
    at("costing").hidden = costs.length === 0;
    at("by").value = at("reason").value = "";
  }
  for (const l of limits) field(l).hidden = field(l).previousElementSibling.hidden = l.on !== a.ground;
  for (const r of document.querySelectorAll("[name=ground]")) r.checked = r.value === a.ground;
  for (const r of document.querySelectorAll("[name=cover]")) r.checked = r.value === a.cover;
  at("growing").hidden = !a.plan;
  at("cautious").checked = a.cautious;
  answerable();
}

// restore puts the values of the map as it stands back into the form.
export function restore(a) {
  for (const l of a.limits) field(l).value = l.value;
  for (const c of a.costs ?? []) field(c).value = c.value;
  show(a, false);
}

function pair(l, words, value) {
  const label = document.createElement("label");
  label.htmlFor = `set-${idOf(l)}`;
  label.textContent = words;
  const input = document.createElement("input");
  input.id = label.htmlFor;
  input.value = value;
  input.autocomplete = "off";
  input.inputMode = "text";
  return [label, input];
}

// trouble shows what was refused beside the field it is about; false where it is about
// none of the form's.
export function trouble(refused) {
  for (const e of at("change").querySelectorAll("[aria-invalid]")) {
    e.removeAttribute("aria-invalid");
    e.removeAttribute("aria-describedby");
  }
  const box = at("change-trouble");
  box.hidden = true;
  if (!refused?.field) return false;
  const e = at(refused.field === "bring" ? "asking" : refused.field) ?? at(`set-${refused.field.replaceAll(/[^a-z0-9]/g, "-")}`);
  if (!e) return false;
  if (e.id === "by" || e.id === "reason") at("answerable").hidden = false;
  e.setAttribute("aria-invalid", "true");
  e.setAttribute("aria-describedby", "change-trouble");
  box.textContent = refused.message;
  box.hidden = false;
  e.focus();
  return true;
}
