"use strict";
(() => {
  const numbers = document.getElementById("numbers");
  const zones = document.querySelectorAll(".zone");
  let kept = null;
  const show = (zone) => {
    for (const z of zones) z.classList.toggle("shown", z === zone);
    numbers.hidden = !zone;
    numbers.textContent = zone ? zone.dataset.numbers : "";
  };
  const keep = (zone) => { kept = kept === zone ? null : zone; show(kept); };
  for (const zone of zones) {
    zone.addEventListener("pointerenter", (e) => { if (e.pointerType === "mouse") show(zone); });
    zone.addEventListener("pointerleave", () => show(kept));
    zone.addEventListener("focus", () => { if (zone.matches(":focus-visible")) show(zone); });
    zone.addEventListener("blur", () => show(kept));
    zone.addEventListener("click", () => keep(zone));
    zone.addEventListener("keydown", (e) => {
      if (e.key === "Enter" || e.key === " ") { e.preventDefault(); keep(zone); }
      if (e.key === "Escape") { kept = null; show(null); }
    });
  }
})();
