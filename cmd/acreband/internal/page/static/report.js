// Sets the server's words and figures on the page.
import { steps } from "./ladder.js";

const at = (id) => document.getElementById(id);

function element(name, attributes, ...inside) {
  const e = document.createElement(name);
  for (const [k, v] of Object.entries(attributes)) if (v !== undefined && v !== false) e.setAttribute(k, v === true ? "" : v);
  e.append(...inside);
  return e;
}

const items = (texts) => texts.map((t) => element("li", {}, t));

function fill(id, texts, around) {
  at(id).replaceChildren(...items(texts));
  if (around) at(around).hidden = texts.length === 0;
}

function swatch(band) {
  return element("img", { src: `/v1/swatches/${band}`, width: 54, height: 30, alt: "", class: "swatch" });
}

export function fleet(bands) {
  at("fleet").replaceChildren(...bands.filter((b) => b.machine).map((b) => element("li", {}, swatch(b.band), ` ${b.name}, up to ${b.limit}`)));
}

// report shows an answer. hooks: only(band or "") and go([lon, lat]).
export function report(a, hooks, only) {
  at("waiting").hidden = true;
  at("mapped").hidden = at("putting").hidden = false;
  at("name").textContent = a.name;
  at("says").textContent = a.says;
  document.title = `${a.name}: which machine goes where`;
  fill("stops", a.stops, "stops");
  at("zones-title").textContent = `Which machine goes where, ${a.drawn}`;
  crew(a.crew);
  at("unloads").replaceChildren(...a.unloads.map((u) => element("li", {}, `${u.words} `, shower(u.at, hooks))));
  at("unloading").hidden = a.unloads.length === 0;
  at("zones").replaceChildren(...a.zones.map((z) => row(z, hooks, only)));
  fill("bring", a.bring);
  at("check").replaceChildren(...a.check.map((c) => {
    const li = element("li", {}, element("b", {}, `${c.words[0].toUpperCase()}${c.words.slice(1)}${/[.!?]$/.test(c.words) ? "" : "."}`), ` ${c.caution} `);
    if (c.at) {
      li.append(shower(c.at, hooks));
    }
    return li;
  }));
  at("check-more").textContent = a.moreToCheck ? `${a.moreToCheck} more of the same kinds are in the files below.` : "";
  at("files").replaceChildren(...a.files.map((f) =>
    element("li", {}, element("a", { href: `/v1/maps/${a.id}/files/${f.name}`, download: f.name }, f.name), `: ${f.words}`)));
  fill("facts", a.facts);
  fill("warnings", a.warnings.filter((w) => !a.stops.includes(w)), "warned");
  fill("assumed", a.assumed, "assuming");
  fill("cautions", a.cautions);
  plan(a.plan, a);
}

function shower(spot, hooks) {
  const b = element("button", { type: "button", class: "light" }, "Show it");
  b.addEventListener("click", () => hooks.go(spot));
  return b;
}

function crew(c) {
  at("crew").hidden = !c;
  if (!c) return;
  at("why").textContent = c.why;
  at("ladder").replaceChildren(...c.ladder.map((r) => element("tr", { "aria-current": r.chosen && "true" },
    element("th", { scope: "row" }, element("span", {}, r.crew), ...(r.left ? [element("div", { class: "small" }, `leaves ${r.left}`)] : [])),
    element("td", { class: "number acres" }, r.acres), element("td", {}, r.days),
    element("td", { class: "number" }, r.price, element("div", { class: "small" }, r.range),
      ...(r.extra ? [element("div", { class: "small" }, `${r.extra} each extra acre`)] : [])))));
  fill("waits", c.waits);
  fill("not-cleared", c.notCleared.length ? c.notCleared : ["nothing"]);
  steps(at("steps"), c.ladder);
}

function row(z, hooks, only) {
  const show = element("button", { type: "button", class: "light", "aria-pressed": String(only === z.band), "aria-label": `Show only this: ${z.name}` }, "Show only this");
  show.addEventListener("click", () => hooks.only(only === z.band ? "" : z.band));
  const notes = [z.limit && `held to ${z.limit}`, z.slopes, ...z.notes].filter(Boolean).map((n) => element("div", { class: "small" }, n));
  return element("tr", { "data-band": z.band },
    element("th", { scope: "row" }, swatch(z.band), element("span", {}, z.name), ...notes, ...(z.ground ? [show] : [])),
    element("td", { class: "number acres" }, z.acres), element("td", { class: "number" }, z.share));
}

const money = (v) => `$${Math.round(v).toLocaleString("en-US")}`;

function plan(p, a) {
  at("plan").hidden = !p;
  if (!p) return;
  const best = p.options[0];
  const named = Object.fromEntries(a.zones.map((z) => [z.band, z.name]));
  at("plan-says").textContent = best
    ? `An estimate, not a quote: ${best.working_days} working days, cost ${money(best.ranges.cost_usd.p10)} to ${money(best.ranges.cost_usd.p90)}, price about ${money(best.price_usd)}${best.left_standing_acres >= 0.05 ? `; ${best.left_standing_acres.toFixed(1)} acres are left standing` : ""}.`
    : "What grows there was not given, so there is no price: the hours below are for each class of growth.";
  const crew = best
    ? best.crew.map((c) => `${c.count} × ${named[c.machine] ?? c.machine}: ${c.net_acres.toFixed(1)} acres in ${c.scheduled_hours.toFixed(0)} hours`)
    : (p.by_cover ?? []).map((c) => `${c.cover}: ${c.crew.map((k) => named[k] ?? k).join(", ")}, ${c.scheduled_hours.toFixed(0)} hours, ${c.working_days} days`);
  fill("plan-crew", crew);
}
