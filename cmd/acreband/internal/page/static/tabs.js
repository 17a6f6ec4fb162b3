// The tabs under the ground: one panel at a time.

const tabs = [...document.querySelectorAll("[role=tab]")];
const panelOf = (tab) => document.getElementById(tab.getAttribute("aria-controls"));

// select shows the panel of that id.
export function select(id) {
  for (const t of tabs) {
    const chosen = t.getAttribute("aria-controls") === id;
    t.setAttribute("aria-selected", String(chosen));
    t.tabIndex = chosen ? 0 : -1;
    panelOf(t).hidden = !chosen;
  }
}

// reveal shows the panel that an element is in.
export function reveal(element) {
  const panel = element.closest("[role=tabpanel]");
  if (panel?.hidden) select(panel.id);
}

for (const t of tabs) {
  t.addEventListener("click", () => select(t.getAttribute("aria-controls")));
  t.addEventListener("keydown", (e) => {
    const shown = tabs.filter((x) => !x.hidden);
    const i = shown.indexOf(t);
    const to = { ArrowDown: i + 1, ArrowRight: i + 1, ArrowUp: i - 1, ArrowLeft: i - 1, Home: 0, End: -1 }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    const next = shown.at(to % shown.length);
    select(next.getAttribute("aria-controls"));
    next.focus();
  });
}
