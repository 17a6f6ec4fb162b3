// Draws the ladder of crews: price over acres, a step for each rung, its range beside it.

const wide = 320, tall = 150, left = 8, right = 16, top = 18, bottom = 22;

function shape(name, attributes, text) {
  const e = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
  if (text) e.textContent = text;
  return e;
}

export function steps(svg, ladder) {
  const most = Math.max(...ladder.map((r) => r.at[0])) || 1;
  const dearest = Math.max(...ladder.map((r) => Math.max(r.at[1], r.spread[1]))) || 1;
  const x = (acres) => left + acres / most * (wide - left - right);
  const y = (usd) => tall - bottom - usd / dearest * (tall - top - bottom);
  const shapes = [shape("path", { class: "axis", d: `M${left} ${top}V${tall - bottom}H${wide - right}` })];
  let path = `M${x(0)} ${y(0)}`;
  for (const r of ladder) {
    path += `V${y(r.at[1])}H${x(r.at[0])}`;
    shapes.push(shape("path", { class: "spread", d: `M${x(r.at[0])} ${y(r.spread[0])}V${y(r.spread[1])}` }));
  }
  shapes.push(shape("path", { d: path }));
  let free = Infinity; // names are written from the right, and none over another
  for (const r of [...ladder].reverse()) {
    const [px, py] = [x(r.at[0]), y(r.at[1])];
    shapes.push(shape("rect", { class: r.chosen ? "chosen" : "", x: px - 4, y: py - 4, width: 8, height: 8 }));
    if (!r.chosen && px > free - 60) continue;
    shapes.push(shape("text", { x: px - 7, y: py - 6, "text-anchor": px < 60 ? "start" : "end" }, r.price));
    shapes.push(shape("text", { x: px, y: tall - 8, "text-anchor": "end" }, `${r.acres} ac`));
    free = px;
  }
  svg.replaceChildren(...shapes);
}
