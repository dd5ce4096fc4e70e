// What holds it up: needed bed friction against counted wire tension, with the point of this design.

import { byId, draw } from "./dom.js";

const W = 640, H = 300, LEFT = 56, RIGHT = 120, TOP = 14, BOTTOM = 48;

function ticks(most) {
  const rough = most / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((k) => k * power).find((one) => one >= rough);
  const out = [];
  for (let v = 0; v <= most + 1e-9; v += step) out.push(Number(v.toPrecision(6)));
  return out;
}

export function chart(message, system, words) {
  const perUnit = system === "imperial" ? 0.0044482216 : 1;
  const unit = system === "imperial" ? "lbf" : "kN";
  const known = message.chart.filter(([, mu]) => mu !== null).map(([T, mu]) => [T / perUnit, mu]);
  const wire = message.wire / perUnit;
  const right = Math.max(4 / perUnit, wire * 1.1);
  const top = Math.max(0.6, 1.3 * message.friction, ...known.slice(0, 1).map(([, mu]) => Math.min(mu * message.required, 1.5) * 1.1));
  const x = (v) => LEFT + (v / right) * (W - LEFT - RIGHT);
  const y = (v) => H - BOTTOM - (Math.min(v, top) / top) * (H - TOP - BOTTOM);
  const svg = draw("svg", { viewBox: `0 0 ${W} ${H}`, role: "img", "font-size": 12 });
  const said = known.length
    ? `${words["this design"]}: ${message.friction.toPrecision(3)}, ${wire.toPrecision(3)} ${unit}. ${words["just stands"]}: ` +
      known.map(([T, mu]) => `${mu.toPrecision(2)} at ${T.toPrecision(3)} ${unit}`).join(", ")
    : words["chart none"];
  svg.append(draw("title", {}, words.chart), draw("desc", {}, said));
  const axis = { stroke: "#22201d", "stroke-width": 1 };
  svg.append(draw("line", { x1: LEFT, y1: H - BOTTOM, x2: W - RIGHT, y2: H - BOTTOM, ...axis }),
    draw("line", { x1: LEFT, y1: TOP, x2: LEFT, y2: H - BOTTOM, ...axis }));
  for (const v of ticks(right)) {
    svg.append(draw("line", { x1: x(v), x2: x(v), y1: H - BOTTOM, y2: H - BOTTOM + 5, ...axis }),
      draw("text", { x: x(v), y: H - BOTTOM + 18, "text-anchor": "middle" }, String(v)));
  }
  for (const v of ticks(top)) {
    svg.append(draw("line", { x1: LEFT - 5, x2: LEFT, y1: y(v), y2: y(v), ...axis }),
      draw("text", { x: LEFT - 8, y: y(v) + 4, "text-anchor": "end" }, String(v)));
  }
  svg.append(draw("text", { x: (LEFT + W - RIGHT) / 2, y: H - 10, "text-anchor": "middle" }, `${words["chart x"]} [${unit}]`),
    draw("text", { x: 14, y: (TOP + H - BOTTOM) / 2, "text-anchor": "middle", transform: `rotate(-90 14 ${(TOP + H - BOTTOM) / 2})` }, words["chart y"]));
  if (known.length) {
    const path = (scale) => known.map(([T, mu], i) => `${i ? "L" : "M"}${x(T).toFixed(1)} ${y(mu * scale).toFixed(1)}`).join("");
    svg.append(
      draw("path", { d: `${path(1)}L${x(known.at(-1)[0])} ${H - BOTTOM}L${x(known[0][0])} ${H - BOTTOM}Z`, fill: "#efe6d8" }),
      draw("path", { d: path(1), fill: "none", stroke: "#22201d", "stroke-width": 2 }),
      draw("path", { d: path(message.required), fill: "none", stroke: "#1f5f7d", "stroke-width": 2, "stroke-dasharray": "6 4" }),
      draw("text", { x: LEFT + 10, y: H - BOTTOM - 8 }, words["no line"]),
    );
    const ends = [[words["just stands"], y(known.at(-1)[1])], [`${words["required column"]} (${message.required}x)`, y(known.at(-1)[1] * message.required)]];
    if (Math.abs(ends[0][1] - ends[1][1]) < 14) ends[1][1] = ends[0][1] - 14;
    for (const [text, at] of ends) svg.append(draw("text", { x: W - RIGHT + 6, y: at + 4 }, text));
  } else {
    svg.append(draw("text", { x: (LEFT + W - RIGHT) / 2, y: H / 2, "text-anchor": "middle" }, words["chart none"]));
  }
  svg.append(draw("circle", { cx: x(wire), cy: y(message.friction), r: 6, fill: "#a63a1e", stroke: "#22201d" }),
    draw("text", { x: x(wire) + 10, y: y(message.friction) - 8, "font-weight": "bold" }, words["this design"]));
  byId("chart-figure").replaceChildren(svg);
}
