// The lots of a job with several: a row of figures for each, its name on the map, and the one that
// is marked.
import { overlay, toMap, onZoom, dots, frame } from "./ground.js";
import { at, element } from "./element.js";
import * as units from "./units.js";

const L = window.L;
const names = L.layerGroup().addTo(overlay);
const line = L.layerGroup().addTo(overlay);
let lots = [];
let marked = ""; // the name and place in the list of the one that is

const keyOf = (l, i) => `${i} ${l.name}`;

// show sets the table and the names of an answer.
export function show(a) {
  lots = a.lots;
  at("tab-lots").hidden = lots.length === 0;
  if (lots.length === 0 && !at("lots").hidden) at("tab-machines").click();
  if (!lots.some((l, i) => keyOf(l, i) === marked)) marked = "";
  table(a);
  mark(false);
  write();
}

function table(a) {
  const priced = lots.some((l) => l.price);
  const zones = a.zones.filter((z) => z.ground);
  const number = (words, tag = "td") => element(tag, { class: "number", ...(tag === "th" && { scope: "col" }) }, words);
  at("lots-head").replaceChildren(element("tr", {}, element("th", { scope: "col" }, "Lot"), number(units.word("Areas"), "th"), ...zones.map((z) => number(z.name, "th")),
    ...(priced ? [number("Machine hours", "th"), number("Share of the price", "th")] : [])));
  at("lots-rows").replaceChildren(...lots.map((l, i) => {
    const button = element("button", { type: "button", "aria-pressed": String(keyOf(l, i) === marked) }, l.name || `Lot ${i + 1}`);
    const row = element("tr", {}, element("th", { scope: "row" }, button), number(l.acres), ...l.zones.map((z) => number(z || "–")),
      ...(priced ? [number(l.hours ?? ""), number(l.price ?? "")] : []));
    row.addEventListener("click", () => {
      marked = marked === keyOf(l, i) ? "" : keyOf(l, i);
      for (const [k, b] of [...at("lots-rows").querySelectorAll("button")].entries()) b.setAttribute("aria-pressed", String(keyOf(lots[k], k) === marked));
      mark(true);
    });
    return row;
  }));
  at("lots-note").textContent = priced
    ? "Hours are of machines, added up. The price is of the whole job; a lot’s share of it goes by the cost of the work there. Days are of the job: one trip, machines side by side."
    : "";
}

// mark draws the marked lot’s line, and brings it into sight where asked.
function mark(look) {
  line.clearLayers();
  const l = lots.find((x, i) => keyOf(x, i) === marked);
  if (!l) return;
  const rings = l.outlines.map((o) => o.map(toMap));
  for (const [color, weight] of [["#fff", 9], ["#8f2b00", 5]]) L.polygon(rings.map((r) => [r]), { color, weight, fill: false, interactive: false }).addTo(line);
  if (look) frame(rings.flat());
}

// write puts the names of lots on the map that are large enough for theirs.
function write() {
  names.clearLayers();
  for (const [i, l] of lots.entries()) {
    const all = l.outlines.flat().map(toMap);
    if (all.length === 0) continue;
    const box = L.latLngBounds(all);
    const room = dots(box.getSouthWest(), box.getSouthEast());
    const text = element("span", {}, l.name || `Lot ${i + 1}`);
    if (room < 40) continue;
    L.marker(L.latLng(box.getNorth(), box.getCenter().lng), { icon: L.divIcon({ html: text, className: "lot-label", iconSize: null }), interactive: false, keyboard: false }).addTo(names);
  }
}
onZoom(write);
