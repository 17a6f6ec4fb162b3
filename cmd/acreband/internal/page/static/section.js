// The ground from the side: a line is drawn across the map, and what lies along it is shown
// under the map, with a cursor that moves along it.
import * as ground from "./ground.js";
import * as draw from "./draw.js";
import { at, element } from "./element.js";
import { close, place, whole } from "./sectiondraw.js";
import { length } from "./units.js";

const L = window.L;
const onMap = L.layerGroup().addTo(ground.overlay);
let hooks; // get(path), which gives an answer of the server's or undefined
let ends = []; // places that were put, two at most
let cutting = false;
let dragged = false; // a drag ends with a click, which is none
let shown = null; // the section
let view = null; // where it lies in its picture
let cursor = 0; // the place that is told
let dot = null; // the cursor on the map
let machine = ""; // key of the one that stands there
let tall = 1;
let of = ""; // the map and revision that was asked

export function begin(h) {
  hooks = h;
  build();
  at("side-open").addEventListener("click", () => (cutting ? stop() : start()));
  for (const b of document.querySelectorAll("#draw, [data-put], #move-corners")) b.addEventListener("click", stop, true);
  const box = at("map");
  box.addEventListener("keydown", (e) => { if (e.key === "Escape") stop(); });
  box.addEventListener("pointerdown", press);
  new ResizeObserver(redraw).observe(at("side-cut"));
  matchMedia("print").addEventListener("change", redraw);
}

function build() {
  const option = (value, words) => element("option", { value }, words);
  at("side").append(
    element("div", { class: "head" }, element("h3", { id: "side-title" }, "Side view, A to B"), element("p", { id: "side-says", class: "small" }),
      element("label", {}, "Machine ", element("select", { id: "side-machine" })),
      element("label", {}, "Heights ", element("select", { id: "side-tall" }, option(1, "to scale"), ...[2, 3, 5, 10].map((n) => option(n, `${n} times too tall`)))),
      element("button", { type: "button", id: "side-shut", "aria-label": "Close the side view" }, "×")),
    element("div", {}, element("figure", {}, pictureOf("side-cut", "side-says")),
      element("input", { type: "range", id: "side-cursor", min: 0, step: 1, "aria-label": "Spot along the line" })),
    element("div", {}, element("figure", {}, pictureOf("side-close-up", "side-spot")), element("p", { id: "side-scale", class: "small" })),
    element("div", {}, element("p", { id: "side-spot" }), element("p", { class: "small" }, "Under the surface: whose limit the slope meets. Strip below: the map’s zones. Dots: walk or sight first.")), element("ol", { id: "side-marks", class: "small" }));
  at("side-shut").addEventListener("click", () => { clear(); at("side-open").focus(); });
  at("side-cursor").addEventListener("input", () => tell(Number(at("side-cursor").value)));
  at("side-machine").addEventListener("change", (e) => { machine = e.target.value; tell(cursor); });
  at("side-tall").addEventListener("change", (e) => { tall = Number(e.target.value); redraw(); });
  const point = (e) => { if (e.type === "pointerdown" || e.pressure > 0 || e.pointerType === "mouse") tell(nearest(e)); };
  for (const kind of ["pointerdown", "pointermove"]) at("side-cut").addEventListener(kind, point);
}

function pictureOf(id, by) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.id = id;
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-labelledby", by);
  return svg;
}

function start() {
  draw.stop();
  cutting = true;
  ends = [];
  onMap.clearLayers();
  at("side-open").setAttribute("aria-pressed", "true");
  at("map").classList.add("putting");
  ground.map.dragging.disable();
  note("Drag a line across the ground, or click its two ends. With the keyboard: move the map under the cross and press Enter for each end.");
  at("map").focus();
}

function stop() {
  if (!cutting) return;
  cutting = false;
  at("side-open").setAttribute("aria-pressed", "false");
  at("map").classList.remove("putting");
  ground.map.dragging.enable();
  note("");
  if (ends.length < 2) { ends = shown?.ends ?? []; sketch(); }
}

