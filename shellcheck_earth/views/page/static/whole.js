// The whole check: a button, how far it is, a way to stop it, and the files of the command.

import { byId, make } from "./dom.js";

let line = null;
let words = {};

export function begin(connection, texts) {
  line = connection;
  words = texts;
  byId("run").addEventListener("click", () => {
    byId("check-said").textContent = "";
    under(true);
    line.send("check");
    byId("cancel").focus();
  });
  byId("cancel").addEventListener("click", () => line.send("cancel"));
}

function under(way) {
  byId("run").disabled = way;
  byId("cancel").hidden = !way;
  byId("under-way").hidden = !way;
  if (way) byId("progress").removeAttribute("value");
}

export function heard(message) {
  if (message.kind === "progress") {
    under(true);
    Object.assign(byId("progress"), { max: Math.max(message.of, 1), value: message.done });
    byId("doing").textContent = `${message.what} (${message.done} / ${message.of})`;
    return;
  }
  const focused = document.activeElement === byId("cancel");
  under(false);
  if (focused) byId("run").focus();
  if (message.kind === "cancelled") byId("check-said").textContent = words.cancelled;
  else if (message.kind === "failed") byId("check-said").textContent = message.message;
  else checked(message);
}

function size(bytes) {
  return bytes > 100_000 ? `${(bytes / 1e6).toFixed(1)} MB` : `${Math.ceil(bytes / 1000)} kB`;
}

function checked(message) {
  byId("check-said").textContent = `${message.said.heading}. ${(message.written || []).join(" ")}`;
  byId("files").hidden = false;
  byId("file-list").replaceChildren(...message.files.map(([name, bytes]) =>
    make("li", {}, make("a", { href: `/result/${line.tab}/${encodeURIComponent(name)}`, download: name, text: name }), ` ${size(bytes)}`)));
  byId("reasons").hidden = message.doubts.length === 0;
  byId("reason-list").replaceChildren(...message.doubts.map((text) => make("li", { text })));
}
