// Survey mode: the sheet of readings is with the program; what is typed here goes there cell by cell and comes back.
// Nothing typed is let go before the program has it: it waits here, through a lost connection and through a reload.

import { byId, make } from "./dom.js";
import * as answer from "./site_answer.js";
import { readRow, rowsOf, showFaults } from "./site_rows.js";

const WAITING = "readings that wait";
const REST = 300; // so long after the last key what was typed is sent [ms]
const AT_ONCE = 50;
const LONGEST = 60;

let line = null;
let guest = false;
let words = {};
let state = null;
let waiting = load(); // {change, n}: n of the message that took it along, 0 while none has
let timer = 0;
let asked = false; // an answer was asked for: what is missing is said from then on
let askedBy = Infinity; // number of the message that asked for it
let names = 0;

function load() {
  try {
    return JSON.parse(sessionStorage.getItem(WAITING) || "[]").map((change) => ({ change, n: 0 }));
  } catch {
    return [];
  }
}

const keep = () => sessionStorage.setItem(WAITING, JSON.stringify(waiting.map((one) => one.change)));
export const clean = (text) => text.replace(/\s+/gu, " ").replace(/\p{C}/gu, "").trim().slice(0, LONGEST);
export const surveying = () => location.hash === "#survey";
const mayType = () => !guest || document.body.classList.contains("may");
const placeOf = (change) => JSON.stringify(["course", "rain"].includes(change[0]) ? change.slice(0, 3) : change);

// A change of the same cell takes the place of one that is not sent yet.
export function change(...what) {
  if (!mayType()) return;
  const place = placeOf(what);
  waiting = waiting.filter((one) => one.n !== 0 || placeOf(one.change) !== place);
  waiting.push({ change: what, n: 0 });
  keep();
  tell();
  clearTimeout(timer);
  timer = setTimeout(send, REST);
}

function take() {
  const going = waiting.filter((one) => one.n === 0).slice(0, AT_ONCE);
  return [going, going.map((one) => one.change)];
}

function send() {
  clearTimeout(timer);
  while (line.open_now() && mayType()) {
    const [going, changes] = take();
    if (!going.length) break;
    const n = line.send("sheet", { changes });
    for (const one of going) one.n = n;
  }
  tell();
}

function tell() {
  if (!state) return;
  const text = waiting.length ? words.waiting.replace("{count}", waiting.length) : words.kept;
  if (byId("site-kept").textContent !== text) byId("site-kept").textContent = text;
}

// What has not reached the program stands over what the program has.
export function standing(what, row, key, value) {
  const last = waiting.filter(({ change: one }) => one[0] === what && one[1] === row && one[2] === key).pop();
  return last ? last.change[3] : value;
}

function ask() {
  if (!mayType()) return;
  asked = true;
  send();
  if (!line.open_now()) return;
  answer.under(true, words["doing starting"]);
  askedBy = line.send("survey", { changes: [] });
  byId("site-cancel").focus();
}

export function there(is) {
  for (const one of waiting) one.n = 0; // whether it arrived is not known: told twice it is the same
  if (!is) {
    answer.under(false);
    tell();
    return;
  }
  byId("site-save").href = `/sheet/${line.tab || ""}`;
  if (surveying() || waiting.length || line.shared) line.send("sheet", { changes: [] });
  send();
}

export function heard(message) {
  if (message.kind === "sheet") sheet(message);
  else if (message.kind === "surveyed") answer.put(message, words, line, guest);
  else answer.progress(message, words);
}

export function refused(message) {
  waiting = waiting.filter((one) => one.n === 0 || one.n > message.n);
  keep();
  tell();
  if (message.n >= askedBy) answer.under(false);
}

function sheet(message) {
  waiting = waiting.filter((one) => one.n === 0 || (!guest && one.n > message.n));
  keep();
  const first = state === null;
  const other = first || message.opened;
  if (message.opened) asked = false;
  state = message;
  words = message.words;
  byId("site-stale").hidden = !message.stale;
  const shown = draw();
  if (message.asked && message.faults.length) answer.under(false);
  if (message.asked && message.faults.length) stopped(shown, message.faults.length);
  else if (other && surveying() && !first) byId("site-sheet-title").scrollIntoView();
  document.documentElement.dataset.sheet = message.n;
}

function draw() {
  say();
  rowsOf(state, { change, standing, may: mayType() });
  tell();
  return showFaults(state.faults, asked, words);
}

function stopped(shown, count) {
  const text = words.faults.replace("{count}", count);
  byId("site-doing").textContent = text;
  byId("site-spoken").textContent = text;
  if (shown) shown.focus();
}

