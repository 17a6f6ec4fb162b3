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
import * as intake from "./intake.js";
import * as curves from "./curves.js";
import * as section from "./section.js";
import { steps } from "./ladder.js";
import { report, since } from "./report.js";
import * as lines from "./lines.js";
import { wipes } from "./wipe.js";
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
  applied = sent ?? asked();
  steps(a, applied, changes.stand);
  curves.show(a);
  section.show(a, !sent);
  paint(!sent);
  ground.name(a.labels);
  lines.show(a);
  draw.list();
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

async function openFiles(list) {
  if (intake.takes(list)) return;
  try {
    const saved = list.length === 1 ? await job.read(list[0]) : undefined;
    if (!saved) await takeIn(list);
    else if (await agrees()) await resume(saved);
  } catch (e) {
    trouble(e.message);
  }
}

// takeIn takes files of whatever sort: boundaries are mapped, others go to the map.
async function takeIn(list) {
  let seen = [];
  const refused = [];
  const looked = await work("Looking at the files", async (signal) => {
    for (const thing of intake.things(list)) {
      try {
        const one = await intake.look(thing, signal);
        if (one) seen.push(one);
      } catch (e) {
        if (e.name === "AbortError") throw e;
        refused.push(e.message);
      }
    }
    await intake.compare(seen, signal);
    return true;
  });
  if (!looked) return seen.forEach((f) => server.forgetFile(f.id));
  const outlines = seen.filter((f) => f.roles[0] === "boundary").length;
  const unclear = seen.filter((f) => !f.sure || f.roles[0] === "boundary" && outlines > 1);
  for (const f of seen) f.role = f.roles[0];
  if (unclear.length) {
    const sorted = await intake.sort(unclear);
    for (const [i, f] of unclear.entries()) f.role = sorted?.[i].role ?? "";
  }
  for (const f of seen.filter((x) => !x.role || x.role === "boundary")) server.forgetFile(f.id);
  const bounds = seen.filter((f) => f.role === "boundary").flatMap((f) => f.files);
  seen = seen.filter((f) => f.role && f.role !== "boundary");
  const before = files.uses();
  seen.forEach(files.add);
  let took = true;
  if (bounds.length) {
    const how = await agrees(true);
    if (how) took = await mapBoundary({ files: how === "join" ? [...boundary.files, ...bounds] : bounds, drawn: false });
  } else if (answer && seen.length) took = await apply();
  else if (seen.length) waiting();
  if (!took) files.set(before);
  if (refused.length) trouble([at("trouble").textContent, ...refused].filter(Boolean).join(" "));
}

// waiting says what was taken in before there is a boundary.
function waiting() {
  at("machines").prepend(at("loaded"));
  const taken = files.named();
  at("says").textContent = taken.length ? `Taken in: ${taken.join(", ")}. Now open the parcel’s boundary, or draw it.` : "Open the parcel’s boundary, or draw it.";
  backdrop();
}

// backdrop shows the relief to draw a boundary on: of elevation that was dropped, or the server's.
async function backdrop() {
  const own = files.relief();
  try {
    const start = await server.get(own ? `/v1/files/${own.id}/start` : "/v1/start");
    if (!answer && files.relief()?.id === own?.id) ground.show(start.plane, own ? `/v1/files/${own.id}/relief.png` : "/v1/relief.png", true, "Relief of the elevation, without zones");
    return start;
  } catch (e) {
    trouble(e.message);
    return undefined;
  }
}

// mapBoundary reports whether a boundary is mapped.
async function mapBoundary(b) {
  draw.stop();
  at("spot-note").hidden = true;
  const a = await work("Mapping the parcel", (signal, tell) => server.mapFiles(b.files, b.drawn, files.uses(), signal, tell));
  if (!a) return false;
  if (answer) server.forget(answer.id);
  boundary = b;
  at("move-corners").hidden = !b.drawn;
  draw.set([]);
  history.clear();
  show(a);
  keep();
  return true;
}

// resume opens a job. Files that were dropped beside its boundary are asked for again, unless the
// server still keeps them.
async function resume(saved) {
  const dropped = saved.dropped ?? [];
  const kept = dropped.length > 0 && dropped.every((f) => f.id);
  if (kept) files.restore(dropped);
  else if (dropped.length && !await fetchAgain(dropped)) return;
  if (!await mapBoundary(saved.boundary)) {
    if (!kept || refusedAt !== "dropped" || !await fetchAgain(dropped) || !await mapBoundary(saved.boundary)) return;
  }
  await go({ ...saved.setting, files: files.uses() });
}

// fetchAgain asks for the files of a job, and reports whether it is to be opened.
async function fetchAgain(dropped) {
  const found = await intake.missing(dropped);
  if (!found) return false;
  files.clear();
  found.forEach(files.add);
  trouble("");
  return true;
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
  if (!a || answer?.id !== id) return false;
  show(a, set);
  keep(step);
  return true;
}

// change has the map be as a setting says. One that the server has forgotten is made anew.
async function change(set, signal, tell) {
  try {
    return await server.change(answer.id, set, signal, tell);
  } catch (e) {
    if (e.field === "dropped") {
      const anew = await files.again(set, signal);
      if (!anew) throw e;
      return server.change(answer.id, Object.assign(set, anew), signal, tell);
    }
    if (!e.gone) throw e;
    const anew = await server.mapFiles(boundary.files, boundary.drawn, [], signal, tell);
    return server.change(anew.id, set, signal, tell);
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

async function ask(spot) {
  if (!answer) return;
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
    if (moved) resume({ boundary: b, setting: applied });
    else mapBoundary(b);
  },
});
section.begin({ get: fetched });
lines.begin();
changes.begin(() => apply());
files.begin({
  changed: () => { if (!answer) waiting(); return answer ? apply() : true; },
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
  if (files.length) openFiles(files);
});
at("move-corners").addEventListener("click", async (e) => {
  const button = e.currentTarget;
  draw.move(JSON.parse(await boundary.files[0].text()).features[0].geometry.coordinates[0], button);
});
for (const look of [at("walking"), at("wiping")]) look.addEventListener("change", (e) => { e.stopPropagation(); paint(false); });
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
  if (e.dataTransfer.files.length) openFiles([...e.dataTransfer.files]);
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
  cards.begin(start.fleet);
  ground.show(start.plane, "/v1/relief.png", true, "Relief of the elevation, without zones");
  const last = await job.remembered();
  if (last) await resume(job.open(last, "the remembered job"));
} catch (e) {
  trouble(e.message);
}
