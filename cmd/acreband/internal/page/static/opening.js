// Opens what is dropped or chosen: jobs, boundaries, and files that go with them.
import * as server from "./server.js";
import * as files from "./files.js";
import * as intake from "./intake.js";
import * as job from "./job.js";
import * as ground from "./ground.js";
import * as units from "./units.js";
import { at } from "./element.js";

let page; // functions of the page

// begin takes what the page does: work, trouble, agrees, map (a boundary), apply, go (to a setting),
// and what it has: answer, boundary and refusedAt.
export function begin(hooks) { page = hooks; }

// open opens files of whatever sort.
export async function open(list) {
  if (intake.takes(list)) return;
  try {
    const saved = list.length === 1 ? await job.read(list[0]) : undefined;
    if (!saved) await takeIn(list);
    else if (await page.agrees()) await resume(saved);
  } catch (e) {
    page.trouble(e.message);
  }
}

// takeIn takes files of whatever sort: boundaries are mapped, others go to the map.
async function takeIn(list) {
  let seen = [];
  const refused = [];
  const looked = await page.work("Looking at the files", async (signal) => {
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
    const how = await page.agrees(true);
    if (how) took = await page.map({ files: how === "join" ? [...page.boundary().files, ...bounds] : bounds, drawn: false });
  } else if (page.answer() && seen.length) took = await page.apply();
  else if (seen.length) waiting();
  if (!took) files.set(before);
  if (refused.length) page.trouble([at("trouble").textContent, ...refused].filter(Boolean).join(" "));
}

// waiting says what was taken in before there is a boundary.
export function waiting() {
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
    if (!page.answer() && files.relief()?.id === own?.id) ground.show(start.plane, own ? `/v1/files/${own.id}/relief.png` : "/v1/relief.png", true, "Relief of the elevation, without zones");
    return start;
  } catch (e) {
    page.trouble(e.message);
    return undefined;
  }
}

// resume opens a job. Files that were dropped beside its boundary are asked for again, unless the
// server still keeps them.
export async function resume(saved) {
  const dropped = saved.dropped ?? [];
  units.choose(saved.setting.units);
  const kept = dropped.length > 0 && dropped.every((f) => f.id);
  if (kept) files.restore(dropped);
  else if (dropped.length && !await fetchAgain(dropped)) return;
  if (!await page.map(saved.boundary)) {
    if (!kept || page.refusedAt() !== "dropped" || !await fetchAgain(dropped) || !await page.map(saved.boundary)) return;
  }
  await page.go({ ...saved.setting, files: files.uses() });
}

// fetchAgain asks for the files of a job, and reports whether it is to be opened.
async function fetchAgain(dropped) {
  const found = await intake.missing(dropped);
  if (!found) return false;
  files.clear();
  found.forEach(files.add);
  page.trouble("");
  return true;
}