const TEXTS = {
  "site-title": "title", "site-why": "why", "site-sheet-title": "sheet", "site-on-label": "on", "site-set-by-label": "set by",
  "site-unit-label": "unit", "site-language-label": "language", "site-open-label": "open", "site-save": "save",
  "site-bearings": "bearings", "site-bearings-why": "bearings why", "site-at-label": "at", "site-add-go": "add",
  "site-courses-title": "courses", "site-courses-why": "courses why", "site-rains-title": "rains", "site-rains-why": "rains why",
  "site-add-rain": "add rain", "site-run": "run", "site-cancel": "cancel", "site-assessed-title": "assessed",
  "site-settings-title": "settings", "site-found-title": "found", "site-files-title": "files", "site-looking": "looking",
  "site-stale": "stale",
};

function name() {
  for (const [id, key] of Object.entries(TEXTS)) {
    if (byId(id).textContent !== words[key]) byId(id).textContent = words[key];
  }
  byId("site-kind-of").setAttribute("aria-label", words.bearings);
}

function say() {
  byId("site").lang = state.language;
  name();
  byId("site-plan").textContent = words.plan.replace("{name}", state.plan);
  byId("site-looking").hidden = mayType();
  pick("site-set-by", ["number", "height"].map((value) => [value, words[value]]), state.set_by);
  pick("site-unit", state.units.map((value) => [value, value]), state.unit);
  pick("site-kind-of", ["radius", "compass", "soft depth"].map((value) => [value, words[value]]), byId("site-kind-of").value || "radius");
  if (document.activeElement !== byId("site-language")) byId("site-language").value = state.language;
  if (document.activeElement !== byId("site-on")) byId("site-on").value = state.on;
  columns();
  for (const one of byId("site").querySelectorAll("input, select, .go button, #site-add button, #site-add-rain, .remove")) {
    if (one.id !== "site-run" && one.id !== "site-cancel") one.disabled = !mayType();
  }
}

function pick(id, pairs, value) {
  const select = byId(id);
  const now = pairs.map((pair) => pair.join()).join("|");
  if (select.dataset.now !== now) {
    select.replaceChildren(...pairs.map(([name, text]) => make("option", { value: name, text })));
    select.dataset.now = now;
  }
  if (document.activeElement !== select) select.value = value;
}

function columns() {
  const list = state.columns.filter((one) => /^(radius|compass|soft depth) /.test(one.key));
  const now = JSON.stringify([list, state.language]);
  if (byId("site-column-list").dataset.now === now) return;
  byId("site-column-list").dataset.now = now;
  byId("site-column-list").replaceChildren(...list.map((one) => {
    const what = one.label.replace(/ \([^)]*\)$/, "");
    const button = make("button", { type: "button", class: "remove", "aria-label": words.remove.replace("{what}", what), text: "×" });
    button.addEventListener("click", () => {
      const read = state.courses.some((row) => standing("course", row.number, one.key, row.cells[one.key] || ""));
      if (!read || confirm(words["remove read"].replace("{what}", what))) change("no column", one.key);
    });
    return make("li", {}, what, " ", button);
  }));
}

export function begin(connection, isGuest, texts) {
  line = connection;
  guest = isGuest;
  words = texts;
  name();
  answer.begin(ask, () => line.send("cancel"));
  byId("site-on").addEventListener("change", () => change("on", byId("site-on").value));
  for (const [id, what] of [["site-set-by", "set by"], ["site-unit", "unit"], ["site-language", "language"]]) {
    byId(id).addEventListener("change", () => change(what, byId(id).value));
  }
  byId("site-add").addEventListener("submit", (event) => {
    event.preventDefault();
    change("column", byId("site-kind-of").value, Number(byId("site-at").value));
    byId("site-at").value = "";
  });
  byId("site-add-rain").addEventListener("click", () => {
    names += 1;
    const name = `${Date.now().toString(36)}-${names}`;
    change("rain", name, "rain on", state.on);
    readRow(name);
    send();
  });
  byId("site-open").addEventListener("change", opened);
  document.addEventListener("may", () => state && draw());
  addEventListener("hashchange", () => mode());
  mode();
}

async function opened() {
  const [file] = byId("site-open").files;
  if (!file) return;
  waiting = []; // they were of the sheet that goes
  keep();
  const text = file.size > 1_000_000 ? "" : await file.text();
  if (file.size > 1_000_000) document.dispatchEvent(new CustomEvent("too large", { detail: file.name }));
  else line.send("readings", { name: file.name.replace(/[^\x20-\x7e]/g, "_").slice(0, 100), text });
  byId("site-open").value = "";
}

// One of two modes is seen; the address says which, so that it can be kept and the way back works.
function mode() {
  const on = surveying();
  document.body.classList.toggle("surveying", on);
  byId("site").hidden = !on;
  document.querySelector("main:not(#site)").hidden = on;
  byId("answer").hidden = on;
  for (const [id, here] of [["mode-dome", !on], ["mode-survey", on]]) {
    if (here) byId(id).setAttribute("aria-current", "page");
    else byId(id).removeAttribute("aria-current");
  }
  if (on && line.open_now()) line.send("sheet", { changes: [] });
}
