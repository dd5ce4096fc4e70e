// The page: hears the program, draws, and sends what the hand does. What moves on screen is always a preview.

import { chart } from "./chart.js";
import { build, setKeys, setValues } from "./controls.js";
import { byId, make, picture } from "./dom.js";
import { classHeard, mayMove, teach } from "./class.js";
import * as factors from "./factors.js";
import * as lesson from "./lesson.js";
import * as map from "./map.js";
import { Line } from "./net.js";
import * as site from "./site.js";
import { cropped, moveAgain, show } from "./section.js";
import * as three from "./three_d.js";
import * as whole from "./whole.js";

const MARKS = { meets: "M12 3a9 9 0 1 0 .001 0z", "falls short": "M12 3 22 21H2z", "cannot say": "M4 4h16v16H4z" };
const look = { stage: null, case: "finished-dry", hours: 0, crew: true };
const { words, sliders, guest, share, site: onSite } = await (await fetch("/words.json")).json();
let now = null;
let top = 1;
let system = "metric";
let overview = null;

function answer(said) {
  const box = byId("answer");
  const changed = box.dataset.mark !== said.mark;
  box.dataset.mark = said.mark;
  box.dataset.preview = said.preview ? "yes" : "no";
  byId("mark").firstElementChild.setAttribute("d", MARKS[said.mark]);
  byId("tag").textContent = said.preview ? words.preview : words["of the check"];
  byId("heading").textContent = said.heading;
  byId("sentence").textContent = said.sentence;
  if (changed) {
    box.classList.remove("flash");
    requestAnimationFrame(() => box.classList.add("flash"));
  }
}

function speak(said) {
  const text = `${said.heading}. ${said.sentence}`;
  if (byId("spoken").textContent !== text) byId("spoken").textContent = text;
}

function stand(message) {
  top = message.stage.top;
  const stage = byId("stage");
  stage.max = top + 1; // one past the last course: finished
  if (document.activeElement !== stage || !message.settled) stage.value = message.stage.now === null ? top + 1 : Math.min(message.stage.now, top);
  tellStage();
  const hours = byId("hours");
  hours.max = message.hours.most;
  hours.disabled = message.hours.most === 0;
  if (document.activeElement !== hours) hours.value = look.hours;
  byId("hours-now").textContent = `${hours.value} h`;
  byId("crew").disabled = !message.worker || look.stage === null || look.hours > 0;
  byId("case").disabled = look.stage !== null || look.hours > 0;
}

function tellStage() {
  const at = Number(byId("stage").value);
  const text = at > top ? words.finished : `${at} / ${top}`;
  byId("stage-now").textContent = text;
  byId("stage").setAttribute("aria-valuetext", text);
}

function drawn(message) {
  now = message;
  if (message.n > noticed) byId("notice").hidden = true;
  byId("undo").disabled = !message.undo;
  byId("redo").disabled = !message.redo;
  byId("stale").hidden = !message.stale;
  byId("file").textContent = message.name;
  answer(message.said);
  show(message);
  if (!message.refused) {
    if (system !== message.system) {
      system = message.system;
      document.querySelector(`input[name="units"][value="${system}"]`).checked = true;
      if (overview) chart(overview, system, words);
    }
    byId("title").textContent = message.title;
    byId("followed").textContent = message.followed;
    setValues(message.values, message.system, message.n);
    stand(message);
    if (!message.settled) factors.unknown();
    factors.here(message.rows, message.case, message.settled);
    warn(message.cautions);
    if (!byId("compare").hidden) after(message);
  } else {
    factors.unknown();
    speak(message.said);
  }
  document.documentElement.dataset.drawn = message.n;
  document.dispatchEvent(new CustomEvent("drawn", { detail: message.n }));
}

function warn(texts) {
  const said = texts.join("\n");
  if (byId("cautions").dataset.said === said) return;
  byId("cautions").dataset.said = said;
  byId("cautions").replaceChildren(...texts.map((text) => make("p", { text })));
}

// Before the solver is loaded: the dome as it is drawn, nothing said of whether it stands.
function outline(message) {
  byId("figure").replaceChildren(cropped(picture(message.svg)));
  byId("heading").textContent = words.loading;
}

function looked(message) {
  if (message.why) return;
  overview = message;
  factors.all(message.rows);
  cases(message.cases);
  chart(message, system, words);
  if (message.said) {
    answer(message.said);
    speak(message.said);
  }
  document.documentElement.dataset.looked = now ? now.n : 0;
  three.refresh(); // once the hand rests
}

function cases(pairs) {
  const select = byId("case");
  if (select.options.length !== pairs.length || [...select.options].some((one, i) => one.value !== pairs[i][0])) {
    select.replaceChildren(...pairs.map(([id, title]) => make("option", { value: id, text: title })));
  }
  select.value = look.case;
}

