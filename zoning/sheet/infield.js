"use strict";
(() => {
  const METERS_PER_FOOT = 0.3048;
  const metric = document.body.dataset.units === "metric";
  const length = (meters) => metric ? Math.round(meters).toLocaleString("en-US") + " m"
    : Math.round(meters / METERS_PER_FOOT).toLocaleString("en-US") + " ft";
  const say = (place, words) => { if (place.textContent !== words) place.textContent = words; };

  // Where one stands.
  const place = document.getElementById("place-on-map");
  const button = place.querySelector("button");
  const standing = document.getElementById("standing");
  const mark = document.querySelectorAll("#standing-mark circle");
  // Where ground lies far apart, the map is several, each of its own scale.
  const panes = [...place.querySelectorAll(".pane")].map((pane) =>
    Object.fromEntries(Object.entries(pane.dataset).map(([name, value]) => [name, Number(value)])));
  const onPane = (map, lon, lat) => {
    const east = ((lon - map.lon + 540) % 360 + 360) % 360 - 180;
    return [map.x + east * map.perLon, map.y - (lat - map.lat) * map.perLat];
  };
  const paneOf = (lon, lat) => panes.find((map) => inFrame(map, onPane(map, lon, lat)));
  // Outlines are written as corners: the first of a ring by its place, the others by the way from the last.
  const ringsOf = (data) => {
    const rings = [];
    let x = 0, y = 0;
    for (const [, how, dx, dy] of data.matchAll(/([Ml])(-?[\d.]+)[ ,]?(-?[\d.]+)/g)) {
      if (how === "M") { rings.push([]); x = 0; y = 0; }
      x += Number(dx);
      y += Number(dy);
      rings[rings.length - 1].push([x, y]);
    }
    return rings;
  };
  const inFrame = (map, [x, y]) => x >= map.left && x <= map.left + map.width && y >= map.top && y <= map.top + map.height;
  const zones = [...document.querySelectorAll(".zone")].map((zone) => {
    const lines = zone.dataset.numbers.split("\n"), rings = ringsOf(zone.getAttribute("d"));
    const limit = lines.find((line) => line.startsWith("limit: "));
    return { numbers: zone.dataset.numbers, short: limit ? lines[0] + " (" + limit + ")" : lines[0], rings,
      pane: panes.length < 2 ? panes[0] : panes.find((map) => rings.length && inFrame(map, rings[0][0])) };
  });
  const edges = function* (zone) {
    for (const ring of zone.rings) for (let i = 0; i < ring.length; i++) yield [ring[i], ring[(i + 1) % ring.length]];
  };
  const holds = (zone, [x, y]) => {
    let inside = false;
    for (const [[ax, ay], [bx, by]] of edges(zone)) {
      if (ay > y !== by > y && x < ax + (bx - ax) * (y - ay) / (by - ay)) inside = !inside;
    }
    return inside;
  };
  const reaches = (zone, [x, y], reach) => {
    for (const [[ax, ay], [bx, by]] of edges(zone)) {
      const dx = bx - ax, dy = by - ay, long = dx * dx + dy * dy;
      const along = long ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / long)) : 0;
      if (Math.hypot(ax + along * dx - x, ay + along * dy - y) <= reach) return true;
    }
    return false;
  };
  const outsideNear = ([x, y], reach) => [...Array(32).keys()].some((i) => {
    const at = [x + reach * Math.cos(i * Math.PI / 16), y + reach * Math.sin(i * Math.PI / 16)];
    return !zones.some((zone) => holds(zone, at));
  });
  const checks = [...document.querySelectorAll("#readings .check")];
  const nearestCheck = (map, lon, lat) => {
    const [x, y] = onPane(map, lon, lat);
    let best = null;
    for (const check of checks) {
      const [cx, cy] = onPane(map, Number(check.dataset.lon), Number(check.dataset.lat));
      const away = Math.hypot(cx - x, cy - y) * map.meters;
      if (!best || away < best.away) best = { id: check.dataset.id, away, bearing: Math.atan2(cx - x, y - cy) };
    }
    if (!best) return [];
    const wind = ["north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest"][(Math.round(best.bearing / (Math.PI / 4)) + 8) % 8];
    return ["Nearest check: " + best.id + ", " + length(best.away) + " " + wind];
  };
  const draw = ([x, y], reach) => {
    mark.forEach((circle, i) => {
      circle.setAttribute("cx", x);
      circle.setAttribute("cy", y);
      circle.setAttribute("r", i ? (reach ? 5 : 0) : reach);
    });
  };
  const found = ({ coords }) => {
    const shown = paneOf(coords.longitude, coords.latitude), map = shown || panes[0];
    const at = onPane(map, coords.longitude, coords.latitude);
    const reach = coords.accuracy / map.meters + map.blur;
    const here = zones.filter((zone) => zone.pane === map && holds(zone, at));
    const maybe = zones.filter((zone) => zone.pane === map && !here.includes(zone) && reaches(zone, at, reach)).map((zone) => zone.short);
    if (here.length && outsideNear(at, reach)) maybe.push("ground outside the map, of which it says nothing");
    const words = here.length ? here.map((zone) => "You stand in: " + zone.numbers) :
      ["You stand outside the zones of this map. It says nothing of the ground here."];
    if (here.length) words.push("The slope right where you stand is not in this sheet: these figures are the whole zone's. Measure it.");
    words.push("The position is good to about " + length(coords.accuracy) + ".");
    if (maybe.length) words.push("So you may as well stand in: " + [...new Set(maybe)].join("; ") + ". Go by the strictest.");
    say(standing, [...words, ...nearestCheck(map, coords.longitude, coords.latitude)].join("\n"));
    if (shown || panes.length < 2) draw(at, reach);
    else draw([0, 0], 0);
  };
  const failed = (error) => {
    draw([0, 0], 0);
    say(standing, {
      1: "No position: the browser may not give it. Allow this page the location in the browser's settings, and in the phone's, then try again.",
      2: "No position: the phone found none. Stand clear of trees and cliffs, and see that its location is turned on.",
    }[error.code] || "No position yet: the phone takes long. Stand clear of trees and cliffs.");
  };
  let watch = null;
  button.addEventListener("click", () => {
    if (watch === null) {
      say(standing, "Asking the phone where it is …");
      button.textContent = "Stop showing where I am";
      watch = navigator.geolocation.watchPosition(found, (error) => {
        failed(error);
        if (error.code === 1) stop();
      }, { enableHighAccuracy: true, maximumAge: 0, timeout: 30000 });
      return;
    }
    stop();
    draw([0, 0], 0);
    say(standing, "");
  });
  const stop = () => {
    navigator.geolocation.clearWatch(watch);
    watch = null;
    button.textContent = "Show where I am";
  };
  if (!window.isSecureContext || !navigator.geolocation) {
    button.hidden = true;
    say(standing, "This browser gives no position here. It gives one to a file saved on the phone, or to a page whose address begins with https. Save this sheet on the phone and open it there.");
  }
  place.hidden = false;

  // Readings, kept by the browser under the job and the check.
  const readings = document.getElementById("readings");
  if (!readings) return;
  const state = document.getElementById("readings-state");
  const fields = (check) => [...check.querySelectorAll("input")];
  const keyOf = (check) => "acreband reading " + readings.dataset.job + " " + check.dataset.id;
  const slopeOf = (words) => {
    const read = /^(\d+\.?\d*|\.\d+)[ \t]*(%|deg|°)$/.exec(words.trim());
    if (!read) return null;
    const value = Number(read[1]), percent = read[2] === "%";
    if (!Number.isFinite(value) || !percent && value >= 90) return null;
    return { words: read[1] + (percent ? "%" : "deg"), pct: percent ? value : Math.round(100 * Math.tan(value * Math.PI / 180) * 1e9) / 1e9 };
  };
  // The words on a slope that was typed; whether it can be read stands on its field.
  const judge = (check) => {
    const [slope] = fields(check), told = check.querySelector(".told"), typed = slope.value.trim();
    const read = slopeOf(typed);
    slope.toggleAttribute("aria-invalid", false);
    if (!typed) return say(told, "");
    if (!read) {
      slope.setAttribute("aria-invalid", "true");
      return say(told, "“" + typed + "” is no slope with its unit. Write it such as 32% or 18deg.");
    }
    const inPercent = read.pct.toFixed(1) + "%", { below, limit } = check.dataset;
    if (below && !(read.pct < Number(below))) return say(told, inPercent + " is not below the limit here, " + limit + ": keep the machine off.");
    say(told, "Read as " + inPercent + ".");
  };
  const keep = (check) => {
    const values = fields(check).map((field) => field.value);
    try {
      if (values.some((value) => value.trim())) localStorage.setItem(keyOf(check), JSON.stringify(values));
      else localStorage.removeItem(keyOf(check));
    } catch {
      return false;
    }
    return true;
  };
  const recall = (check) => {
    try {
      const values = JSON.parse(localStorage.getItem(keyOf(check)));
      if (Array.isArray(values)) fields(check).forEach((field, i) => { if (typeof values[i] === "string") field.value = values[i]; });
    } catch { /* what is kept is not this sheet's: the fields stay empty */ }
  };
  const count = (kept) => {
    const read = checks.filter((check) => slopeOf(fields(check)[0].value)).length;
    say(state, read + " of " + checks.length + " checks read. " + (kept ? "They are kept on this phone until its browser is cleared." :
      "This browser keeps nothing here: save the table before you close the sheet."));
  };
  // Text that a spreadsheet would run as a formula has an apostrophe before it, as in all tables.
  const cell = (words) => {
    const line = words.replace(/[\p{Cc}\u2028\u2029]/gu, " ").trim();
    const formula = /^['\s\p{Cc}\p{Cf}\p{Mn}\p{Me}\u2800]*[=+\-@|＝＋－＠｜]/u.test(line) && !/^[+-]?(\d+\.?\d*|\.\d+)$/.test(line);
    return "\"" + (formula ? "'" : "") + line.replaceAll("\"", "\"\"") + "\"";
  };
  const save = () => {
    const bad = checks.find((check) => fields(check)[0].value.trim() && !slopeOf(fields(check)[0].value));
    if (bad) {
      fields(bad)[0].focus();
      return say(state, "The table is not saved: the slope at " + bad.dataset.id + " cannot be read. Write it with its unit, such as 32% or 18deg, or take it out.");
    }
    const rows = checks.map((check) => ({ id: check.dataset.id, slope: slopeOf(fields(check)[0].value), note: fields(check)[1].value }));
    if (!rows.some((row) => row.slope)) return say(state, "The table is not saved: no slope has been typed yet.");
    const typed = rows.filter((row) => row.slope || row.note.trim());
    const lines = ["id,slope,note", ...typed.map((row) => [row.id, row.slope ? row.slope.words : "", row.note].map(cell).join(","))];
    const link = document.createElement("a");
    link.download = "readings.csv";
    link.href = URL.createObjectURL(new Blob([lines.join("\n") + "\n"], { type: "text/csv" }));
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say(state, "readings.csv is given to the browser: look for it among its downloads.");
  };
  let kept = true;
  for (const check of checks) {
    recall(check);
    judge(check);
    kept = keep(check) && kept;
    for (const field of fields(check)) {
      field.addEventListener("input", () => count(keep(check)));
      field.addEventListener("change", () => judge(check));
    }
  }
  count(kept);
  document.getElementById("save-readings").addEventListener("click", save);
  readings.hidden = false;
})();
