// What people put on the map: the boundary, staging, no-go.
import { overlay, toGround, toMap, onSpot, dots } from "./ground.js";
import * as units from "./units.js";

const L = window.L;
const at = (id) => document.getElementById(id);
const ink = "#1a1a1a";
const modes = {
  boundary: { says: "Put the corners of the parcel one after the other.", least: 3, done: "Finish boundary" },
  "no-go-area": { says: "Put the corners of the ground to keep out of.", least: 3, done: "Finish area" },
  moving: { says: "Drag a corner to where it belongs. With the keyboard: Enter on a corner picks it up, Enter again puts it down.", least: 3, done: "Finish boundary" },
  staging: { says: "Put the spot where the trailer unloads." },
  "no-go": { says: "Put the spot to keep away from." },
};

let mode = null;
let corners = [];
let picked = -1; // the corner that goes where the next spot is taken
let opened = null; // the button that began
let told; // functions of the page
export const places = []; // features of a site file, as they were put
let distances = []; // how far each keeps machines off, in the words of the last answer
const drawing = L.layerGroup();
const standing = L.layerGroup();

export function begin(hooks) {
  told = hooks;
  drawing.addTo(overlay);
  standing.addTo(overlay);
  onSpot(take, back, stop);
  at("draw").addEventListener("click", (e) => start("boundary", e.currentTarget));
  for (const b of document.querySelectorAll("[data-put]")) b.addEventListener("click", () => start(b.dataset.put, b));
  at("corner-back").addEventListener("click", back);
  at("drawing-done").addEventListener("click", finish);
  at("drawing-stop").addEventListener("click", stop);
  units.follow((now, before) => {
    const field = at("around"), old = before ?? units.of("us");
    field.value = field.value === old.around ? now.around : units.withUnit(field.value, old.length); // a bare number was of the old
    if (mode) say();
  });
}

function start(name, button, ring = []) {
  if (mode === name) return stop();
  stop();
  mode = name;
  corners = ring;
  opened = button;
  button.setAttribute("aria-pressed", "true");
  at("drawing").hidden = false;
  at("drawing-done").hidden = !modes[mode].least;
  at("corner-back").hidden = !modes[mode].least || mode === "moving";
  at("drawing-done").textContent = modes[mode].done ?? "";
  at("map").classList.add("putting");
  sketch();
  say();
  at("map").focus();
}

// move lets the corners of a boundary that was drawn be moved.
export function move(ring, button) {
  start("moving", button, ring.slice(0, -1));
}

export function stop() {
  opened?.setAttribute("aria-pressed", "false");
  mode = opened = null;
  corners = [];
  picked = -1;
  drawing.clearLayers();
  at("drawing").hidden = true;
  at("map").classList.remove("putting");
}

// area is what the line encloses so far, on a plane, in words.
function area() {
  const p = corners.map(toMap);
  const twice = p.reduce((sum, a, i) => { const b = p[(i + 1) % p.length]; return sum + a.lng * b.lat - b.lng * a.lat; }, 0);
  return `${(Math.abs(twice) / 2 / units.now.areaM2).toFixed(units.now.decimals)} ${units.now.areas}`;
}

function say() {
  const { says, least } = modes[mode];
  const n = corners.length;
  const how = mode === "moving" ? "" : " Click or tap the map, or move it under the cross and press Enter.";
  const sofar = least ? ` ${n} ${n === 1 ? "corner" : "corners"} so far${n < least ? `, at least ${least}` : `, about ${area()}`}.` : "";
  const closing = mode !== "moving" && n >= least ? " The first corner again finishes it." : "";
  at("drawing-says").textContent = says + how + sofar + closing;
  at("drawing-done").disabled = n < (least ?? 0);
  at("corner-back").disabled = n === 0;
}

const near = 16; // dots from a corner that still are on it

function take(spot) {
  if (!mode) return told.ask(toGround(spot));
  const { least } = modes[mode];
  if (least) {
    const on = corners.findIndex((c) => dots(toMap(c), spot) < near);
    if (mode === "moving") moveCorner(on, spot);
    else if (on === 0 && corners.length >= least) return finish();
    else corners.push(toGround(spot));
    sketch();
    return say();
  }
  const properties = mode === "staging" ? { kind: "staging" } : { kind: "no-go", setback: units.withUnit(at("around").value, units.now.length) };
  const geometry = { type: "Point", coordinates: toGround(spot) };
  stop();
  put({ type: "Feature", properties, geometry });
}

