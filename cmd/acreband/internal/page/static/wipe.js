// What may be wiped over the map: the other view of it, or the other state of the ground.
import { at } from "./element.js";

// wipes offers what a map may be wiped with, and reports whether something is chosen.
export function wipes(a) {
  const pick = at("wiping"), other = a.ground === "wet" ? "dry" : "wet";
  const [, limits, state] = pick.options;
  limits.hidden = limits.disabled = a.view !== "plan";
  state.hidden = state.disabled = !a.other;
  state.textContent = `wipe: ${other}`;
  if (pick.selectedOptions[0].disabled) pick.value = "";
  pick.hidden = limits.hidden && state.hidden;
  const here = a.view === "plan" ? "as planned" : "by limits";
  const there = pick.value === "limits" ? "by limits" : `${here} if the ground is ${other}, without walk-first dots`;
  at("wipe").setAttribute("aria-label", `Wipe: ${here} on ${a.ground} ground on the left, ${there} on the right`);
  at("wipe-says").hidden = !pick.value;
  const ripples = a.view === "plan" && other === "wet" ? "; ripples: waits for dry ground" : "";
  at("wipe-says").textContent = `right: ${pick.value === "limits" ? there : `if the ground is ${other}${ripples}`}`;
  return Boolean(pick.value);
}
