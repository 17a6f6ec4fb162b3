// Sets the server's words and figures on the page.
import { at, element } from "./element.js";
import { range } from "./ladder.js";
import * as units from "./units.js";

const items = (texts) => texts.map((t) => element("li", {}, t));

function fill(id, texts, around) {
  at(id).replaceChildren(...items(texts));
  if (around) at(around).hidden = texts.length === 0;
}

// report shows an answer. show([lon, lat], words) marks a spot on the map.
export function report(a, show) {
  for (const id of ["job", "conditions", "tabs"]) at(id).hidden = false;
  at("formats").hidden = true;
  at("name").textContent = a.name;
  at("says").textContent = a.says;
  document.title = `${a.name}: which machine goes where`;
  fill("stops", a.stops, "stops");
  at("zones-title").textContent = `Which machine goes where, ${a.drawn}`;
  crew(a.crew);
  at("unloads").replaceChildren(...a.unloads.map((u) => element("li", {}, `${u.words} `, shower(u.at, "unload here?", show))));
  at("unloading").hidden = a.unloads.length === 0;
  fill("bring", a.bring);
  at("check").replaceChildren(...a.check.map((c, i) => {
    const li = element("li", {}, element("b", {}, `${c.words[0].toUpperCase()}${c.words.slice(1)}${/[.!?]$/.test(c.words) ? "" : "."}`), ` ${c.caution} `);
    if (c.at) li.append(shower(c.at, `check ${i + 1}`, show));
    return li;
  }));
  at("check-more").textContent = a.moreToCheck ? `${a.moreToCheck} more of the same kinds are in the files.` : "";
  at("files").replaceChildren(...a.files.map((f) =>
    element("li", {}, element("a", { href: `/v1/maps/${a.id}/files/${f.name}`, download: f.name }, f.name), `: ${f.words}`)));
  fill("facts", a.facts);
  fill("warnings", a.warnings.filter((w) => !a.stops.includes(w)), "warned");
  fill("assumed", a.assumed, "assuming");
  fill("cautions", a.cautions);
  plan(a.estimate);
}

function shower(spot, words, show) {
  const b = element("button", { type: "button", "aria-label": `Show it on the map: ${words}` }, "Show it");
  b.addEventListener("click", () => show(spot, words));
  return b;
}

function crew(c) {
  for (const id of ["choosing", "leaving"]) at(id).hidden = !c;
  if (!c) return;
  at("why").textContent = c.why;
  const dearest = Math.max(...c.ladder.map((r) => r.spread[1])) || 1;
  at("ladder").replaceChildren(...c.ladder.map((r) => element("tr", { "aria-current": r.chosen && "true" },
    element("th", { scope: "row" }, element("span", {}, r.crew), ...(r.left ? [element("div", { class: "small" }, `leaves ${r.left}`)] : [])),
    element("td", { class: "number acres" }, r.acres), element("td", {}, r.days),
    element("td", {}, `${r.price} (${r.range})`, range(r.spread, r.middle, dearest),
      ...(r.extra ? [element("div", { class: "small" }, r.extra)] : [])))));
  fill("waits", c.waits);
  fill("not-cleared", c.notCleared.length ? c.notCleared : ["nothing"]);
}

function plan(e) {
  at("plan").hidden = !e;
  if (!e) return;
  at("plan-says").textContent = e.says;
  fill("plan-crew", e.crew);
}

// since says what changed against the last answer; nothing of an answer of another parcel, or that
// was told in other units.
export function since(a, before) {
  const parts = before?.id === a.id && before.units === a.units ? differences(a, before) : [];
  at("since").hidden = parts.length === 0;
  at("since").textContent = `Changed: ${parts.join("; ")}.`;
}

function differences(a, before) {
  const rung = (x) => x.crew?.ladder.find((r) => r.chosen);
  const out = [];
  const add = (from, to, words) => { if (from !== to) out.push(`${from} → ${to}${words}`); };
  if (rung(a) && rung(before)) {
    add(rung(before).acres, rung(a).acres, ` ${units.now.areas}`);
    add(rung(before).days.split(" ")[0], rung(a).days.split(" ")[0], " working days");
    add(rung(before).price, rung(a).price, "");
  }
  if (out.length) return out;
  for (const z of a.zones) add(before.zones.find((b) => b.band === z.band)?.acres ?? (0).toFixed(units.now.decimals), z.acres, ` ${units.now.areas} ${z.name}`);
  return out;
}
