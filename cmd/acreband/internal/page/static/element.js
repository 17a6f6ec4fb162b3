// Makes elements.

export const at = (id) => document.getElementById(id);

// element has the attributes that are neither undefined nor false.
export function element(name, attributes, ...inside) {
  const e = document.createElement(name);
  put(e, attributes);
  e.append(...inside);
  return e;
}

export function shape(name, attributes, ...inside) {
  const e = document.createElementNS("http://www.w3.org/2000/svg", name);
  put(e, attributes);
  e.append(...inside);
  return e;
}

function put(e, attributes) {
  for (const [k, v] of Object.entries(attributes)) if (v !== undefined && v !== false) e.setAttribute(k, v === true ? "" : v);
}
