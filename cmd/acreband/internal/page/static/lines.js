// What people find their way by on the map: contours, roads and water of the site files, and a
// grid of coordinates. Without a network there is no other map under it.
import * as server from "./server.js";
import * as ground from "./ground.js";
import { at, element } from "./element.js";

const L = window.L;
const dark = "#1a1a1a", blue = "#0b5a8f";
const renderer = L.canvas({ padding: 0.3 });
const drawn = L.layerGroup().addTo(ground.map);
const grid = L.layerGroup().addTo(ground.map);
let map = ""; // its id
let asking = null; // the AbortController of what is asked for
let told = null; // what the server said, of which view

const styles = {
  road: [{ color: "#fff", weight: 6, opacity: 0.9 }, { color: dark, weight: 3.5 }, { color: "#fff", weight: 1.8 }],
  path: [{ color: "#fff", weight: 3, opacity: 0.8 }, { color: dark, weight: 1.5, dashArray: "6 4" }],
  railway: [{ color: dark, weight: 1.5 }, { color: dark, weight: 6, dashArray: "1.5 7" }],
  water: [{ color: "#fff", weight: 4.5, opacity: 0.7 }, { color: blue, weight: 2.5 }],
  "overhead-line": [{ color: "#fff", weight: 3, opacity: 0.8 }, { color: dark, weight: 1.5, dashArray: "12 4 2 4" }],
  pipeline: [{ color: "#fff", weight: 3, opacity: 0.8 }, { color: dark, weight: 1.5, dashArray: "2 4" }],
  cliff: [{ color: dark, weight: 3, dashArray: "3 3" }],
};
const fills = { water: { fillColor: blue, fillOpacity: 0.4 }, building: { fillColor: dark, fillOpacity: 0.7 } };

export function begin() {
  at("lines").addEventListener("click", (e) => {
    e.currentTarget.setAttribute("aria-pressed", String(!isOn()));
    draw();
    ask();
  });
  ground.map.on("moveend resize", () => { draw(); later(); });
}

const isOn = () => at("lines").getAttribute("aria-pressed") === "true";

// show asks for the lines of another map.
export function show(a) {
  map = a.id;
  told = null;
  ask();
}

let soon;
function later() {
  clearTimeout(soon);
  soon = setTimeout(ask, 150);
}

// ask asks the server for the lines of the view. A map that it forgot, or a view that it
// cannot draw, has none: what changes the map says why.
async function ask() {
  asking?.abort();
  if (!map || !isOn()) return;
  const mine = asking = new AbortController();
  try {
    const said = await server.get(`/v1/maps/${map}/lines?${ground.viewQuery()}`, mine.signal);
    if (mine !== asking) return;
    told = said;
  } catch {
    if (mine !== asking) return;
    told = null;
  }
  draw();
  at("map").dataset.lines = told ? `${told.contours.length} ${told.features.length}` : "";
}

const line = (points, style, layer = drawn) => L.polyline(points, { ...style, renderer, interactive: false }).addTo(layer);

function draw() {
  drawn.clearLayers();
  grid.clearLayers();
  if (!isOn() || !ground.map._loaded) return;
  coordinates();
  at("lines").title = `contours${told?.every ? ` every ${told.every}` : ""}, roads and water, and a grid of coordinates${told?.more ? "; come closer for all roads and water" : ""}`;
  if (!told) return;
  // Contours of a slope of 30% that would lie closer than 5 dots are left to every fifth.
  const close = ground.dots(L.latLng(0, 0), L.latLng(0, told.everyM / 0.3)) < 5;
  for (const c of told.contours) if (c.index || !close) contour(c);
  for (const f of told.features) feature(f);
}

// contour draws a line, an index one with its height where it is long enough on the page.
function contour({ label, index, line: points }) {
  const path = points.map(([x, y]) => L.latLng(y, x));
  line(path, { color: dark, weight: index ? 1.3 : 0.6, opacity: 0.55 });
  if (index && span(path) > 160) name(path[Math.floor(path.length / 2)], label);
}

// span is how long a line is on the page, from its first place to the farthest of some.
function span(path) {
  const some = path.filter((_, i) => i % Math.ceil(path.length / 12) === 0);
  return Math.max(...some.map((p) => ground.dots(path[0], p)));
}

function feature({ kind, name: words, area, lines }) {
  for (const points of lines) {
    const path = points.map(ground.toMap);
    if (path.length === 1) L.circleMarker(path[0], { radius: 4, color: "#fff", weight: 1.5, fillColor: dark, fillOpacity: 1, renderer, interactive: false }).addTo(drawn);
    else if (area) L.polygon(path, { color: kind === "water" ? blue : dark, weight: 1.5, fill: kind in fills, ...fills[kind], renderer, interactive: false }).addTo(drawn);
    else for (const style of styles[kind] ?? styles.path) line(path, style);
  }
  const longest = lines.map((l) => l.map(ground.toMap)).sort((a, b) => span(b) - span(a))[0];
  if (words && longest && (longest.length === 1 || span(longest) > 70)) name(longest[Math.floor(longest.length / 2)], words, "place");
}

function name(spot, words, kind = "") {
  L.marker(spot, { icon: L.divIcon({ html: element("span", {}, words), className: `line-name ${kind}`, iconSize: null }), interactive: false, keyboard: false, zIndexOffset: -1000 }).addTo(kind === "lat" || kind === "lon" ? grid : drawn);
}

// coordinates draws parallels and meridians at round degrees, their figures along the left
// and the upper edge.
function coordinates() {
  const b = ground.map.getBounds(), size = ground.map.getSize();
  const [west, south] = ground.toGround(b.getSouthWest()), [east, north] = ground.toGround(b.getNorthEast());
  const round = (least) => [10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 5e-4, 2e-4, 1e-4, 5e-5, 2e-5, 1e-5].findLast((s) => s >= least) ?? 10;
  const all = [["lat", south, north, round((north - south) * 90 / size.y), "N", "S"], ["lon", west, east, round((east - west) * 130 / size.x), "E", "W"]];
  for (const [kind, from, to, step, above, below] of all) {
    const digits = Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
    for (let k = Math.ceil(from / step); k * step <= to; k++) {
      const deg = k * step, words = `${Math.abs(deg).toFixed(digits)} ${deg < 0 ? below : above}`;
      const ends = kind === "lat" ? [[west, deg], [east, deg]] : [[deg, south], [deg, north]];
      line(ends.map(ground.toMap), { color: dark, weight: 0.6, opacity: 0.45, dashArray: "1 5" }, grid);
      name(ground.toMap(kind === "lat" ? ends[0] : ends[1]), words, kind);
    }
  }
}
