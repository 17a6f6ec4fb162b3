// Puts the page together: one map at a time, one request at a time.
import * as server from "./server.js";
import * as ground from "./ground.js";
import * as draw from "./draw.js";
import * as changes from "./changes.js";
import { report, fleet } from "./report.js";

const at = (id) => document.getElementById(id);
let answer = null;
let only = "";
let busy = null; // the AbortController of what is under way

function trouble(words) {
  at("trouble").hidden = !words;
  at("trouble").textContent = words ?? "";
}

// work runs one request, tells how far it is, and cancels the one before it. It gives
// undefined where it was refused or cancelled.
async function work(says, ask) {
  busy?.abort();
  const mine = busy = new AbortController();
  const tell = (p) => {
    if (busy !== mine) return;
    at("busy").hidden = false;
    at("busy-says").textContent = `${says}: ${p.step}`;
    if (p.total > 0) {
      at("meter").max = p.total;
      at("meter").value = p.done;
    } else at("meter").removeAttribute("value");
  };
  const late = setTimeout(() => { if (busy === mine) { at("busy").hidden = false; at("busy-says").textContent = says; at("meter").removeAttribute("value"); } }, 500);
  trouble("");
  document.body.setAttribute("aria-busy", "true");
  try {
    return await ask(mine.signal, tell);
  } catch (e) {
    if (e.name === "AbortError") {
      if (busy === mine && answer) changes.restore(answer); // not overtaken by another
      return undefined;
    }
    if (!changes.trouble(e)) trouble(e.message);
    return undefined;
  } finally {
    clearTimeout(late);
    if (busy === mine) {
      busy = null;
      at("busy").hidden = true;
      document.body.removeAttribute("aria-busy");
    }
  }
}

function paint(fit) {
  const query = new URLSearchParams({ rev: answer.revision });
  if (only) query.set("only", only);
  ground.show(answer.plane, `/v1/maps/${answer.id}/ground.png?${query}`, fit, `Zones of ${answer.name} on relief. ${answer.says}`);
}

function show(a, fresh) {
  answer = a;
  if (fresh) only = "";
  report(a, { only: (band) => { only = band; show(answer, false); focusRow(band); }, go: ground.centre }, only);
  changes.show(a, fresh);
  paint(fresh);
  ground.name(a.labels);
  draw.list();
  if (fresh) at("answer").focus({ preventScroll: true });
}

// focusRow keeps the keyboard where it was: rows are written anew.
let lastRow = "";
function focusRow(band) {
  lastRow = band || lastRow;
  document.querySelector(`[data-band="${lastRow}"] button`)?.focus();
}

async function mapFiles(files, drawn) {
  draw.stop();
  at("spot").hidden = true;
  const a = await work("Mapping the parcel", (signal, tell) => server.mapFiles(files, drawn, signal, tell));
  if (!a) return;
  if (answer) server.forget(answer.id);
  draw.clear();
  show(a, true);
}

// apply sends what the page says of the map; false where it was refused.
async function apply() {
  if (!answer) return false;
  const id = answer.id;
  const set = changes.setting();
  if (draw.places.length) set.site = { type: "FeatureCollection", features: draw.places };
  const a = await work("Mapping it again", (signal, tell) => server.change(id, set, signal, tell));
  if (!a || answer?.id !== id) return false;
  show(a, false);
  return true;
}

async function ask(spot) {
  if (!answer) return;
  const box = at("spot");
  try {
    const said = await server.get(`/v1/maps/${answer.id}/spot?lon=${spot[0]}&lat=${spot[1]}`);
    box.replaceChildren(...said.words.map((w) => Object.assign(document.createElement("span"), { textContent: w })));
  } catch (e) {
    box.textContent = e.message;
  }
  box.hidden = false;
}

draw.begin({
  ask,
  placed: apply,
  drawn: (area) => {
    const lot = { type: "FeatureCollection", features: [{ type: "Feature", properties: { lot: "Drawn parcel" }, geometry: area }] };
    mapFiles([new File([JSON.stringify(lot)], "drawn.geojson", { type: "application/geo+json" })], true);
  },
});
changes.begin(apply);

at("choose").addEventListener("change", (e) => {
  if (e.target.files.length) mapFiles([...e.target.files], false);
  e.target.value = "";
});
at("cancel").addEventListener("click", () => busy?.abort());
addEventListener("dragover", (e) => { e.preventDefault(); document.body.classList.add("dropping"); });
addEventListener("dragleave", (e) => { if (!e.relatedTarget) document.body.classList.remove("dropping"); });
addEventListener("drop", (e) => {
  e.preventDefault();
  document.body.classList.remove("dropping");
  if (e.dataTransfer.files.length) mapFiles([...e.dataTransfer.files], false);
});
addEventListener("pagehide", () => { if (answer) server.forget(answer.id); });

try {
  const start = await server.get("/v1/start");
  fleet(start.fleet);
  ground.show(start.plane, "/v1/relief.png", true, "Relief of the elevation, without zones");
} catch (e) {
  trouble(e.message);
}
