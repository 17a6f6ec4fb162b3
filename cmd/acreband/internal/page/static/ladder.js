// The ladder of crews as steps, as high as their price; the one that is stood on is chosen.
import { at, element, shape } from "./element.js";
import * as units from "./units.js";

let free = null; // the ladder while the plan chose, and the setting it is of

// steps shows an answer's ladder. A crew that is fixed has a ladder of one step: while
// nothing else is changed, the steps it was chosen from stay. stand(keys) fixes a crew,
// "" leaves the choice to the plan.
export function steps(a, setting, stand) {
  const ladder = a.crew?.ladder ?? [];
  const fixed = a.terms?.bring.some((m) => m.comes);
  const { bring, view, ...rest } = setting;
  const of = JSON.stringify(rest);
  if (!fixed) free = { of, id: a.id, ladder };
  let shown = ladder;
  const on = ladder.find((r) => r.chosen);
  if (fixed && on && free?.of === of && free.id === a.id && free.ladder.some((r) => same(r, on))) {
    shown = free.ladder.map((r) => ({ ...r, chosen: same(r, on) }));
  }
  const dearest = Math.max(...shown.map((r) => r.at[1])) || 1;
  at("steps").replaceChildren(...shown.map((r) => {
    const b = element("button", { type: "button", "aria-pressed": String(r.chosen), class: r.chosen && "chosen", title: `${r.crew}: ${r.days}` },
      element("b", {}, r.price), `${r.acres} ${units.now.shortArea}`, element("span", {}, r.crew));
    b.style.height = `${40 + 60 * r.at[1] / dearest}%`;
    b.addEventListener("click", () => stand(r.keys.join(",")));
    return element("li", {}, b);
  }));
  if (fixed) {
    const b = element("button", { type: "button" }, "Let the plan choose");
    b.addEventListener("click", () => stand(""));
    at("steps").append(element("li", {}, b));
  }
}

const same = (a, b) => [...a.keys].sort().join() === [...b.keys].sort().join();

// range draws the low, middle and high price of a rung against the dearest.
export function range(spread, price, most) {
  const x = (usd) => (4 + 136 * usd / most).toFixed(1);
  return shape("svg", { class: "range", viewBox: "0 0 144 12", "aria-hidden": "true" },
    shape("line", { x1: x(spread[0]), x2: x(spread[1]), y1: 6, y2: 6 }),
    shape("line", { x1: x(spread[0]), x2: x(spread[0]), y1: 1, y2: 11 }), shape("line", { x1: x(spread[1]), x2: x(spread[1]), y1: 1, y2: 11 }),
    shape("rect", { x: x(price) - 3, y: 3, width: 6, height: 6 }));
}
