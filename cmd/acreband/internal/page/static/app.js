// Puts the page together: one map at a time, one request at a time.
import * as server from "./server.js";
import * as ground from "./ground.js";
import * as draw from "./draw.js";
import * as changes from "./changes.js";
import * as cards from "./cards.js";
import * as history from "./history.js";
import * as job from "./job.js";
import * as files from "./files.js";
import * as lots from "./lots.js";
import * as opening from "./opening.js";
import * as curves from "./curves.js";
import * as section from "./section.js";
import { steps } from "./ladder.js";
import { report, since } from "./report.js";
import * as lines from "./lines.js";
import { wipes } from "./wipe.js";
import * as units from "./units.js";
import { at } from "./element.js";

let answer = null;
let boundary = null; // its files, and whether they were drawn
let applied = null; // the setting that the map has
let sending = ""; // the one that is asked for, as text
let only = "";
let refusedAt = ""; // the field that the last refusal was about
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
      if (busy === mine && answer) { changes.write(applied); changes.show(answer, applied); } // not overtaken by another
      return undefined;
    }
    refusedAt = e.field;
    if (!changes.trouble(e)) trouble(e.message);
    return undefined;
  } finally {
    clearTimeout(late);
    if (busy === mine) {
      busy = null;
      sending = "";
      at("busy").hidden = true;
      document.body.removeAttribute("aria-busy");
    }
  }
}

function paint(fit) {
  const query = new URLSearchParams({ rev: answer.revision });
  if (at("walking").checked) query.set("walk", "1");
  if (only) query.set("only", only);
  const path = `/v1/maps/${answer.id}/ground.png?${query}`;
  const over = wipes(answer) ? `${path}&view=${at("wiping").value}` : "";
  ground.show(answer.plane, path, fit, `Zones of ${answer.name} on relief. ${answer.says}`, over);
}

// show shows an answer to the setting that was sent; undefined is what a boundary gives.
function show(a, sent) {
  const before = answer;
  answer = a;
  units.show(a.units);
  if (!sent) {
    only = "";
    changes.fresh(a);
    ground.unmark();
  }
  report(a, ground.mark);
  at("taking").prepend(at("loaded"));
  since(a, before);
  showCards(!sent);
  changes.show(a, sent);
  applied = sent ?? { ...asked(), units: a.units };
  steps(a, applied, changes.stand);
  curves.show(a);
  section.show(a, !sent);
  paint(!sent);
  ground.name(a.labels);
  lines.show(a);
  draw.tell(a.put);
  if (sent && before.units !== a.units && !at("spot-note").hidden) ask(asking);
  lots.show(a);
  if (!sent) at("answer").focus({ preventScroll: true });
}

function showCards(fresh) {
  cards.show(answer, fresh, only, { field: changes.limitField, only: (band) => { only = band; showCards(false); paint(false); focusKey(band); } });
}

// focusKey keeps the keyboard where it was: keys are made anew.
let lastKey = "";
function focusKey(band) {
  lastKey = band || lastKey;
  document.querySelector(`[data-band="${lastKey}"] .key`)?.focus();
}

// asked is what the page asks of the map.
function asked() {
  const set = changes.setting();
  if (draw.places.length) set.site = { type: "FeatureCollection", features: draw.places };
  if (files.uses().length) set.files = files.uses();
  set.units = units.asked();
  return JSON.parse(JSON.stringify(set));
}

// agrees asks before a boundary takes the place of the one that is mapped. With addable it may give
// "join": the lots of both are wanted.
function agrees(addable = false) {
  if (!answer) return Promise.resolve(true);
  const box = at("replacing");
  at("replacing-says").textContent = `Replace ${answer.name}? Its limits, its crew and what is drawn on it go with it. Save the job first to keep them.`;
  at("join").hidden = !addable || boundary.drawn;
  return new Promise((done) => {
    const says = (yes) => () => { box.close(); done(yes); };
    at("replace").onclick = says(true);
    at("join").onclick = says("join");
    at("keep").onclick = says(false);
    box.oncancel = () => done(false);
    box.showModal();
    at("keep").focus();
  });
}

