// Draws the ground from the side, in dots: x from the line's first end, y down.
import { shape } from "./element.js";
import * as units from "./units.js";

const thick = 11; // dots: of the band of limits under the surface, and of the zones' strip
const foot = 36; // under the ground: zones and lengths
const head = 30; // over it: signs of hazards
const gap = 9; // to the left and right

// frame is where meters lie in a picture: as large as it holds the whole line, heights too tall
// by a factor.
export function frame(s, width, height, tall) {
  const known = s.heights.filter((z) => z !== null);
  const low = known.length ? Math.min(...known) : 0, high = known.length ? Math.max(...known) : 1;
  const long = s.along.at(-1);
  const room = height - head - foot - thick;
  const scale = Math.min((width - 2 * gap) / long, room / Math.max((high - low) * tall, 0.1));
  const left = (width - scale * long) / 2, base = height - foot - thick;
  return { low, high, scale, left, base, long, x: (m) => left + m * scale, y: (z) => base - (z - low) * scale * tall };
}

// pieces are the stretches of places from a first to a last that have heights.
function pieces(s, from = 0, to = s.heights.length - 1) {
  const all = [];
  let piece = [];
  for (let i = from; i <= to; i++) {
    if (s.heights[i] !== null) piece.push(i);
    if ((s.heights[i] === null || i === to) && piece.length) { all.push(piece); piece = []; }
  }
  return all;
}

const point = (x, y) => `${x.toFixed(1)} ${y.toFixed(1)}`;
const lineOf = (s, f, piece, down = 0) => piece.map((i) => point(f.x(s.along[i]), f.y(s.heights[i]) + down));