function kept(message) {
  byId("compare").hidden = !message.svg;
  if (!message.svg) return;
  byId("before-figure").replaceChildren(cropped(picture(message.svg)));
  byId("before-said").textContent = `${message.said.heading}. ${message.said.sentence}`;
  if (now && !now.refused) after(now);
}

function after(message) {
  byId("after-figure").replaceChildren(cropped(picture(message.svg)));
  byId("after-said").textContent = `${message.said.heading}. ${message.said.sentence}`;
}

function heard(message) {
  if (["sheet", "surveyed"].includes(message.kind) || message.work === "survey") site.heard(message);
  else if (message.kind === "drawn") drawn(message);
  else if (message.kind === "outline") outline(message);
  else if (message.kind === "overview") looked(message);
  else if (message.kind === "keys") setKeys(message.rows);
  else if (message.kind === "kept") kept(message);
  else if (message.kind === "solid") three.heard(message);
  else if (message.kind === "class") classHeard(message);
  else if (message.kind === "allowed") mayMove(message.allowed, words);
  else if (message.kind === "refused") refused(message);
  else if (message.work === "lesson" || message.kind === "lesson") lesson.heard(message);
  else if (message.work === "map" || message.kind === "map") map.heard(message);
  else {
    whole.heard(message);
    if (message.kind === "checked" && !message.stale) {
      answer(message.said);
      speak(message.said);
      factors.all(message.rows);
      three.refresh();
    }
  }
}

let noticed = 0;

// What was refused stays said until the hand does something else.
function refused(message) {
  noticed = message.n;
  site.refused(message);
  byId("notice").hidden = false;
  byId("notice").textContent = `${words.refused} ${message.message}`;
}

const line = new Line(heard, guest, (there) => {
  byId("save").href = `/design/${line.tab || ""}`;
  site.there(there);
  if (!there) {
    byId("heading").textContent = words.waiting;
    if (now) byId("sentence").textContent = words["lost line"];
  }
});

const showNow = () => line.send("show", { ...look });

function showCase(id) {
  const stage = id.match(/stage-(\d+)/);
  look.hours = id.includes("rain") && now ? now.hours.most : 0;
  look.stage = stage ? Number(stage[1]) : null;
  look.crew = !stage || id.endsWith("-worker");
  byId("crew").checked = look.crew;
  byId("hours").value = look.hours;
  if (!stage) look.case = id;
  byId("case").value = look.case;
  showNow();
  byId("picture").focus({ preventScroll: false });
}

line.shared = Boolean(share);
build(line, words, sliders);
factors.begin(words, showCase);
whole.begin(line, words);
lesson.begin(line, words);
map.begin(line, words, sliders);
three.begin(line, words);
site.begin(line, guest, onSite);
document.addEventListener("too large", (event) => refused({ n: line.count, message: `${event.detail}: ${words["too large"]}` }));
if (share) teach(line, words, share);
document.body.classList.toggle("guest", guest);
byId("undo").addEventListener("click", () => line.send("undo"));
byId("redo").addEventListener("click", () => line.send("redo"));
byId("again").addEventListener("click", () => moveAgain());
byId("keep").addEventListener("click", () => line.send("keep"));
byId("forget").addEventListener("click", () => line.send("forget"));
byId("back").addEventListener("click", () => line.send("back"));
for (const one of document.querySelectorAll('input[name="units"]')) {
  one.addEventListener("change", () => line.send("units", { system: one.value }));
}
byId("stage").addEventListener("input", () => {
  const at = Number(byId("stage").value);
  look.stage = at > top ? null : at;
  tellStage();
  showNow();
});
byId("hours").addEventListener("input", () => {
  look.hours = Number(byId("hours").value);
  byId("hours-now").textContent = `${look.hours} h`;
  showNow();
});
byId("case").addEventListener("change", () => {
  look.case = byId("case").value;
  showNow();
});
byId("crew").addEventListener("change", () => {
  look.crew = byId("crew").checked;
  showNow();
});
byId("open").addEventListener("change", async () => {
  const [file] = byId("open").files;
  if (!file) return;
  if (file.size > 1_000_000) refused({ n: line.count, message: `${file.name}: ${words["too large"]}` });
  else line.send("open", { name: file.name.slice(0, 100), text: await file.text() });
  byId("open").value = "";
});
document.addEventListener("keydown", (event) => {
  const typing = event.target.matches && event.target.matches("input[type=text], input[type=search], input[type=number]");
  if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z") return;
  event.preventDefault();
  line.send(event.shiftKey ? "redo" : "undo");
});
