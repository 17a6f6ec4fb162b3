// The map: views of the ground that the server paints, and what is drawn over them.
// Its coordinates are meters east and north of the plane's spot.

import * as units from "./units.js";

const L = window.L;
export const map = L.map("map", {
  crs: L.CRS.Simple, zoomControl: false, attributionControl: false, zoomSnap: 0.25, zoomDelta: 0.75,
  minZoom: -12, maxZoom: 5, keyboard: true, keyboardPanDelta: 60, doubleClickZoom: false, fadeAnimation: false,
  zoomAnimation: !matchMedia("(prefers-reduced-motion: reduce)").matches,
});
const box = document.getElementById("map");
let plane = { lon: 0, lat: 0, lonM: 1, latM: 1, eastM: 1, northM: 1 };
let painted = null; // the image on show
let coming = null; // the one asked for
let paths = {}; // of the image, and of the one that wipes over it from the right
let wiped = null; // that image

export const overlay = L.layerGroup().addTo(map);

export function toMap([lon, lat]) {
  return L.latLng((lat - plane.lat) * plane.latM, (lon - plane.lon) * plane.lonM);
}

// toGround gives longitude and latitude to the centimeter.
export function toGround(at) {
  const fixed = (v) => Number(v.toFixed(7));
  return [fixed(plane.lon + at.lng / plane.lonM), fixed(plane.lat + at.lat / plane.latM)];
}

// show sets the plane and what is painted on it; over is painted on the right of the wipe, ""
// for none.
export function show(newPlane, path, fit, alt, over = "") {
  const moved = newPlane.lon !== plane.lon || newPlane.lat !== plane.lat;
  plane = newPlane;
  paths = { path, alt, over };
  if (fit || moved) whole();
  else paint();
}

let fitted = null; // the middle of the view that showed all of it, and its zoom

export function whole() {
  const pad = 1.08;
  map.fitBounds([[-plane.northM * pad, -plane.eastM * pad], [plane.northM * pad, plane.eastM * pad]], { animate: false });
  fitted = { at: map.getCenter(), zoom: map.getZoom() };
}


const marked = L.layerGroup().addTo(map);

// mark draws a ring with words around a place, and brings it into the middle, close enough to
// see what lies there, unless it is in sight already.
export function mark(lonLat, words, move = true) {
  const spot = toMap(lonLat);
  unmark();
  for (const [color, weight] of [["#fff", 7], ["#8f2b00", 3]]) L.circleMarker(spot, { radius: 12, color, weight, fill: false, interactive: false }).addTo(marked);
  const flag = document.createElement("span");
  flag.textContent = words;
  L.marker(spot, { icon: L.divIcon({ html: flag, className: "flag", iconSize: null }), interactive: false, keyboard: false }).addTo(marked);
  if (!move) return;
  map.setView(spot, Math.max(map.getZoom(), map.getBoundsZoom([[-plane.northM, -plane.eastM], [plane.northM, plane.eastM]]) + 1, 0.5)); // 0.5: 1.4 dots a meter
  box.scrollIntoView({ block: "nearest" });
}

export const onZoom = (f) => map.on("zoomend", f);

// frame brings places into sight, close enough to see them, unless they are.
export function frame(places) {
  const box = L.latLngBounds(places);
  if (map.getBounds().contains(box) && dots(box.getSouthWest(), box.getNorthEast()) > 120) return;
  map.fitBounds(box.pad(0.5), { animate: false });
}

export function unmark() {
  marked.clearLayers();
}

// dots is how far apart two places are on the page.
export const dots = (a, b) => map.distance(a, b) / sizeM();

const sizeM = () => 2 ** -map.getZoom(); // meters in a dot of the page

function paint() {
  if (!paths.path || !map._loaded) return;
  const size = map.getSize();
  const roomy = 1.4; // beyond the frame, to move into
  let dense = Math.min(window.devicePixelRatio || 1, 2);
  dense = Math.min(dense, Math.sqrt(3.5e6 / (size.x * size.y * roomy * roomy)));
  const w = Math.max(Math.round(size.x * roomy * dense), 1);
  const h = Math.max(Math.round(size.y * roomy * dense), 1);
  const m = sizeM() / dense;
  const at = map.getCenter();
  const query = new URLSearchParams({ x: at.lng.toFixed(3), y: at.lat.toFixed(3), m: m.toPrecision(9), w, h });
  const bounds = [[at.lat - h / 2 * m, at.lng - w / 2 * m], [at.lat + h / 2 * m, at.lng + w / 2 * m]];
  coming?.remove();
  const image = (path, options) => L.imageOverlay(`${path}${path.includes("?") ? "&" : "?"}${query}`, bounds, options);
  const next = coming = image(paths.path, { alt: paths.alt, opacity: 0 });
  next.once("load", () => {
    if (next !== coming) return;
    next.setOpacity(1);
    painted?.remove();
    painted = next;
    coming = null;
    box.dataset.painted = paths.path;
  });
  next.once("error", () => { if (next === coming) { next.remove(); coming = null; } });
  next.addTo(map);
  wiped?.remove();
  wiped = paths.over ? image(paths.over, { alt: "", className: "wiped", zIndex: 2 }).addTo(map) : null;
  wipe();
  scale();
}

