// The lesson: a question, the dome step by step until it goes, then the answer. By keyboard; printed as slides.

import { byId, make, picture } from "./dom.js";
import { moveAgain } from "./section.js";

let line = null;
let words = {};
let slides = [];
let at = 0; // slide
let step = 0; // 0 the question, then the frames, then the answer

export function begin(connection, texts) {
  line = connection;
  words = texts;
  byId("lesson-begin").addEventListener("click", () => {
    under(true);
    line.send("lesson");
  });
  byId("lesson-cancel").addEventListener("click", () => line.send("cancel"));
  byId("lesson-print").addEventListener("click", () => window.print());
  byId("slide-next").addEventListener("click", () => on(1));
  byId("slide-back").addEventListener("click", () => on(-1));
  byId("slide-end").addEventListener("click", () => byId("stage-set").close());
  document.addEventListener("keydown", key);
  byId("stage-set").addEventListener("close", () => byId("lesson-begin").focus());
}

const MOVES = { ArrowRight: 1, PageDown: 1, " ": 1, ArrowDown: 1, ArrowLeft: -1, PageUp: -1, ArrowUp: -1 };

function key(event) {
  const pressed = event.key === " " && event.target.tagName === "BUTTON"; // the button itself hears it
  if (!byId("stage-set").open || pressed || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key in MOVES) on(MOVES[event.key]);
  else if (event.key === "Home") go(0, 0);
  else if (event.key === "End") go(slides.length - 1, last(slides.length - 1));
  else return;
  event.preventDefault();
}

const last = (index) => (slides[index].question ? slides[index].frames.length + 1 : 0);

function on(by) {
  if (step + by > last(at)) {
    if (at + 1 < slides.length) go(at + 1, 0);
  } else if (step + by < 0) {
    if (at > 0) go(at - 1, last(at - 1));
  } else {
    go(at, step + by);
  }
}

function go(slide, to) {
  at = slide;
  step = to;
  const { title, question, frames, answer } = slides[at];
  const asked = question !== "" && step === 0;
  const answered = step >= last(at);
  const shown = frames[Math.min(Math.max(step - 1, 0), frames.length - 1)];
  byId("slide-title").textContent = title;
  byId("slide-question").textContent = question;
  byId("slide-figure").replaceChildren(...(shown ? [picture(shown.svg)] : []));
  byId("slide-figure").hidden = !shown;
  byId("slide-words").textContent = shown && !asked ? shown.words : "";
  byId("slide-answer").replaceChildren(...(answered ? answer.map((text) => make("p", { text })) : []));
  byId("slide-at").textContent = `${words["lesson at"]} ${at + 1} / ${slides.length}`;
  byId("slide-back").setAttribute("aria-disabled", at === 0 && step === 0);
  byId("slide-next").setAttribute("aria-disabled", at === slides.length - 1 && answered);
  if (shown && shown.moves && !answered) moveAgain(byId("slide-figure"));
}

function under(way) {
  byId("lesson-begin").disabled = way;
  byId("lesson-cancel").hidden = !way;
}

export function heard(message) {
  if (message.kind === "progress") {
    under(true);
    byId("lesson-doing").textContent = `${message.what} (${message.done} / ${message.of})`;
    return;
  }
  under(false);
  byId("lesson-doing").textContent = message.kind === "cancelled" ? words.cancelled : message.message || "";
  if (message.kind !== "lesson") return;
  slides = message.slides;
  byId("lesson-print").hidden = false;
  byId("slides").replaceChildren(...slides.map(paper));
  document.body.classList.add("lesson");
  byId("stage-set").showModal();
  go(0, 0);
  byId("slide-next").focus();
}

function paper(slide) {
  const frames = slide.frames.map((frame) =>
    make("div", {}, picture(frame.svg), make("p", { text: frame.words })));
  return make("article", {}, make("h2", { text: slide.title }), make("p", { class: "question", text: slide.question }),
    make("div", { class: frames.length === 1 ? "frames one" : "frames" }, ...frames),
    ...slide.answer.map((text) => make("p", { text })), make("footer", { text: words["no verdict"] }));
}
