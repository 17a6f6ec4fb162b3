// What a machine could work at other limits, and what other growth would cost: asked for,
// since each point is a map and each price a plan of its own.
import { at, element, shape } from "./element.js";
import { range } from "./ladder.js";
import { percent } from "./slope.js";

const wide = 640, tall = 120;
let hooks; // ask(path), which gives an answer of the server's; set(id, text), which sets a field
let shown = null; // the curve
let of = ""; // the map and revision that it is of

export function begin(h) {
  hooks = h;
  at("curve-limit").addEventListener("input", () => { slide(Number(at("curve-limit").value)); });
  at("curve-limit").addEventListener("change", (e) => {
    e.stopPropagation(); // the field that it sets tells of it
    hooks.set(`set-${shown.machine}-${shown.limit.replaceAll(/[^a-z0-9]/g, "-")}`, `${Number(at("curve-limit").value)}%`);
  });
  at("ask-covers").addEventListener("click", askCovers);
}

// show offers the curves of an answer's machines; those of another answer go, but for the
// one on show, which is asked for anew.
export function show(a) {
  const key = `${a.id} ${a.revision}`;
  if (key === of) return;
  of = key;
  const firsts = a.limits.filter((l, i) => l.on === a.ground && a.limits.findIndex((x) => x.machine === l.machine && x.on === l.on) === i);
  at("curve-picks").replaceChildren(...firsts.map((l) => {
    const b = element("button", { type: "button", "aria-pressed": String(shown?.machine === l.machine), "data-curve": l.machine }, l.name);
    b.addEventListener("click", () => ask(l));
    return b;
  }));
  const again = shown && firsts.find((l) => l.machine === shown.machine);
  if (again && !at("curves").hidden) ask(again);
  else clear();
  at("covers").replaceChildren();
  at("covering").hidden = !a.terms;
}

function clear() {
  shown = null;
  at("curve-frame").hidden = true;
  at("curve-says").textContent = "Choose a machine.";
  for (const b of at("curve-picks").children) b.setAttribute("aria-pressed", "false");
}

async function ask(l) {
  const asked = of;
  const c = await hooks.ask("Mapping other limits", `curve?machine=${encodeURIComponent(l.machine)}&limit=${encodeURIComponent(l.limit)}`);
  if (!c || asked !== of || c.points.length === 0) return;
  shown = c;
  for (const b of at("curve-picks").children) b.setAttribute("aria-pressed", String(b.dataset.curve === l.machine));
  at("curve-frame").hidden = false;
  const slider = at("curve-limit");
  slider.min = Math.ceil(c.points[0].pct);
  slider.max = Math.floor(c.points.at(-1).pct);
  slider.step = 1;
  slider.value = Math.round(c.nowPct);
  slide(c.nowPct);
}

const x = (pct) => { const p = shown.points; return (pct - p[0].pct) / (p.at(-1).pct - p[0].pct || 1) * wide; };

// at a limit between two points no more than at the lower one is promised.
const below = (pct) => shown.points.findLast((p) => p.pct <= pct + 1e-9) ?? shown.points[0];

function slide(pct) {
  const p = below(pct);
  const most = Math.max(...shown.points.map((q) => q.acres)) || 1;
  const y = (acres) => tall - 2 - acres / most * (tall - 12);
  const line = (of) => shown.points.map((q) => `${x(q.pct).toFixed(1)} ${y(of(q)).toFixed(1)}`);
  const area = (top, bottom) => `M${top.join("L")}L${bottom.toReversed().join("L")}Z`;
  const sure = line((q) => q.sure), all = line((q) => q.acres);
  const hatch = shape("pattern", { id: "walk", width: 7, height: 7, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, shape("line", { x1: 0, x2: 0, y1: 0, y2: 7 }));
  at("curve").replaceChildren(shape("defs", {}, hatch),
    shape("path", { class: "sure", d: `M0 ${tall}L${sure.join("L")}L${wide} ${tall}Z` }), shape("path", { class: "walk", d: area(all, sure) }),
    shape("path", { class: "all", d: `M${all.join("L")}` }),
    shape("line", { class: "file", x1: x(shown.filePct), x2: x(shown.filePct), y1: 0, y2: tall }), shape("line", { class: "now", x1: x(pct), x2: x(pct), y1: 0, y2: tall }));
  at("curve-ends").replaceChildren(...[shown.points[0], shown.points.at(-1)].map((q) => element("span", {}, `${q.pct.toFixed(0)}%: ${q.area}`)));
  const than = Math.abs(p.pct - pct) < 0.5 ? "" : ` (as at ${p.pct.toFixed(0)}%)`;
  const file = pct > shown.filePct + 1e-6 ? ` Above the fleet file’s ${shown.filePct.toFixed(0)}%: it asks who and why.` : "";
  at("curve-says").textContent = `At ${pct.toFixed(0)}%${than}: ${p.words}.${file}`;
  at("curve-limit").setAttribute("aria-valuetext", at("curve-says").textContent);
}

// follow moves the handle to what is typed in the field of the limit on show.
export function follow(field) {
  if (!shown || field.id !== `set-${shown.machine}-${shown.limit.replaceAll(/[^a-z0-9]/g, "-")}`) return;
  const pct = percent(field.value);
  if (pct >= shown.points[0].pct && pct <= shown.points.at(-1).pct) { at("curve-limit").value = Math.round(pct); slide(pct); }
}

async function askCovers() {
  const asked = of;
  const all = await hooks.ask("Pricing every class", "covers");
  if (!all || asked !== of) return;
  const words = { open: "grass", light: "brush", medium: "saplings", heavy: "closed stands" };
  const dearest = Math.max(...all.map((c) => c.spread[2])) || 1;
  at("covers").replaceChildren(...all.map((c) => element("li", {},
    element(c.now ? "b" : "span", {}, `${words[c.cover]}: ${c.price ? `${c.price} (${c.range}), ${c.area}` : c.crew}`),
    ...(c.price ? [range([c.spread[0], c.spread[2]], c.spread[1], dearest), element("span", { class: "small" }, c.left ? `${c.crew}; leaves ${c.left}` : c.crew)] : []))));
}