function note(words) {
  at("side-note").hidden = !words;
  at("side-note").textContent = words;
}

// takes takes a spot of the map for an end, and reports whether it is one.
export function takes(lonLat) {
  if (dragged) { dragged = false; return true; }
  if (!cutting) return false;
  ends.push(lonLat);
  sketch();
  if (ends.length === 2) finish();
  else note("Now the other end.");
  return true;
}

function press(e) {
  dragged = false;
  if (!cutting || ends.length || e.button !== 0 || e.target.closest(".leaflet-marker-icon")) return;
  const from = ground.map.mouseEventToLatLng(e), x = e.clientX, y = e.clientY;
  const far = (m) => Math.hypot(m.clientX - x, m.clientY - y) > 8;
  const line = (m) => [ground.toGround(from), ground.toGround(ground.map.mouseEventToLatLng(m))];
  const move = (m) => { if (far(m)) { ends = line(m); sketch(); } };
  const done = (m) => {
    removeEventListener("pointermove", move);
    removeEventListener("pointerup", done);
    removeEventListener("pointercancel", done);
    if (!cutting) return;
    ends = [];
    if (m.type === "pointercancel" || !far(m)) return sketch();
    dragged = true;
    setTimeout(() => { dragged = false; }, 50); // where no click follows
    ends = line(m);
    finish();
  };
  addEventListener("pointermove", move);
  addEventListener("pointerup", done);
  addEventListener("pointercancel", done);
}

// sketch draws the line on the map, with ends that can be dragged.
function sketch() {
  onMap.clearLayers();
  dot = null;
  for (const [color, weight] of [["#fff", 6], ["#1a1a1a", 2.5]]) L.polyline(ends.map(ground.toMap), { color, weight, interactive: false }).addTo(onMap);
  for (const [i, end] of ends.entries()) {
    const icon = L.divIcon({ className: "section-end", html: element("span", {}, "AB"[i]), iconSize: [44, 44] });
    const flag = L.marker(ground.toMap(end), { icon, draggable: true, keyboard: false }).addTo(onMap);
    flag.on("dragend", () => { ends[i] = ground.toGround(flag.getLatLng()); finish(); });
  }
}

async function finish() {
  const [a, b] = ends;
  stop();
  sketch();
  const asked = of;
  const s = await hooks.get(`section?lon=${a[0]}&lat=${a[1]}&toLon=${b[0]}&toLat=${b[1]}`);
  if (asked !== of || ends[0] !== a || ends[1] !== b) return;
  if (!s) return shown ? (ends = shown.ends, sketch()) : clear();
  const fresh = !shown;
  shown = { ...s, ends: [a, b] };
  at("side").hidden = false;
  document.body.classList.add("side-open");
  if (!s.machines.some((m) => m.key === machine)) machine = first(s);
  at("side-machine").replaceChildren(...s.machines.map((m) => element("option", { value: m.key, selected: m.key === machine }, m.name)));
  at("side-marks").replaceChildren(...s.marks.map((m, n) => element("li", {}, `${n + 1} ${m.name}, ${length(m.fromM)} along: ${m.words}. ${m.caution}`)));
  at("side-cursor").max = s.along.length - 1;
  if (fresh || cursor >= s.along.length) cursor = Math.floor(s.along.length / 2);
  redraw();
  if (fresh) at("side-cursor").focus({ preventScroll: true });
}

// first is the machine that has most of the line, the first of the fleet where none has any.
function first(s) {
  const sums = s.machines.map((_, k) => s.zones.reduce((sum, [from, to, band]) => sum + (band === k ? to - from + 1 : 0), 0));
  return s.machines[sums.indexOf(Math.max(...sums))].key;
}

// show asks again for the line on a map that changed; a map of another ground has none.
export function show(a, fresh) {
  const key = `${a.id} ${a.revision}`;
  at("side-open").hidden = false;
  if (key === of) return;
  of = key;
  if (fresh) { stop(); clear(); } else if (ends.length === 2) finish();
}