// patterns are the zones' samples and the hatching of ground without elevation. Each picture
// has its own: one that is not shown lends none.
function patterns(s, prefix) {
  const all = s.bands.map((b, i) => shape("pattern", { id: `${prefix}-${i}`, width: 192, height: 48, patternUnits: "userSpaceOnUse" },
    shape("image", { href: `/v1/swatches/${encodeURIComponent(b.key)}`, x: -8, y: -8, width: 240, height: 96 })));
  const hatch = shape("pattern", { id: "side-void", width: 8, height: 8, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
    shape("line", { class: "grid", x1: 0, x2: 0, y1: 0, y2: 8 }));
  return shape("defs", {}, ...all, ...(prefix === "side" ? [hatch] : []));
}

// ground is what lies under the surface, the band of limits, and the surface.
function ground(s, f, prefix, floor) {
  const out = [];
  for (const piece of pieces(s)) {
    const first = f.x(s.along[piece[0]]), last = f.x(s.along[piece.at(-1)]);
    out.push(shape("path", { class: "ground", d: `M${lineOf(s, f, piece).join("L")}L${point(last, floor)}L${point(first, floor)}Z` }));
  }
  for (const [from, to, band] of s.limits) {
    for (const piece of pieces(s, from, Math.min(to + 1, s.heights.length - 1))) { // up to where the next begins
      out.push(shape("path", { fill: `url(#${prefix}-${band})`, d: `M${lineOf(s, f, piece).join("L")}L${lineOf(s, f, piece, thick).toReversed().join("L")}Z` }));
    }
  }
  for (const piece of pieces(s)) out.push(shape("path", { class: "surface", d: `M${lineOf(s, f, piece).join("L")}` }));
  for (const [from, to] of s.walk) {
    for (const piece of pieces(s, from, to)) out.push(shape("path", { class: "walk", d: `M${lineOf(s, f, piece, -5).join("L")}` }));
  }
  return out;
}

const words = (x, y, text, anchor = "start") => shape("text", { x: x.toFixed(1), y: y.toFixed(1), "text-anchor": anchor }, text);

// voids are the stretches without elevation: nothing leads over them.
function voids(s, f) {
  const out = [];
  let from = -1;
  for (let i = 0; i <= s.heights.length; i++) {
    const none = i < s.heights.length && s.heights[i] === null;
    if (none && from < 0) from = i;
    if (none || from < 0) continue;
    const x = f.x(s.along[from]), to = f.x(s.along[i - 1]);
    out.push(shape("rect", { class: "void", x: x.toFixed(1), y: head, width: Math.max(to - x, 1).toFixed(1), height: f.base + thick - head }));
    if (to - x > 130) out.push(words((x + to) / 2, (head + f.base) / 2, "no elevation here", "middle"));
    else if (to - x > 24) out.push(words((x + to) / 2, (head + f.base) / 2, "?", "middle"));
    from = -1;
  }
  return out;
}

// ticks are round lengths along the line, and the lowest and highest height.
function ticks(s, f, height) {
  const u = units.now;
  const apart = 100 / f.scale / u.lengthM;
  const power = 10 ** Math.floor(Math.log10(apart));
  const step = [1, 2, 5, 10].find((n) => n * power >= apart) * power;
  const out = [];
  for (let n = 0; n * u.lengthM <= f.long + 1e-6; n += step) {
    const x = f.x(n * u.lengthM);
    out.push(shape("line", { class: "stem", x1: x.toFixed(1), x2: x.toFixed(1), y1: height - 18, y2: height - 13 }), words(x, height - 2, `${n.toLocaleString("en-US")}${n ? "" : ` ${u.length}`}`, x < 30 ? "start" : x > f.x(f.long) - 20 ? "end" : "middle"));
  }
  for (const z of f.high - f.low > 0.3 ? [f.low, f.high] : [f.low]) {
    const y = f.y(z);
    out.push(shape("line", { class: "grid", x1: f.x(0).toFixed(1), x2: f.x(f.long).toFixed(1), y1: y.toFixed(1), y2: y.toFixed(1) }), words(f.x(0) + 16, y - 4, `${Math.round(z / u.lengthM).toLocaleString("en-US")} ${u.length}`));
  }
  return out;
}

// signs stand over hazards, numbered as in the list under the picture, side by side where
// hazards lie close together.
function signs(s, f) {
  let next = -Infinity;
  return s.marks.flatMap((m, n) => {
    const foot = f.x((m.fromM + m.toM) / 2), x = Math.max(foot, next);
    next = x + 20;
    const ring = Array.from({ length: 8 }, (_, i) => { const a = Math.PI / 8 * (2 * i + 1); return point(x + 9 * Math.cos(a), 13 + 9 * Math.sin(a)); });
    const wide = shape("line", { class: "stem", x1: f.x(m.fromM).toFixed(1), x2: Math.max(f.x(m.toM), f.x(m.fromM) + 1).toFixed(1), y1: head - 4, y2: head - 4, "stroke-width": 3 });
    return [shape("line", { class: "stem", x1: x.toFixed(1), x2: foot.toFixed(1), y1: 22, y2: head - 4 }), shape("line", { class: "stem", x1: foot.toFixed(1), x2: foot.toFixed(1), y1: head - 4, y2: f.base }), wide, shape("path", { class: "mark", d: `M${ring.join("L")}Z` }), words(x, 17, String(n + 1), "middle")];
  });
}

// whole fills a picture with all of the line, and gives its frame and where the cursor goes.
export function whole(svg, s, tall) {
  const width = svg.clientWidth || 640, height = svg.clientHeight || 184;
  const f = frame(s, width, height, tall);
  const zones = s.zones.filter(([, , band]) => band >= 0).map(([from, to, band]) => {
    const x = f.x(s.along[from]), end = f.x(s.along[Math.min(to + 1, s.along.length - 1)]);
    return shape("rect", { class: "strip", fill: `url(#side-${band})`, x: x.toFixed(1), y: height - foot + 4, width: Math.max(end - x, 0.5).toFixed(1), height: thick });
  });
  const cursor = shape("g", {});
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.replaceChildren(patterns(s, "side"), ...voids(s, f), ...ground(s, f, "side", f.base + thick), ...zones, ...ticks(s, f, height), ...signs(s, f),
    words(f.x(0), 12, "A"), words(f.x(f.long), 12, "B", "end"), cursor);
  return { ...f, tall, cursor, height };
}

// point to a place of the whole line, with a machine on it.
export function place(f, s, i, machine) {
  const x = f.x(s.along[i]).toFixed(1);
  f.cursor.replaceChildren(shape("line", { class: "cursor", x1: x, x2: x, y1: head, y2: f.height - foot + 4 + thick }), ...standing(f, s, i, machine));
}

// close draws the ground around a place true to scale, three machine's lengths across or more.
export function close(svg, s, i, machine) {
  const width = svg.clientWidth || 240, height = svg.clientHeight || 184;
  const across = Math.max(3.2 * (machine?.lengthM ?? 3), 8);
  const scale = width / across, middle = s.along[i];
  const level = s.heights[i] ?? s.heights.find((z) => z !== null) ?? 0;
  const f = { scale, base: height - thick, x: (m) => width / 2 + (m - middle) * scale, y: (z) => height * 0.62 - (z - level) * scale };
  const near = s.along.reduce((ends, d, k) => (Math.abs(d - middle) < across ? [Math.min(ends[0], k), Math.max(ends[1], k)] : ends), [i, i]);
  const part = cut(s, near);
  svg.setAttribute("viewBox", `0 0 ${width} ${height}`);
  svg.replaceChildren(patterns(s, "side-near"), ...voids(part, f), ...ground(part, f, "side-near", height), ...standing({ ...f, tall: 1 }, s, i, machine),
    words(4, height - 4, `${units.length(across)} across, true to scale`));
}

// cut is a part of a section.
function cut(s, [from, to]) {
  const runs = (all) => all.filter((r) => r[0] <= to && r[1] >= from).map(([a, b, band]) => [Math.max(a, from) - from, Math.min(b, to) - from, band]);
  return { bands: s.bands, along: s.along.slice(from, to + 1), heights: s.heights.slice(from, to + 1), limits: runs(s.limits), walk: runs(s.walk) };
}

// standing is a machine as long as it is, on the ground at a place, tracks and, where the
// fleet file tells its height, what stands on them.
function standing(f, s, i, machine) {
  if (!machine) return [];
  const z = s.rests[machine.rests][2 * i], pct = s.rests[machine.rests][2 * i + 1];
  if (z === null || pct === null) return [];
  const half = machine.lengthM / 2 / Math.hypot(1, pct / 100), rise = half * pct / 100;
  const [x0, y0, x1, y1] = [f.x(s.along[i] - half), f.y(z - rise), f.x(s.along[i] + half), f.y(z + rise)];
  const long = Math.hypot(x1 - x0, y1 - y0), tracks = long * 0.22;
  const turn = `translate(${point(x0, y0)}) rotate(${(Math.atan2(y1 - y0, x1 - x0) * 180 / Math.PI).toFixed(2)})`;
  const body = machine.tallM > 0 ? [shape("path", { class: "machine", d: `M${point(long * 0.14, -tracks)}V${(-machine.tallM * f.scale * f.tall).toFixed(1)}H${(long * 0.5).toFixed(1)}L${point(long * 0.62, -tracks * 2)}H${(long * 0.92).toFixed(1)}V${(-tracks).toFixed(1)}Z` })] : [];
  return [shape("g", { transform: turn }, ...body, shape("rect", { class: "machine tracks", x: 0, y: (-tracks).toFixed(2), width: long.toFixed(2), height: tracks.toFixed(2), rx: (tracks / 2).toFixed(2) }))];
}
