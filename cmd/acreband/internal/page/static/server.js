// Speaks to the server this page came from.
import { asked } from "./units.js";

const token = document.querySelector('meta[name="token"]').content;

// Refused is what the server would not do, in its words, the field to put right, and whether
// what was asked for is no longer kept there.
export class Refused extends Error {
  constructor(words, field, gone = false) {
    super(words);
    this.field = field ?? "";
    this.gone = gone;
  }
}

async function send(method, path, body, signal, headers = {}) {
  let response;
  try {
    response = await fetch(path, { method, body, signal, headers: { "X-Acreband-Token": token, ...headers } });
  } catch (e) {
    if (e.name === "AbortError") throw e;
    throw new Refused("The server cannot be reached. Is it still running?");
  }
  if (response.ok) return response;
  let said = {};
  try {
    said = await response.json();
  } catch { /* a body that is no JSON says nothing more */ }
  throw new Refused(said.error ?? `The server answered ${response.status}.`, said.field, response.status === 404);
}

export async function get(path, signal) {
  return (await send("GET", path, undefined, signal)).json();
}

// work sends a boundary or a setting and gives the answer's last line; tell is called
// with each line of progress before it.
async function work(path, body, signal, tell, headers) {
  const response = await send("POST", path, body, signal, headers);
  const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  let last;
  for (;;) {
    const { done, value } = await reader.read();
    const lines = (rest + (value ?? "")).split("\n");
    rest = lines.pop();
    for (const line of lines) {
      last = JSON.parse(line);
      if (last.error) throw new Refused(last.error, last.field);
      if (last.step) tell(last);
    }
    if (done) break;
  }
  if (!last?.id) throw new Refused("The server's answer broke off.");
  return last;
}

export function mapFiles(files, drawn, uses, units, signal, tell) {
  const form = new FormData();
  form.append("units", units);
  if (uses.length) form.append("files", JSON.stringify(uses));
  for (const f of files) form.append(drawn ? "drawn" : "boundary", f, f.name);
  return work("/v1/maps", form, signal, tell);
}

export function change(id, setting, signal, tell) {
  return work(`/v1/maps/${id}`, JSON.stringify(setting), signal, tell, { "Content-Type": "application/json" });
}

// look sends a file, in its parts, with what was said of it, and gives what it is.
export async function look(files, said, signal) {
  const form = new FormData();
  form.append("units", asked());
  for (const [name, value] of Object.entries(said ?? {})) form.append(name, value);
  for (const f of files) form.append("file", f, f.name);
  return (await send("POST", "/v1/files", form, signal)).json();
}

// forgetFile forgets a file; left says that the page of it goes, which may come back.
export function forgetFile(id, left = false) {
  fetch(`/v1/files/${id}${left ? "?left=1" : ""}`, { method: "DELETE", keepalive: true, headers: { "X-Acreband-Token": token } }).catch(() => {});
}

// forget is sent as the page goes, too.
export function forget(id) {
  fetch(`/v1/maps/${id}`, { method: "DELETE", keepalive: true, headers: { "X-Acreband-Token": token } }).catch(() => {});
}
