// A few words for making elements; text always goes in as text.

export const byId = (id) => document.getElementById(id);

export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === null || value === undefined) continue;
    if (name === "text") element.textContent = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children);
  return element;
}

const SVG = "http://www.w3.org/2000/svg";

export function draw(tag, attributes = {}, text = "") {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  if (text) element.textContent = text;
  return element;
}

export function picture(text) {
  const found = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const svg = document.importNode(found, true);
  svg.removeAttribute("width");
  svg.removeAttribute("height");
  return svg;
}

export const still = () => matchMedia("(prefers-reduced-motion: reduce)").matches;
