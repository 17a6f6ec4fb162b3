// Files that were dropped beside the boundary: what each is to the map, and the list of them.
import * as server from "./server.js";
import { at, element } from "./element.js";

export const words = {
  ground: "elevation of the ground", surface: "surface: tops of trees and roofs", boundary: "boundary: lots of this job",
  site: "site: what is on the ground", staging: "staging: where the trailer unloads", travel: "ground to travel over",
  "as:no-go": "no-go: closed to machines", "as:overhead-line": "overhead power lines", "as:water": "water", "as:road": "roads", "as:path": "paths", "as:railway": "railways",
  "as:pipeline": "buried pipelines or cables", "as:building": "buildings", "as:tower": "towers, masts or poles", "as:leave-tree": "trees that stay", "as:people": "places of people", "as:cliff": "edges of cliffs or banks",
};
export const size = (bytes) => (bytes < 1e6 ? `${Math.max(1, Math.round(bytes / 1e3))} kB` : `${(bytes / 1e6).toFixed(1)} MB`);

let all = []; // { id, name, bytes, sha256, roles, words, role: "" where it is left out, files, said }
let told; // functions of the page

// begin takes changed, which maps anew, refused, which is told an error, and swapped, which is told
// the id of a file that is gone, and the one it has instead.
export function begin(hooks) { told = hooks; }

// uses are the files that the map is to have, as a setting names them.
export const uses = () => all.filter((f) => f.role).map(({ id, role }) => ({ id, role }));

export const named = () => all.filter((f) => f.role).map((f) => `${f.name} (${words[f.role]})`);

export function add(f) {
  all.push(f);
  list();
}

// relief is the elevation that is in use, to draw a boundary on; undefined for none.
export const relief = () => all.find((f) => f.role === "ground");

// set gives files the roles that a setting gives them; those it does not name are left out.
export function set(used = []) {
  for (const f of all) f.role = used.find((u) => u.id === f.id)?.role ?? "";
  list();
}

// kept are the files in use as a job keeps them: what they are, not what they hold.
export const kept = (withId) => all.filter((f) => f.role).map(({ id, name, bytes, sha256, roles, words, role, said }) =>
  ({ name, bytes, sha256, role, ...(said && { said }), ...(withId && { id, roles, words }) }));

// restore lists files of a job that the server may still keep.
export function restore(files) {
  all = files.map((f) => ({ ...f }));
  list();
}

// again sends files anew that the server no longer keeps, and puts their new names into a setting;
// false where some are not at hand.
export async function again(setting, signal) {
  if (!all.every((f) => f.files)) return false;
  const ids = {};
  for (const f of all) {
    const seen = await server.look(f.files, f.said, signal);
    told.swapped(f.id, seen.id);
    ids[f.id] = seen.id;
    f.id = seen.id;
  }
  if (setting.files) setting.files = setting.files.map((u) => ({ ...u, id: ids[u.id] ?? u.id }));
  return true;
}

export function clear() {
  for (const f of all) server.forgetFile(f.id);
  all = [];
  list();
}

// leave tells the server that the page goes, which may only be to come back.
export function leave() { for (const f of all) server.forgetFile(f.id, true); }

async function change(f, role) {
  const was = f.role;
  f.role = role;
  if (!await told.changed()) f.role = was;
  list();
}

// say reads a raster anew with another unit of heights.
async function say(f, unit) {
  const { id, said } = f;
  try {
    const seen = await server.look(f.files, { ...said, unit });
    Object.assign(f, { id: seen.id, words: seen.words, said: { ...said, unit } });
  } catch (e) {
    told.refused(e);
  }
  const now = f.id;
  if (now !== id) {
    const took = !f.role || await told.changed();
    if (took) told.swapped(id, now);
    else Object.assign(f, { id, said });
    server.forgetFile(took ? id : now);
  }
  list();
}

async function remove(f) {
  if (f.role) {
    await change(f, "");
    if (f.role) return; // the map needs it
  }
  all.splice(all.indexOf(f), 1);
  server.forgetFile(f.id);
  told.swapped(f.id);
  list();
  at("loaded-title").focus();
}

function list() {
  at("loaded").hidden = all.length === 0;
  at("loaded-files").replaceChildren(...all.map((f) => {
    const id = `role-${f.id}`;
    const role = element("select", { id });
    for (const r of [...f.roles.filter((x) => x !== "boundary"), ""]) {
      const option = element("option", { value: r }, words[r] ?? "leave it out");
      option.selected = r === f.role;
      role.append(option);
    }
    role.addEventListener("change", (e) => { e.stopPropagation(); change(f, role.value); });
    const unit = f.files && (f.assumed || f.said?.unit) ? units(f) : [];
    const gone = element("button", { type: "button", "aria-label": `Remove ${f.name}` }, "Remove");
    gone.addEventListener("click", () => remove(f));
    return element("li", {}, element("label", { for: id }, `${f.name} `, element("span", { class: "small" }, `${f.words}, ${size(f.bytes)}`)), element("div", { class: "row" }, role, gone), ...unit);
  }));
}

function units(f) {
  const id = `unit-${f.id}`;
  const unit = element("select", { id });
  for (const [value, text] of [["m", "meters"], ["us-ft", "US survey feet"], ["ft", "feet"]]) {
    const option = element("option", { value }, text);
    option.selected = value === (f.said?.unit || "m");
    unit.append(option);
  }
  unit.addEventListener("change", (e) => { e.stopPropagation(); say(f, unit.value); });
  return [element("label", { for: id, class: "small" }, "Heights are in"), unit];
}
