// The answer to a survey: how far it is, the order first, what is behind it, the next settings, the files.

import { byId, make } from "./dom.js";

let wanted = false; // the answer was asked for here, so that it takes the focus when it comes

export function begin(ask, cancel) {
  byId("site-run").addEventListener("click", () => {
    wanted = true;
    ask();
  });
  byId("site-cancel").addEventListener("click", cancel);
}

export function under(way, text = "") {
  byId("site-run").disabled = way;
  byId("site-cancel").hidden = !way;
  byId("site-progress").hidden = !way;
  if (way) byId("site-progress").removeAttribute("value");
  byId("site-doing").textContent = text;
}

export function progress(message, words) {
  if (message.kind === "progress") {
    under(true, `${words[`doing ${message.what}`] || message.what} (${message.done} / ${message.of})`);
    Object.assign(byId("site-progress"), { max: Math.max(message.of, 1), value: message.done });
    return;
  }
  const held = document.activeElement === byId("site-cancel");
  under(false, message.kind === "cancelled" ? words.cancelled : message.message);
  byId("site-spoken").textContent = byId("site-doing").textContent;
  if (held) byId("site-run").focus();
}

const size = (bytes) => (bytes > 100_000 ? `${(bytes / 1e6).toFixed(1)} MB` : `${Math.ceil(bytes / 1000)} kB`);

export function put(message, words, line, guest) {
  under(false);
  const box = byId("site-answer");
  box.hidden = false;
  box.dataset.kind = message.kind_of;
  byId("site-mark").textContent = message.mark;
  byId("site-kind").textContent = message.answer;
  byId("site-order").textContent = message.order;
  byId("site-behind").textContent = message.behind;
  byId("site-spoken").textContent = `${message.answer}. ${message.order} ${message.behind}`;
  byId("site-assessed").replaceChildren(...message.assessed.flatMap(([name, said]) => [make("dt", { text: name }), make("dd", { text: said })]));
  settings(message);
  byId("site-found").replaceChildren(...message.found.map((text) => make("li", { text })));
  byId("site-caution").replaceChildren(...message.caution.map((text, i) => make("p", { text: i === 0 ? `${words.caution} ${text}` : text })));
  byId("site-stale").hidden = !message.stale;
  byId("site-files-part").hidden = guest;
  byId("site-written").textContent = (message.written || []).join(" ");
  byId("site-files").replaceChildren(...(guest ? [] : message.files).map(([name, bytes]) =>
    make("li", {}, make("a", { href: `/survey/${line.tab}/${encodeURIComponent(name)}`, download: name, text: name }), ` ${size(bytes)}`)));
  if (!wanted) return;
  wanted = false;
  byId("site-word").focus();
  byId("site-word").scrollIntoView({ block: "center" });
}

function settings(message) {
  byId("site-settings").hidden = message.settings.length === 0;
  byId("site-use").textContent = message.use.join(" ");
  byId("site-tolerances").textContent = message.tolerances;
  const head = make("tr", {}, ...message.heads.map((text) => make("th", { scope: "col", class: "figure", text })));
  const rows = message.settings.map((row) => make("tr", {}, ...row.map((text, i) =>
    make(i === 0 ? "th" : "td", { class: "figure", scope: i === 0 ? "row" : null, "data-label": message.heads[i], text }))));
  byId("site-table").replaceChildren(make("thead", {}, head), make("tbody", {}, ...rows));
}