const thumb = 16; // dots that the slider's handle is wide

// wipe cuts the image on the right off where the slider stands.
function wipe() {
  const slider = document.getElementById("wipe");
  slider.hidden = !wiped;
  if (!wiped) return;
  const image = wiped.getElement();
  const from = box.getBoundingClientRect().left + thumb / 2 + slider.value / 100 * (box.clientWidth - thumb) - image.getBoundingClientRect().left;
  image.style.clipPath = `inset(0 0 0 ${from.toFixed(1)}px)`;
}
document.getElementById("wipe").addEventListener("input", wipe);
map.on("move zoomend", wipe);

// scale says how long a handy number of feet or meters is on the page.
function scale() {
  const u = units.now;
  if (!u || !map._loaded) return;
  const most = 120 * sizeM() / u.lengthM;
  const power = 10 ** Math.floor(Math.log10(most));
  const m = [5, 2, 1].find((n) => n * power <= most) * power * u.lengthM;
  const bar = document.createElement("span");
  bar.className = "bar";
  bar.style.width = `${m / sizeM()}px`;
  document.getElementById("scale").replaceChildren(bar, m >= u.longM ? `${(m / u.longM).toFixed(1)} ${u.long}` : units.length(m, true));
}
map.on("zoomend", scale);
units.follow(scale);

// The map's frame grows and shrinks with what stands above and under it: what showed all
// of the ground still does.
new ResizeObserver(() => {
  if (!map._loaded) return;
  const all = fitted?.zoom === map.getZoom() && map.distance(fitted.at, map.getCenter()) < 2 * sizeM();
  map.invalidateSize({ pan: false });
  if (all) whole();
}).observe(box);

// viewQuery is the view on show, roomy dots beyond it, as the server is asked for one.
export function viewQuery() {
  const size = map.getSize(), at = map.getCenter();
  return new URLSearchParams({ x: at.lng.toFixed(3), y: at.lat.toFixed(3), m: sizeM().toPrecision(9), w: Math.max(Math.round(size.x * 1.4), 1), h: Math.max(Math.round(size.y * 1.4), 1) });
}

let soon;
map.on("moveend resize", () => { clearTimeout(soon); soon = setTimeout(paint, 60); });

const names = L.layerGroup().addTo(map);
let labels = [];

// name puts labels on the map: those of pieces large enough to hold them.
export function name(all) {
  labels = all;
  writeNames();
}

function writeNames() {
  names.clearLayers();
  for (const l of labels) {
    const room = l.sideM / sizeM();
    if (room < 60) continue;
    const text = document.createElement("span");
    text.textContent = room < 130 ? l.words.split(" ").slice(-2).join(" ") : l.words;
    L.marker(toMap(l.at), { icon: L.divIcon({ html: text, className: "acres-label", iconSize: null }), interactive: false, keyboard: false }).addTo(names);
  }
}
map.on("zoomend", writeNames);

// onSpot calls take with a spot that was tapped, clicked, or taken with Enter under
// the cross.
export function onSpot(take, back, leave) {
  map.on("click", (e) => take(e.latlng));
  box.addEventListener("keydown", (e) => {
    if (e.key === "Enter") take(map.getCenter());
    else if (e.key === "Backspace") back();
    else if (e.key === "Escape") leave();
    else return;
    e.preventDefault();
  });
}

document.getElementById("closer").addEventListener("click", () => map.zoomIn());
document.getElementById("farther").addEventListener("click", () => map.zoomOut());
document.getElementById("whole").addEventListener("click", whole);
for (const b of document.querySelectorAll("[data-pan]")) {
  const [x, y] = b.dataset.pan.split(",").map(Number);
  b.addEventListener("click", () => map.panBy([x * map.getSize().x / 3, y * map.getSize().y / 3]));
}
