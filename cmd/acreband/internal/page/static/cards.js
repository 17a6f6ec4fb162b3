// The strip of machine cards: key, figures and controls of each machine in one place.
import { at, element } from "./element.js";
import { percent } from "./slope.js";
import * as units from "./units.js";

let machines = []; // of the fleet, as the server was started

const tallest = 44, widest = 150; // dots of a wedge

// begin shows the fleet before anything is mapped.
export function begin(fleet) {
  machines = fleet.filter((b) => b.machine);
  at("zones").replaceChildren(...machines.map((m) => {
    const card = shell(m.band, m.name, m.limit);
    card.querySelector(".body").append(element("span", { class: "small" }, `up to ${m.limit}`));
    return card;
  }));
}

function shell(band, name, limit) {
  const key = element("div", { class: "key" });
  if (limit) key.append(wedge(band, limit));
  return element("li", { class: "card", "data-band": band }, key, element("div", { class: "body" }, element("h4", {}, element("span", {}, name))));
}

// wedge is ground of a band as steep as a limit, to scale.
function wedge(band, limit) {
  const w = element("span", { class: "wedge" });
  w.style.backgroundImage = `url(/v1/swatches/${band})`;
  steepen(w, limit);
  return w;
}

function steepen(w, limit) {
  const rise = percent(limit) / 100;
  if (!(rise > 0)) return;
  const base = Math.min(widest, tallest / rise);
  w.style.width = `${base}px`;
  w.style.height = `${base * rise}px`;
  w.style.clipPath = "polygon(0 100%, 100% 0, 100% 100%)";
}

// show makes the cards of an answer: machines first, then the ground of none. A field that
// stands already is kept, with what is typed in it.
export function show(a, fresh, only, hooks) {
  const rows = new Map(a.zones.map((z) => [z.band, z]));
  if (fresh) at("zones").replaceChildren();
  const cards = machines.map((m) => machineCard(a, m, rows.get(m.band), only, hooks));
  const rest = a.zones.filter((z) => !z.machine).map((z) => plainCard(z, only, hooks));
  for (const old of at("zones").querySelectorAll(".plain")) old.remove();
  at("zones").append(...cards.filter((c) => !c.parentElement), ...rest);
}

function keyButton(band, name, inside, only, hooks, ground) {
  const b = element("button", { type: "button", class: "key", "aria-pressed": String(only === band), "aria-label": `Show only this: ${name}`, disabled: !ground }, inside);
  if (ground) b.append(element("span", { class: "says-only" }, only === band ? "shown alone" : "show only"));
  b.addEventListener("click", () => hooks.only(only === band ? "" : band));
  return b;
}

function machineCard(a, m, z, only, hooks) {
  const limits = a.limits.filter((l) => l.machine === m.band);
  const along = limits.find((l) => l.on === a.ground)?.value ?? z?.limit ?? m.limit;
  let card = at("zones").querySelector(`[data-band="${m.band}"]`);
  if (!card) {
    card = shell(m.band, m.name);
    const body = card.querySelector(".body");
    const now = element("div", { class: "now" }, element("div", { class: "figures" }));
    const notes = element("div", { class: "notes" });
    if (a.terms) {
      now.append(element("label", { class: "tick" }, element("input", { type: "checkbox", name: "bring", value: m.band, "aria-label": `Bring ${m.name}` }), "bring"));
    }
    const fields = limits.map((l) => hooks.field(l));
    body.append(now, notes, ...fields.map((f) => f.waits), element("div", { class: "held" }, ...fields.map((f) => f.field)));
  }
  card.classList.toggle("away", !z?.ground);
  card.querySelector(".key").replaceWith(keyButton(m.band, m.name, wedge(m.band, along), only, hooks, z?.ground));
  figures(card, z);
  return card;
}

function plainCard(z, only, hooks) {
  const card = shell(z.band, z.name);
  card.classList.add("plain");
  card.querySelector(".key").replaceWith(keyButton(z.band, z.name, element("img", { src: `/v1/swatches/${z.band}`, alt: "", class: "swatch" }), only, hooks, z.ground));
  card.querySelector(".body").append(element("div", { class: "figures" }), element("div", { class: "notes" }));
  figures(card, z);
  return card;
}

// figures sets a card's acres and what is to be known of them; z is undefined for a machine
// that is not brought.
function figures(card, z) {
  card.querySelector(".figures").replaceChildren(...z ? [element("span", { class: "acres" }, `${z.acres} ${units.now.shortArea}`), ` ${z.share}`] : [element("span", { class: "small" }, "not brought")]);
  card.querySelector(".notes").replaceChildren(...z ? [z.slopes, ...z.notes].filter(Boolean).map((n) => element("div", { class: "small" }, n)) : []);
  requestAnimationFrame(() => reach(card.querySelector(".notes")));
}

// reach lets the keyboard scroll notes that are longer than their card.
function reach(notes) {
  if (notes.scrollHeight <= notes.clientHeight) {
    for (const a of ["tabindex", "role", "aria-label"]) notes.removeAttribute(a);
    return;
  }
  notes.tabIndex = 0;
  notes.setAttribute("role", "group");
  notes.setAttribute("aria-label", "More of this ground");
}