function clear() {
  shown = view = dot = null;
  ends = [];
  onMap.clearLayers();
  at("side").hidden = true;
  document.body.classList.remove("side-open");
}

function redraw() {
  if (!shown || at("side").hidden) return;
  view = whole(at("side-cut"), shown, tall);
  const slider = at("side-cursor"), thumb = 16;
  slider.style.width = `${view.scale * view.long + thumb}px`;
  slider.style.marginLeft = `${view.left - thumb / 2}px`;
  at("side-says").textContent = `${shown.says} ${tall === 1 ? "Drawn to scale." : `Heights drawn ${tall} times too tall: slopes look steeper than they are.`}`;
  tell(cursor);
}

// nearest is the place of the line under a pointer.
function nearest(e) {
  const m = (e.clientX - at("side-cut").getBoundingClientRect().left - view.left) / view.scale;
  return Math.min(Math.max(Math.round(m / view.long * (shown.along.length - 1)), 0), shown.along.length - 1);
}

const bandAt = (runs, i) => runs.find(([from, to]) => from <= i && i <= to)?.[2] ?? -1;

// tell says what is at a place, in figures, and marks it in both pictures and on the map.
function tell(i) {
  cursor = i;
  const s = shown, m = s.machines.find((x) => x.key === machine);
  place(view, s, i, m);
  close(at("side-close-up"), s, i, m);
  dot ??= L.circleMarker([0, 0], { radius: 7, color: "#1a1a1a", weight: 2, fillColor: "#ffd9c7", fillOpacity: 1, interactive: false }).addTo(onMap);
  dot.setLatLng(ground.toMap(s.lonLat[i]));
  const zone = bandAt(s.zones, i), walk = s.walk.some(([from, to]) => from <= i && i <= to);
  const onZone = zone < 0 ? "off the parcel" : `on the map: ${s.bands[zone].name}${walk ? ", walk first" : ""}`;
  const words = s.heights[i] === null ? `no elevation here: nobody has measured it; ${onZone}`
    : `${length(s.heights[i])} high; ${slopeWords(s, i)}; ${limitWords(s, i)}; ${onZone}`;
  const near = Math.max(m?.lengthM ?? 3, 3) / 2;
  const met = s.marks.map((k, n) => [k, n + 1]).filter(([k]) => s.along[i] >= k.fromM - near && s.along[i] <= k.toM + near).map(([k, n]) => ` ${n}: ${k.name}.`).join("");
  at("side-spot").textContent = `${length(s.along[i])} from A: ${words}. ${standWords(s, i, m)}${met}`;
  at("side-cursor").value = i;
  at("side-cursor").setAttribute("aria-valuetext", at("side-spot").textContent);
  at("side-scale").textContent = m ? `${m.name}, ${length(m.lengthM)} long${m.tallM > 0 ? "" : ", drawn without its height, which the fleet file does not tell"}.` : "";
}

function slopeWords(s, i) {
  const along = s.slopes[i], steep = s.ground[i];
  const way = along === null ? "slope along the line not known" : Math.abs(along) < 0.5 ? "level along the line" : `${Math.abs(along).toFixed(0)}% ${along > 0 ? "up" : "down"} toward B`;
  return `${way}, ground ${steep === null ? "slope not known" : `${steep.toFixed(0)}%`}`;
}

function limitWords(s, i) {
  const band = s.bands[bandAt(s.limits, i)];
  if (band?.limit) return `within the ${band.limit} of the ${band.name}`;
  return s.slopes[i] === null || s.ground[i] === null ? "whose limit it meets is not known" : "above every machine’s limit";
}

function standWords(s, i, m) {
  if (!m) return "";
  const pct = s.rests[m.rests][2 * i + 1];
  return pct === null ? `${m.name}: not drawn, the ground under it is not known.` : `${m.name} stands at ${Math.abs(pct).toFixed(0)}% here.`;
}
