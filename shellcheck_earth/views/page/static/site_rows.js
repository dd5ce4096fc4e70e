// The rows of the sheet: one card a course, top first, and one a rain; each fault stands in its own card.

import { byId, make } from "./dom.js";
import { clean } from "./site.js";

let built = "";
let how = null;
let wanted = ""; // the rain that is to be under the hand once it is there

export const readRow = (name) => { wanted = name; };

const idOf = (row, key) => `cell-${row}-${key}`.replaceAll(/[^a-z0-9-]/gi, "_");
const large = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function field(row, column, what, name) {
  const id = idOf(row, column.key);
  const day = column.key === "laid on" || column.key === "rain on";
  const plain = /^(mm|cm|m|in|%|deg|h)$/.test(column.unit) && column.key !== "top";
  const input = make("input", {
    id, type: day ? "date" : "text", inputmode: day ? null : plain ? "decimal" : "text", autocomplete: "off",
    enterkeyhint: "next", spellcheck: "false", maxlength: day ? null : 60, placeholder: column.hint || null,
    "data-key": column.key, "aria-describedby": `fault-${row}`,
  });
  const put = () => how.change(what, name, column.key, clean(input.value));
  input.addEventListener(day ? "change" : "input", put);
  input.addEventListener("keydown", onward);
  return make("div", {}, make("label", { for: id, text: large(column.label) }), input);
}

// Enter goes to the next field, and from the last of a card to the first of the course above it.
function onward(event) {
  if (event.key !== "Enter" || event.isComposing) return;
  event.preventDefault();
  const card = event.target.closest(".card");
  const fields = [...card.querySelectorAll("input")];
  const next = fields[fields.indexOf(event.target) + 1];
  if (next) {
    next.focus();
    return;
  }
  const above = card.previousElementSibling;
  if (!above || !card.dataset.course) return;
  above.open = true;
  above.querySelector("input").focus();
}

function cardOf(row, columns, what, name, ...head) {
  const fields = columns.map((column) => field(row, column, what, name));
  return make(what === "course" ? "details" : "fieldset", { class: "card", id: `card-${row}`, "data-course": what === "course" ? name : null },
    make(what === "course" ? "summary" : "legend", {}, ...head),
    make("ul", { class: "fault", id: `fault-${row}`, hidden: true }), make("div", { class: "cells" }, ...fields));
}

function build(message) {
  const { words } = message;
  const open = new Set([...document.querySelectorAll(".card[open]")].map((one) => one.id));
  const courses = [...message.courses].sort((a, b) => b.number - a.number).map(({ number, planned }) => {
    const [top, radius, compass] = planned;
    const plan = planned.length
      ? words.planned.replace("{top}", top).replace("{radius}", radius).replace("{compass}", compass) + (/ft|^$/.test(message.unit) ? "" : ` ${message.unit}`)
      : words["not planned"];
    const card = cardOf(`course-${number}`, message.columns, "course", number,
      make("strong", { text: words.course.replace("{number}", number) }), " ", make("span", { class: "planned", text: plan }), " ",
      make("span", { class: "read" }));
    if (open.has(card.id)) card.open = true;
    return card;
  });
  byId("site-courses").replaceChildren(...courses);
  const rains = message.rains.map(({ name }, at) => {
    const title = words.rain.replace("{number}", at + 1);
    const gone = make("button", { type: "button", class: "remove", "aria-label": words.remove.replace("{what}", title), text: "×" });
    gone.addEventListener("click", () => how.change("no rain", name));
    return cardOf(`rain-${name}`, message.rain_columns, "rain", name, make("strong", { text: title }), " ", gone);
  });
  byId("site-rains").replaceChildren(...rains);
}

export function rowsOf(message, hands) {
  how = hands;
  const form = JSON.stringify([message.language, message.unit, message.columns, message.rain_columns,
    message.courses.map((one) => [one.number, one.planned]), message.rains.map((one) => one.name)]);
  if (form !== built) {
    const held = document.activeElement && document.activeElement.id;
    build(message);
    built = form;
    if (held && held.startsWith("cell-") && byId(held)) byId(held).focus();
  }
  for (const { number, cells } of message.courses) put(`course-${number}`, "course", number, message.columns, cells);
  for (const { name, cells } of message.rains) put(`rain-${name}`, "rain", name, message.rain_columns, cells);
  for (const { number, cells } of message.courses) tell(number, cells, message);
  const input = wanted && byId(idOf(`rain-${wanted}`, "rain on"));
  if (input) {
    input.focus();
    wanted = "";
  }
}

function put(row, what, name, columns, cells) {
  for (const { key } of columns) {
    const input = byId(idOf(row, key));
    const value = how.standing(what, name, key, cells[key] || "");
    if (document.activeElement !== input && input.value !== value) input.value = value;
    input.disabled = !how.may;
  }
}

function tell(number, cells, { words, columns }) {
  const card = byId(`card-course-${number}`);
  const radii = columns.filter((one) => /^(radius|compass)/.test(one.key) && cells[one.key]).length;
  const text = cells.top || radii ? words.read.replace("{top}", cells.top || "-").replace("{count}", radii) : words["nothing read"];
  card.querySelector(".read").textContent = text;
  card.classList.toggle("filled", Boolean(cells.top || radii));
}

// A fault of a cell that is filled in is said at once; that something is missing, only once an answer was asked for.
export function showFaults(faults, asked, words) {
  for (const one of document.querySelectorAll("#site .fault")) {
    one.replaceChildren();
    one.hidden = true;
  }
  for (const one of document.querySelectorAll("#site [aria-invalid]")) one.removeAttribute("aria-invalid");
  let first = null;
  for (const { row, column, text } of faults) {
    const place = row.startsWith("rain ") || row.startsWith("course ") ? row.replace(" ", "-") : row;
    const input = column ? byId(idOf(place, column)) : null;
    if (!asked && !(input && input.value)) continue;
    const box = byId(`fault-${place || "sheet"}`) || byId("fault-sheet");
    box.append(make(box.tagName === "UL" ? "li" : "span", { text: text + (box.tagName === "UL" ? "" : " ") }));
    box.hidden = false;
    const card = box.closest("details");
    if (input) input.setAttribute("aria-invalid", "true");
    if (asked && card) card.open = true;
    first = first || input || (card ? card.querySelector("input") : byId("site-on"));
  }
  return first;
}