// moveCorner puts the picked corner down at a spot, or picks up the one that lies there.
function moveCorner(on, spot) {
  if (picked < 0) {
    picked = on;
    return;
  }
  corners[picked] = toGround(spot);
  picked = -1;
}

function back() {
  if (!mode || mode === "moving" || corners.length === 0) return;
  corners.pop();
  sketch();
  say();
}

function sketch() {
  drawing.clearLayers();
  const line = corners.map(toMap);
  const lines = [{ color: "#fff", weight: 6, fill: false }, { color: ink, weight: 2.5, dashArray: "7 4", fillColor: "#fff", fillOpacity: 0.25 }]
    .map((style) => L.polygon(line, { ...style, interactive: false }).addTo(drawing));
  for (const [i, c] of line.entries()) {
    const dot = L.divIcon({ className: i === picked ? "corner picked" : "corner", iconSize: [44, 44] });
    const corner = L.marker(c, { icon: dot, draggable: true, keyboard: false }).addTo(drawing);
    corner.on("click", (e) => take(L.latLng(e.target.getLatLng())));
    corner.on("drag", (e) => {
      corners[i] = toGround(e.target.getLatLng());
      for (const l of lines) l.setLatLngs(corners.map(toMap));
      say();
    });
  }
}

function finish() {
  const ring = [...corners, corners[0]];
  const area = { type: "Polygon", coordinates: [ring] };
  const drawn = mode;
  stop();
  at("map").focus();
  if (drawn === "boundary" || drawn === "moving") told.drawn(area, drawn === "moving");
  else put({ type: "Feature", properties: { kind: "no-go" }, geometry: area });
}

// put adds a place, and takes it away again where the server refuses it.
async function put(feature) {
  places.push(feature);
  list();
  if (!await told.placed()) {
    places.splice(places.indexOf(feature), 1);
    list();
  }
}

// set puts other places down.
export function set(features) {
  places.splice(0, places.length, ...features);
  list();
}

// tell takes how far each place keeps machines off, as the server tells it.
export function tell(all) {
  distances = all;
  list();
}

const words = { staging: "Staging", "no-go": "No-go" };

// list writes what was put under the map, and marks it on the map.
export function list() {
  standing.clearLayers();
  const count = {};
  at("put").replaceChildren(...places.map((f, i) => {
    const kind = f.properties.kind;
    count[kind] = (count[kind] ?? 0) + 1;
    f.properties.name = `${words[kind]} ${count[kind]}`;
    mark(f);
    const item = document.createElement("li");
    const remove = document.createElement("button");
    remove.type = "button";
    remove.textContent = "Remove";
    remove.setAttribute("aria-label", `Remove ${f.properties.name}`);
    remove.addEventListener("click", async () => {
      const was = places.indexOf(f);
      places.splice(was, 1);
      list();
      at("map").focus();
      if (!await told.placed()) { places.splice(was, 0, f); list(); }
    });
    const where = f.geometry.type === "Point" ? f.geometry.coordinates.map((v) => v.toFixed(6)).join(", ") : `${f.geometry.coordinates[0].length - 1} corners`;
    const clear = distances.length === places.length ? distances[i] : f.properties.setback;
    item.append(`${f.properties.name} (${where})${clear ? `, keep-clear distance ${clear}` : ""} `, remove);
    return item;
  }));
}

// mark draws a place: its name on a flag, and the outline of an area.
function mark(f) {
  const shape = f.geometry.type === "Point" ? [f.geometry.coordinates] : f.geometry.coordinates[0];
  if (shape.length > 1) L.polygon(shape.map(toMap), { color: ink, weight: 2, dashArray: "2 5", fill: false, interactive: false }).addTo(standing);
  const flag = document.createElement("span");
  flag.textContent = f.properties.name;
  L.marker(toMap(shape[0]), { icon: L.divIcon({ html: flag, className: "flag", iconSize: null }), interactive: false, keyboard: false }).addTo(standing);
}
