// A class that looks on: the code for the teacher, what a guest may do.

import { byId, picture } from "./dom.js";

let words = {};

export function teach(line, texts, share) {
  words = texts;
  byId("class").hidden = false;
  byId("class-qr").replaceChildren(picture(share.qr));
  byId("class-qr").firstElementChild.setAttribute("role", "img");
  byId("class-qr").firstElementChild.setAttribute("aria-label", share.address);
  byId("class-address").textContent = share.address;
  byId("class-code").textContent = share.code;
  byId("class-allow").addEventListener("change", (event) => line.send("allow", { allowed: event.target.checked }));
  byId("class-lead").addEventListener("click", () => line.send("lead"));
  byId("class-end").addEventListener("click", () => line.send("end"));
}

export function classHeard(message) {
  byId("class-guests").textContent = message.guests;
  byId("class-allow").checked = message.allowed;
  byId("class-leads").textContent = message.ended ? words["class ended"] : words[message.leads ? "class leads" : "class other"];
  byId("class-lead").disabled = message.leads || message.ended;
  byId("class-end").disabled = message.ended;
}

export function mayMove(may, texts) {
  document.body.classList.toggle("may", may);
  byId("guest").hidden = false;
  byId("guest").textContent = texts[may ? "guest may" : "guest"];
  document.dispatchEvent(new CustomEvent("may"));
}
