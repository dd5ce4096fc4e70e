// The section: put in whole, and a mechanism set moving once when the last thrust line is lost, or on request.

import { byId, picture, still } from "./dom.js";

const GAIT = [[0, 0], [0.35, 0.08], [0.7, 0.45], [1, 1]]; // share of the motion against share of its time
const LASTS = 1800;
let under = 0;

function amount(t) {
  for (let i = 1; i < GAIT.length; i += 1) {
    const [t0, a0] = GAIT[i - 1];
    const [t1, a1] = GAIT[i];
    if (t <= t1) return a0 + ((a1 - a0) * (t - t0)) / (t1 - t0);
  }
  return 1;
}

const numbers = (text) => text.split(" ").map((pair) => pair.split(",").map(Number));

function place(pieces, share) {
  for (const { element, rest, gone } of pieces) {
    const points = rest.map(([x, y], i) => `${x + share * (gone[i][0] - x)},${y + share * (gone[i][1] - y)}`);
    element.setAttribute("points", points.join(" "));
  }
}

export function moveAgain(figure = byId("figure")) {
  const pieces = [...figure.querySelectorAll("polygon.moves")].map((element) => ({
    element, rest: numbers(element.dataset.rest), gone: numbers(element.dataset.gone),
  }));
  under += 1;
  const mine = under;
  if (!pieces.length || still()) return;
  const start = performance.now();
  const step = (now) => {
    if (mine !== under) return;
    const t = Math.min((now - start) / LASTS, 1);
    place(pieces, amount(t));
    if (t < 1) requestAnimationFrame(step);
  };
  place(pieces, 0);
  requestAnimationFrame(step);
}

const narrow = matchMedia("(max-width: 40rem)");

// On a phone the margins of the sheet, which hold labels, give their room to the dome.
export function cropped(svg) {
  const [, , width, height] = svg.getAttribute("viewBox").split(" ").map(Number);
  if (narrow.matches) svg.setAttribute("viewBox", `34 0 ${width - 79} ${height - 19}`);
  return svg;
}

let standing = true;

export function show(message) {
  const figure = byId("figure");
  figure.classList.toggle("refused", message.refused);
  if (message.refused) return;
  figure.replaceChildren(cropped(picture(message.svg)));
  const stands = message.lost.length === 0;
  byId("lost").hidden = stands;
  byId("why").textContent = message.lost[0] || "";
  byId("moves").textContent = message.lost[1] || "";
  byId("again").hidden = message.lost.length < 2;
  byId("tipping").textContent = message.tipping;
  byId("ringed").textContent = message.ringed;
  under += 1;
  if (!stands && standing) moveAgain(figure);
  standing = stands;
}
