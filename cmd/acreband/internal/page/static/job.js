// A job is a file: the boundary and what was asked of its map. The browser remembers the
// last one.

// A job with files that were dropped beside the boundary is of version 2: it names them and their
// SHA-256, and they are to be dropped again. One that is told in other units than those of the US is of
// version 3; one that does not say is told in these.
const kind = "acreband_job", versions = [1, 2, 3];

// make gives the job as an object that JSON holds; dropped are the files beside the boundary.
export async function make(boundary, { files: _, units, ...rest }, dropped = []) {
  const setting = units === "us" ? rest : { ...rest, units };
  const files = await Promise.all(boundary.files.map(async (f) => ({ name: f.name, base64: encode(new Uint8Array(await f.arrayBuffer())) })));
  return { [kind]: units !== "us" ? 3 : dropped.length ? 2 : 1, boundary: { drawn: boundary.drawn, files }, setting, ...(dropped.length && { dropped }) };
}

function encode(bytes) {
  let text = "";
  for (let i = 0; i < bytes.length; i += 0x8000) text += String.fromCharCode(...bytes.subarray(i, i + 0x8000));
  return btoa(text);
}

// read gives { boundary, setting, dropped } of a file that is a job, undefined of another; it
// throws where a job cannot be used.
export async function read(file) {
  if (!(await file.slice(0, 4096).text()).includes(`"${kind}"`)) return undefined;
  let job;
  try {
    job = JSON.parse(await file.text());
  } catch {
    return undefined;
  }
  return job?.[kind] === undefined ? undefined : open(job, file.name);
}

export function open(job, name) {
  if (!versions.includes(job[kind])) throw new Error(`${name} is a job of version ${job[kind]}, and this page reads versions ${versions.join(", ")}: save it anew with the page it comes from`);
  const files = job.boundary?.files;
  if (!Array.isArray(files) || files.length === 0 || typeof job.setting !== "object") throw new Error(`${name} is a job without a boundary: open the boundary itself`);
  try {
    return {
      boundary: { drawn: Boolean(job.boundary.drawn), files: files.map((f) => new File([Uint8Array.from(atob(f.base64), (c) => c.charCodeAt(0))], f.name)) },
      setting: job.setting,
      dropped: Array.isArray(job.dropped) ? job.dropped : [],
    };
  } catch {
    throw new Error(`the boundary in ${name} is damaged: open the boundary itself`);
  }
}

// save offers a job as a download.
export function save(job, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(job)], { type: "application/json" }));
  link.download = `${name.replaceAll(/[^\p{L}\p{N}]+/gu, "-").replaceAll(/^-|-$/g, "") || "job"}.acreband.json`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

// store runs one request on what the browser remembers; where it may remember nothing, it
// gives undefined.
function store(mode, ask) {
  return new Promise((done) => {
    const opening = indexedDB.open("acreband", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("jobs");
    opening.onerror = () => done(undefined);
    opening.onsuccess = () => {
      const change = opening.result.transaction("jobs", mode);
      const request = ask(change.objectStore("jobs"));
      change.oncomplete = () => { opening.result.close(); done(request.result); };
      change.onabort = () => { opening.result.close(); done(undefined); };
    };
  });
}

// The units that were chosen last, for the next job.
export const rememberUnits = (key) => store("readwrite", (s) => s.put(key, "units"));
export const rememberedUnits = () => store("readonly", (s) => s.get("units"));

export const remember = (job) => store("readwrite", (s) => s.put(job, "last"));
export const remembered = () => store("readonly", (s) => s.get("last"));
export const forget = () => store("readwrite", (s) => s.delete("last"));