// mapBoundary reports whether a boundary is mapped.
async function mapBoundary(b) {
  draw.stop();
  at("spot-note").hidden = true;
  const a = await work("Mapping the parcel", async (signal, tell) => {
    const map = () => server.mapFiles(b.files, b.drawn, files.uses(), units.asked(), signal, tell);
    try {
      return await map();
    } catch (e) {
      if (e.field !== "dropped" || !await files.again({}, signal)) throw e;
      return map();
    }
  });
  if (!a) return unswitched();
  if (answer) server.forget(answer.id);
  boundary = b;
  at("move-corners").hidden = !b.drawn;
  draw.set([]);
  history.clear();
  show(a);
  keep();
  if (units.asked() !== a.units) apply(); // switched meanwhile
  return true;
}

// unswitched puts the switch of units back to what the page is told in, where nothing else is under
// way; it gives false.
function unswitched() {
  if (!busy) units.choose(units.now.key);
  return false;
}

// go has the map be as a setting says, and reports whether it is.
async function go(set) {
  changes.write(set);
  draw.set(set.site?.features ?? []);
  files.set(set.files);
  if (await apply(false)) return true;
  changes.write(applied);
  draw.set(applied.site?.features ?? []);
  files.set(applied.files);
  return false;
}

// apply sends what the page asks of the map, where that is new; false where it was refused.
async function apply(step = true) {
  if (!answer) return false;
  const id = answer.id;
  const set = asked();
  const text = JSON.stringify(set);
  if (text === sending || !sending && text === JSON.stringify(applied)) return true;
  sending = text;
  const a = await work("Mapping it again", (signal, tell) => { sending = text; return change(set, signal, tell); });
  if (!a || answer?.id !== id) return unswitched();
  show(a, set);
  keep(step);
  return true;
}

// change has the map be as a setting says. One that the server has forgotten is made anew, and so are
// the files that it forgot.
async function change(set, signal, tell) {
  let { id } = answer;
  for (let tries = 1; ; tries++) {
    try {
      if (!id) ({ id } = await server.mapFiles(boundary.files, boundary.drawn, set.files ?? [], set.units, signal, tell));
      return await server.change(id, set, signal, tell);
    } catch (e) {
      if (tries > 2 || !e.gone && e.field !== "dropped") throw e;
      if (e.gone) id = "";
      else if (!await files.again(set, signal)) throw e;
    }
  }
}

// revive makes a map anew that the server has forgotten, and reports whether it is there.
async function revive() {
  const set = applied;
  const a = await work("Mapping it again", (signal, tell) => change(set, signal, tell));
  if (a) show(a, set);
  return Boolean(a);
}

// keep remembers the map as it stands, as a step to go back to unless it is one.
async function keep(step = true) {
  if (step) history.add(applied);
  at("undo").disabled = !history.canUndo();
  at("redo").disabled = !history.canRedo();
  const { revision } = answer;
  await job.remember(await job.make(boundary, applied, files.kept(true)));
  document.body.dataset.remembered = revision;
}

async function travel(back) {
  if (!(back ? history.canUndo() : history.canRedo())) return;
  if (!await go(back ? history.undo() : history.redo())) return;
  history.moved(back);
  keep(false);
}

// fetched is what the server says of the map; undefined where it says why not.
async function fetched(path) {
  try {
    return await server.get(`/v1/maps/${answer.id}/${path}`);
  } catch (e) {
    if (e.gone && await revive()) return fetched(path);
    trouble(e.message);
    return undefined;
  }
}

let asking = null; // the spot that was asked for last

async function ask(spot) {
  if (!answer) return;
  asking = spot;
  ground.mark(spot, "here", false);
  try {
    const said = await server.get(`/v1/maps/${answer.id}/spot?lon=${spot[0]}&lat=${spot[1]}`);
    at("spot").replaceChildren(...said.words.map((w) => Object.assign(document.createElement("span"), { textContent: w })));
  } catch (e) {
    if (e.gone && await revive()) return ask(spot);
    at("spot").textContent = e.message;
  }
  at("spot-note").hidden = false;
}

