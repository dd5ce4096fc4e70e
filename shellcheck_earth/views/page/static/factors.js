// Factors beside what is required: those of the case that is drawn at once, the worst of all cases a moment later.

import { byId, make } from "./dom.js";

let worst = null;
let drawn = [];
let words = {};
let showCase = () => {};

export function begin(texts, show) {
  words = texts;
  showCase = show;
}

export function here(rows, title, settled) {
  drawn = rows;
  byId("case-drawn").textContent = title;
  if (!settled) worst = null;
  put();
}

export function all(rows) {
  const before = new Map((worst || []).map((row) => [row.check, row.factor]));
  worst = rows;
  put(before);
}

export const unknown = () => { worst = null; };

function labels() {
  const names = [...(worst || []).map((row) => row.check), ...drawn.map((row) => row.check)];
  return [...new Set(names)];
}

function put(before = new Map()) {
  const rows = labels().map((name) => {
    const now = drawn.find((row) => row.check === name);
    const least = (worst || []).find((row) => row.check === name);
    const decides = least || now;
    const element = make("tr", { "data-outcome": least ? least.state : now && now.state === "falls short" ? "falls short" : "cannot say" });
    const cell = make("td", { class: "figure", "data-label": words["worst column"] });
    if (least) {
      cell.append(make("span", { text: least.factor }), make("small", {}, caseLink(least)));
      if (before.has(name) && before.get(name) !== least.factor) cell.classList.add("flash");
    } else {
      cell.textContent = worst ? "-" : words.looking;
    }
    element.append(
      make("th", { scope: "row", text: name }),
      make("td", { class: "figure", "data-label": words["here column"] }, make("span", { text: now ? now.factor : "-" }), make("small", { text: now ? now.at : "" })),
      cell,
      make("td", { class: "figure", "data-label": words["required column"], text: decides.required }),
      make("td", {}, make("span", { class: "outcome", text: least ? least.outcome : now && now.state === "falls short" ? now.outcome : words.undecided })),
    );
    return element;
  });
  byId("rows").replaceChildren(...rows);
}

function caseLink(row) {
  const link = make("button", { type: "button", class: "link", text: row.case, title: words["show worst"] });
  link.addEventListener("click", () => showCase(row.case_id));
  return link;
}
