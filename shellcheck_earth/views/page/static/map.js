// The compare map: every cell a dome; pressing one sets the design to it, as one step.

import { byId, make } from "./dom.js";

let line = null;
let words = {};
let names = new Map();

export function begin(connection, texts, sliders) {
  line = connection;
  words = texts;
  names = new Map(sliders.map((one) => [one.path, one.label]));
  for (const [id, first] of [["map-across", "wall.filled_width"], ["map-up", "dome.inside_diameter"]]) {
    byId(id).replaceChildren(...sliders.map((one) => make("option", { value: one.path, text: one.label })));
    byId(id).value = first;
  }
  byId("map-draw").addEventListener("click", () => {
    const [across, up] = [byId("map-across").value, byId("map-up").value];
    if (across === up) return;
    under(true);
    line.send("map", { across, up });
  });
  byId("map-cancel").addEventListener("click", () => line.send("cancel"));
}

function under(way) {
  byId("map-draw").disabled = way;
  byId("map-cancel").hidden = !way;
}

export function heard(message) {
  if (message.kind === "progress") {
    under(true);
    byId("map-doing").textContent = `${message.what} (${message.done} / ${message.of})`;
    return;
  }
  under(false);
  byId("map-doing").textContent = message.kind === "cancelled" ? words.cancelled : message.message || "";
  if (message.kind === "map") put(message);
}

function put({ across, up, cells }) {
  const rows = up.labels.map((label, r) => {
    const row = make("tr", {}, make("th", { scope: "row", text: label }));
    cells[r].forEach((cell, c) => row.append(make("td", {}, place(cell, across, up, r, c))));
    return row;
  });
  const head = make("tr", {}, make("th", { text: `${names.get(up.path)} / ${names.get(across.path)}` }),
    ...across.labels.map((label) => make("th", { scope: "col", text: label })));
  byId("map-table").replaceChildren(make("tbody", {}, ...rows.reverse(), head));
}

function place(cell, across, up, r, c) {
  const here = r === up.here && c === across.here;
  const share = cell.share === null ? "" : cell.share.toPrecision(3);
  const said = [across.labels[c], up.labels[r], words[cell.answer], share && `${share} ${words["of required"]}, ${cell.check}`,
    cell.why, here && words["map here"]].filter(Boolean).join(": ");
  const button = make("button", { type: "button", "data-answer": cell.answer, "aria-label": said, title: said, text: share,
    "aria-current": here ? "true" : false });
  button.addEventListener("click", () => {
    line.send("pick", { settings: [[across.path, across.values[c]], [up.path, up.values[r]]] });
    for (const one of byId("map-table").querySelectorAll("[aria-current]")) one.removeAttribute("aria-current");
    button.setAttribute("aria-current", "true");
  });
  return button;
}
