// Takes in whatever is dropped: tells what each file is, and asks where that is not clear.
import * as server from "./server.js";
import * as files from "./files.js";
import { at, element } from "./element.js";

const beside = /\.(shp|shx|dbf|prj|cpg|tfw|tifw)$/i;
const stem = (name) => name.replace(/\.[^.]*$/, "");

// things parts files into those that belong together: a shapefile, a raster and what places it.
export function things(list) {
  const out = [];
  for (const f of list) {
    const mates = out.find((t) => stem(t[0].name) === stem(f.name) && (beside.test(f.name) || t.every((x) => beside.test(x.name))));
    if (mates) mates.push(f);
    else out.push([f]);
  }
  return out;
}

// ask shows a dialog until one of its buttons is pressed, and gives that button's value, "" where it
// was closed.
function ask(id, first) {
  const box = at(id);
  return new Promise((done) => {
    box.onclose = () => done(box.returnValue);
    box.returnValue = "";
    box.showModal();
    at(first)?.focus();
  });
}

// look tells what a thing is. Where a raster does not say its unit or where it lies, that is asked
// for; undefined where it is left out then.
export async function look(thing, signal) {
  const said = {};
  for (;;) {
    try {
      const seen = await server.look(thing, said, signal);
      return { ...seen, files: thing, said };
    } catch (e) {
      const field = { "file-unit": "unit", "file-crs": "crs" }[e.field];
      if (!field) throw e;
      at("saying-says").textContent = e.message;
      for (const f of ["unit", "crs"]) at(`saying-${f}`).hidden = f !== field && !said[f];
      if (await ask("saying", `file-${field}`) !== "again") return undefined;
      for (const f of ["unit", "crs"]) if (at(`file-${f}`).value) said[f] = at(`file-${f}`).value;
    }
  }
}

// compare tells, of two rasters that do not say what they are, which lies above the other and so is
// the surface, where one does.
export async function compare(seen, signal) {
  const [a, b, more] = seen.filter((f) => f.raster && !f.sure);
  if (!b || more) return;
  const { above } = await server.get(`/v1/files/${a.id}/above/${b.id}`, signal);
  const upper = { first: a, second: b }[above];
  if (!upper) return;
  for (const f of [a, b]) f.roles.sort((x) => (x === "surface") === (f === upper) ? -1 : 1);
  upper.words += ", above the other";
}

// sort asks what each of some files is, in one question; it gives them with their roles, "" for what
// is left out, and undefined where it was called off.
export async function sort(seen) {
  at("sorting-files").replaceChildren(...seen.map((f, i) => {
    const role = element("select", { id: `sort-${i}` });
    for (const r of [...f.roles, ""]) role.append(element("option", { value: r }, r ? files.words[r] : "leave it out"));
    return element("li", {}, element("label", { for: `sort-${i}` }, `${f.name} `, element("span", { class: "small" }, `${f.words}, ${files.size(f.bytes)}`)), role);
  }));
  at("sorting-says").textContent = seen.length === 1 ? "What is this file?" : "What are these files?";
  if (await ask("sorting", "sort-0") !== "use") return undefined;
  return seen.map((f, i) => ({ ...f, role: at(`sort-${i}`).value }));
}

// missing asks for the files that a job was saved with, and gives those that were found; undefined
// where the job is not to be opened, and none of them where it is to be mapped without.
export function missing(wanted) {
  const found = [];
  const left = () => wanted.filter((w) => !found.some((f) => f.sha256 === w.sha256));
  const write = (trouble = "") => {
    at("missing-files").replaceChildren(...left().map((w) => element("li", {}, `${w.name}: ${files.words[w.role]}, ${files.size(w.bytes)}`)));
    at("missing-trouble").hidden = !trouble;
    at("missing-trouble").textContent = trouble;
  };
  taking = async (list) => {
    let trouble = "";
    for (const thing of things(list)) {
      const w = left().find((x) => thing.some((f) => f.name === x.name)) ?? left()[0];
      try {
        const seen = await server.look(thing, w?.said);
        const is = left().find((x) => x.sha256 === seen.sha256);
        if (is) found.push({ ...seen, files: thing, said: is.said, role: is.role });
        else {
          server.forgetFile(seen.id);
          trouble = `${seen.name} is not a file that the job was saved with, or was changed since.`;
        }
      } catch (e) {
        trouble = e.message;
      }
    }
    write(trouble);
    if (left().length === 0) at("missing").close("found");
  };
  write();
  return ask("missing", "missing-choose").then((how) => {
    taking = undefined;
    if (how === "found") return found;
    for (const f of found) server.forgetFile(f.id);
    return how === "without" ? [] : undefined;
  });
}

let taking; // takes what is dropped while files of a job are asked for

// takes reports whether what was dropped is for a question that stands open.
export function takes(list) {
  if (taking) taking(list);
  return Boolean(taking) || document.querySelector("dialog[open]") !== null;
}

at("missing-choose").addEventListener("change", (e) => {
  const list = [...e.target.files];
  e.target.value = "";
  if (list.length) taking?.(list);
});