draw.begin({
  ask: (spot) => section.takes(spot) || ask(spot),
  placed: apply,
  drawn: async (area, moved) => {
    if (!moved && !await agrees()) return;
    const lot = { type: "FeatureCollection", features: [{ type: "Feature", properties: { lot: "Drawn parcel" }, geometry: area }] };
    const b = { files: [new File([JSON.stringify(lot)], "drawn.geojson", { type: "application/geo+json" })], drawn: true };
    if (moved) opening.resume({ boundary: b, setting: applied });
    else mapBoundary(b);
  },
});
section.begin({ get: fetched });
lines.begin();
changes.begin(() => apply());
opening.begin({ work, trouble, agrees, apply, go, map: mapBoundary, answer: () => answer, boundary: () => boundary, refusedAt: () => refusedAt });
files.begin({
  changed: () => { if (!answer) opening.waiting(); return answer ? apply() : true; },
  refused: (e) => trouble(e.message),
  swapped: (id, other) => { history.swap(id, other); if (answer && applied) keep(false); },
});
curves.begin({
  ask: (says, path) => work(says, (signal) => server.get(`/v1/maps/${answer.id}/${path}`, signal)),
  set: (id, text) => {
    at(id).value = text;
    at(id).dispatchEvent(new Event("change", { bubbles: true }));
  },
});
at("zones").addEventListener("change", (e) => curves.follow(e.target));

at("choose").addEventListener("change", (e) => {
  const files = [...e.target.files];
  e.target.value = "";
  if (files.length) opening.open(files);
});
at("move-corners").addEventListener("click", async (e) => {
  const button = e.currentTarget;
  draw.move(JSON.parse(await boundary.files[0].text()).features[0].geometry.coordinates[0], button);
});
for (const look of [at("walking"), at("wiping")]) look.addEventListener("change", (e) => { e.stopPropagation(); paint(false); });
at("units").addEventListener("change", () => {
  job.rememberUnits(units.asked());
  if (answer) apply();
  else units.show(units.asked());
});
at("cancel").addEventListener("click", () => busy?.abort());
at("undo").addEventListener("click", () => travel(true));
at("redo").addEventListener("click", () => travel(false));
at("save-job").addEventListener("click", async () => job.save(await job.make(boundary, applied, files.kept()), answer.name));
at("start-over").addEventListener("click", async () => { if (await agrees()) { files.clear(); await job.forget(); location.reload(); } });
at("spot-close").addEventListener("click", () => { at("spot-note").hidden = true; ground.unmark(); at("map").focus(); });
addEventListener("keydown", (e) => {
  if (!(e.ctrlKey || e.metaKey) || e.key.toLowerCase() !== "z" || e.target.matches("input:not([type=radio], [type=checkbox])")) return;
  e.preventDefault();
  travel(!e.shiftKey);
});
addEventListener("dragover", (e) => { e.preventDefault(); document.body.classList.add("dropping"); });
addEventListener("dragleave", (e) => { if (!e.relatedTarget) document.body.classList.remove("dropping"); });
addEventListener("drop", (e) => {
  e.preventDefault();
  document.body.classList.remove("dropping");
  if (e.dataTransfer.files.length) opening.open([...e.dataTransfer.files]);
});
addEventListener("pagehide", () => { if (answer) server.forget(answer.id); files.leave(); });

// Where there is little room, and on paper, what makes the map void stands above it, not on
// it; and the answer stays in sight with the map.
const narrow = matchMedia("print, (max-width: 52rem), (max-height: 34rem)");
const settle = () => {
  (narrow.matches ? at("answer") : at("map").parentElement).append(at("beside"));
  if (narrow.matches) at("place").prepend(at("says"));
  else at("name").after(at("says"));
};
narrow.addEventListener("change", settle);
settle();

try {
  const start = await server.get("/v1/start");
  units.begin(start.units, await job.rememberedUnits() ?? start.toldIn);
  cards.begin(start.fleet);
  ground.show(start.plane, "/v1/relief.png", true, "Relief of the elevation, without zones");
  const last = await job.remembered();
  if (last) await opening.resume(job.open(last, "the remembered job"));
} catch (e) {
  trouble(e.message);
}
