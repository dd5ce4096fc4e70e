// Sliders with a number beside each, in groups that follow the work; every other key behind a search.

import { byId, make } from "./dom.js";

let line = null;
let words = {};
let sliders = [];
let system = "metric";
let held = null; // the slider under the hand: what comes back from the program does not move it
const shown = new Map();
const asked = new Map(); // number of the last message about a slider: what answers an earlier one is no longer its value

const decimals = (step) => Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
const scaleOf = (slider) => slider[system];
const text = (slider, value) => (scaleOf(slider).unit ? `${value} ${scaleOf(slider).unit}` : Number(value));

function move(slider, value, final) {
  const fields = { path: slider.path, value: text(slider, value) };
  asked.set(slider.path, final ? line.send("set", { ...fields, measured: false }) : line.send("move", fields));
}

function row(slider) {
  const id = slider.path.replaceAll(".", "-");
  const range = make("input", { type: "range", id, "aria-describedby": `${id}-unit` });
  const number = make("input", { type: "number", id: `${id}-number`, "aria-label": slider.label });
  const unit = make("span", { id: `${id}-unit` });
  range.addEventListener("input", () => {
    held = slider.path;
    number.value = range.value;
    tell(range, slider);
    move(slider, range.value, false);
  });
  range.addEventListener("change", () => {
    held = null;
    move(slider, range.value, true);
  });
  number.addEventListener("change", () => {
    if (number.value !== "" && Number.isFinite(Number(number.value))) move(slider, number.value, true);
  });
  shown.set(slider.path, { slider, range, number, unit });
  return make("div", { class: "slider" }, make("label", { for: id, text: slider.label }),
    make("div", { class: "number" }, number, unit), range);
}

function tell(range, slider) {
  range.setAttribute("aria-valuetext", `${range.value} ${scaleOf(slider).unit}`.trim());
}

export function build(connection, texts, rows) {
  line = connection;
  words = texts;
  sliders = rows;
  const groups = byId("groups");
  groups.replaceChildren();
  let group = null;
  for (const slider of sliders) {
    if (!group || group.dataset.group !== slider.group) {
      group = make("details", { open: true, "data-group": slider.group }, make("summary", { text: slider.group_label }));
      groups.append(group);
    }
    group.append(row(slider));
  }
  byId("search").addEventListener("focus", () => line.send("keys"), { once: true });
  byId("search").addEventListener("input", find);
}

export function setValues(values, now, answers) {
  const turned = now !== system;
  system = now;
  for (const { slider, range, number, unit } of shown.values()) {
    const scale = scaleOf(slider);
    if (range.step !== String(scale.step) || turned || range.max === "") {
      Object.assign(range, { min: scale.low, max: scale.high, step: scale.step });
      number.step = "any";
      unit.textContent = scale.unit;
    }
    const value = values[slider.path];
    if (value === null || value === undefined || (held === slider.path && !turned)) continue;
    if (!turned && answers > 0 && answers < (asked.get(slider.path) || 0)) continue;
    const here = value / scale.si;
    const places = Math.max(decimals(scale.step), 0);
    range.min = Math.min(scale.low, Math.floor(here / scale.step) * scale.step);
    range.max = Math.max(scale.high, Math.ceil(here / scale.step) * scale.step);
    range.value = here;
    if (document.activeElement !== number) number.value = Number(here.toFixed(places + 1));
    tell(range, slider);
  }
}

// ---- every other key

let keys = [];
const YES_NO = ["true", "false"];

export function setKeys(rows) {
  keys = rows;
  find();
}

function asValue(key, typed) {
  const said = typed.trim();
  const none = said.match(/^none:\s*(.+)$/i);
  if (none) return { value: "none", reason: none[1] };
  if (YES_NO.includes(said) && key.words.includes(said)) return said === "true";
  if (said !== "" && Number.isFinite(Number(said))) return key.unit && key.unit !== "%" ? `${said} ${key.unit}` : Number(said);
  return said;
}

function entry(key) {
  const id = `key-${key.path.replaceAll(/[^a-z0-9]/gi, "-")}`;
  const only = key.words.length && !key.range;
  const field = only
    ? make("select", { id }, ...key.words.map((word) => make("option", { text: word, value: word })))
    : make("input", { type: "text", id, placeholder: key.used, autocomplete: "off", spellcheck: "false" });
  field.value = key.written || (only ? key.used : "");
  const measured = make("input", { type: "checkbox", id: `${id}-measured` });
  measured.checked = key.basis === "measured";
  const set = make("button", { type: "button", text: words.set });
  const form = make("div", { class: "edit" }, field,
    ...(only ? [] : [make("label", { class: "check" }, measured, words.measured)]), set);
  const put = () => {
    if (field.value === "") return;
    line.send("set", { path: key.path, value: asValue(key, field.value), measured: measured.checked });
    line.send("keys");
  };
  set.addEventListener("click", put);
  field.addEventListener("keydown", (event) => event.key === "Enter" && put());
  const now = key.written ? `${key.written} (${words[key.basis] || key.basis})` : `${key.used} (${words.assumed})`;
  return make("li", {}, make("label", { for: id }, make("code", { text: key.path })),
    make("div", { class: "note", text: [now, key.range].filter(Boolean).join("; ") }), form);
}

function find() {
  const asked = byId("search").value.trim().toLowerCase().split(/\s+/).filter(Boolean);
  const list = byId("found");
  if (!asked.length) {
    list.replaceChildren();
    return;
  }
  const hits = keys.filter((key) => asked.every((word) => key.path.replaceAll("_", " ").includes(word.replaceAll("_", " "))));
  list.replaceChildren(...hits.slice(0, 12).map(entry));
  if (!hits.length) list.append(make("li", { text: words["search none"] }));
}
