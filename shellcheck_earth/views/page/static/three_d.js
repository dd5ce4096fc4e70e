// The dome to turn round: rings or blocks, what moves in red between its place at rest and where it goes.
// Drawn only when something changes: nothing turns or moves by itself.

import { byId } from "./dom.js";

const CLAY = [0.87, 0.78, 0.64], PALE = [0.94, 0.9, 0.83], MOVED = [0.72, 0.25, 0.13], GROUND = [0.8, 0.76, 0.68], ARROW = [0.13, 0.12, 0.11];
const KINDS = { lintel: [0.45, 0.33, 0.22], head: [0.88, 0.7, 0.42], buttress: [0.66, 0.61, 0.54], footing: [0.62, 0.61, 0.59] };
const SEGMENTS = 72;

const VERTEX = `#version 300 es
in vec3 position; in vec3 gone; in vec3 colour;
uniform mat4 view; uniform float amount;
out vec3 place; out vec3 shade;
void main() {
  vec3 at = mix(position, gone, amount);
  place = at; shade = colour;
  gl_Position = view * vec4(at, 1.0);
}`;
const FRAGMENT = `#version 300 es
precision highp float;
in vec3 place; in vec3 shade; out vec4 pixel;
uniform vec3 light; uniform float cut; uniform vec2 side;
void main() {
  if (cut > 0.5 && dot(place.xy, side) > 0.0) discard;
  vec3 normal = normalize(cross(dFdx(place), dFdy(place)));
  float lit = 0.55 + 0.45 * abs(dot(normal, light));
  pixel = vec4(shade * lit, 1.0);
}`;

let line = null;
let words = {};
let twgl = null;
let gl = null;
let program = null;
let buffers = null;
let frame = null;
let known = null;
const eye = { turn: 0.7, tilt: 0.35, near: 1 };

export function begin(connection, texts) {
  line = connection;
  words = texts;
  byId("three-show").addEventListener("click", toggle);
  byId("three-open").addEventListener("change", redraw);
  byId("three-moves").addEventListener("input", redraw);
  const canvas = byId("three-canvas");
  canvas.addEventListener("pointerdown", hold);
  canvas.addEventListener("wheel", (event) => {
    event.preventDefault();
    nearer(Math.exp(-event.deltaY / 800));
  }, { passive: false });
  canvas.addEventListener("keydown", key);
  addEventListener("resize", redraw);
}

async function toggle() {
  const open = byId("three-body").hidden;
  byId("three-body").hidden = !open;
  byId("three-show").setAttribute("aria-expanded", open);
  if (!open) return;
  twgl = twgl || (await import("./twgl-full.module.js"));
  gl = gl || byId("three-canvas").getContext("webgl2", { antialias: true });
  if (!gl) {
    byId("three-said").textContent = words["three cannot"];
    byId("three-canvas").hidden = true;
    return;
  }
  program = program || twgl.createProgramInfo(gl, [VERTEX, FRAGMENT]);
  line.send("solid");
}

export function refresh() {
  if (!byId("three-body").hidden && gl) line.send("solid");
}

function hold(event) {
  const canvas = byId("three-canvas");
  canvas.setPointerCapture(event.pointerId);
  let [x, y] = [event.clientX, event.clientY];
  const move = (now) => {
    turn((now.clientX - x) / 160, (now.clientY - y) / 160);
    [x, y] = [now.clientX, now.clientY];
  };
  canvas.addEventListener("pointermove", move);
  canvas.addEventListener("lostpointercapture", () => canvas.removeEventListener("pointermove", move), { once: true });
}

const KEYS = { ArrowLeft: [-0.12, 0], ArrowRight: [0.12, 0], ArrowUp: [0, -0.08], ArrowDown: [0, 0.08] };

function key(event) {
  if (event.key in KEYS) turn(...KEYS[event.key]);
  else if (event.key === "+" || event.key === "=") nearer(1.15);
  else if (event.key === "-") nearer(1 / 1.15);
  else return;
  event.preventDefault();
}

function turn(across, up) {
  eye.turn += across;
  eye.tilt = Math.min(Math.max(eye.tilt + up, -0.2), 1.5);
  redraw();
}

function nearer(times) {
  eye.near = Math.min(Math.max(eye.near * times, 0.5), 4);
  redraw();
}

// ---- from numbers to triangles; z is up

const tint = (colour, number) => colour.map((v) => v * (number % 2 ? 1 : 0.95));

function ring(out, one) {
  const colour = one.gone ? MOVED : CLAY;
  const gone = one.gone || one.section;
  const at = ([r, z], angle) => [r * Math.sin(angle), r * Math.cos(angle), z];
  for (let s = 0; s < SEGMENTS; s += 1) {
    const [a, b] = [(2 * Math.PI * s) / SEGMENTS, (2 * Math.PI * (s + 1)) / SEGMENTS];
    for (let k = 0; k < 4; k += 1) {
      const j = (k + 1) % 4;
      for (const [which, angle] of [[k, a], [j, a], [j, b], [k, a], [j, b], [k, b]]) {
        out.position.push(...at(one.section[which], angle));
        out.gone.push(...at(gone[which], angle));
        out.colour.push(...tint(colour, one.number));
      }
    }
  }
}

function body(out, one, moving) {
  const colour = one.gone ? MOVED : KINDS[one.kind] || (moving ? PALE : CLAY);
  for (const triangle of one.triangles) {
    for (const corner of triangle) {
      out.position.push(...one.points[corner]);
      out.gone.push(...(one.gone || one.points)[corner]);
      out.colour.push(...tint(colour, one.course));
    }
  }
}

// An arrow from where a piece is to where it goes, seen at the end of its motion: a ribbon with a head, twice across.
function arrow(out, from, to) {
  const way = to.map((v, i) => v - from[i]);
  const length = Math.hypot(...way);
  if (length < 0.05) return;
  const along = way.map((v) => v / length);
  for (const across of [[along[1], -along[0], 0], [0, -along[2], along[1]]]) {
    const size = Math.hypot(...across);
    if (size < 0.1) continue;
    const side = across.map((v) => v / size);
    const at = (t, w) => from.map((v, i) => v + t * way[i] + w * side[i]);
    const neck = Math.max(1 - 0.09 / length, 0.4);
    const shape = [at(0, -0.012), at(0, 0.012), at(neck, 0.012), at(0, -0.012), at(neck, 0.012), at(neck, -0.012),
      at(neck, -0.045), at(neck, 0.045), at(1, 0)];
    for (const point of shape) {
      out.position.push(...from);
      out.gone.push(...point);
      out.colour.push(...ARROW);
    }
  }
}

const middle = (points) => [0, 1, 2].map((i) => points.reduce((sum, point) => sum + point[i], 0) / points.length);

function ringArrows(out, one) {
  const [outer, gone] = [one.section, one.gone].map((points) => [(points[1][0] + points[2][0]) / 2, (points[1][1] + points[2][1]) / 2]);
  for (let k = 0; k < 12; k += 1) {
    const angle = (2 * Math.PI * k) / 12;
    const at = ([r, z]) => [r * Math.sin(angle), r * Math.cos(angle), z];
    arrow(out, at(outer), at(gone));
  }
}

function ground(out, { reach, ground: z }) {
  const far = 1.7 * reach;
  for (let s = 0; s < SEGMENTS; s += 1) {
    for (const [r, k] of [[0, 0], [far, s], [far, s + 1]]) {
      const angle = (2 * Math.PI * k) / SEGMENTS;
      const place = [r * Math.sin(angle), r * Math.cos(angle), z - 0.005];
      out.position.push(...place);
      out.gone.push(...place);
      out.colour.push(...GROUND);
    }
  }
}

export function heard(message) {
  known = message;
  if (!gl) return;
  const out = { position: [], gone: [], colour: [] };
  ground(out, message);
  const moving = Boolean(message.title);
  for (const one of message.rings || []) ring(out, one);
  for (const one of message.bodies || []) body(out, one, moving);
  for (const one of (message.rings || []).filter((ring) => ring.gone)) ringArrows(out, one);
  for (const one of (message.bodies || []).filter((block) => block.gone)) arrow(out, middle(one.points), middle(one.gone));
  byId("three-moving").hidden = !moving;
  byId("three-said").textContent = moving ? `${words["three of"]} ${message.title}` : words["three none"];
  buffers = twgl.createBufferInfoFromArrays(gl, {
    position: { numComponents: 3, data: out.position },
    gone: { numComponents: 3, data: out.gone },
    colour: { numComponents: 3, data: out.colour },
  });
  byId("three-canvas").dataset.triangles = out.position.length / 9;
  redraw();
}

function redraw() {
  if (!buffers || frame) return;
  frame = requestAnimationFrame(() => {
    frame = null;
    paint();
  });
}

function paint() {
  const { m4, v3 } = twgl;
  const canvas = gl.canvas;
  twgl.resizeCanvasToDisplaySize(canvas, Math.min(devicePixelRatio, 2));
  gl.viewport(0, 0, canvas.width, canvas.height);
  gl.enable(gl.DEPTH_TEST);
  gl.clearColor(0.984, 0.973, 0.949, 1);
  gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
  const height = known.top - known.base;
  const far = (2.4 * Math.max(known.reach, height / 1.6)) / eye.near;
  const middle = [0, 0, known.base + 0.45 * height];
  const from = [
    middle[0] + far * Math.cos(eye.tilt) * Math.sin(eye.turn),
    middle[1] + far * Math.cos(eye.tilt) * Math.cos(eye.turn),
    middle[2] + far * Math.sin(eye.tilt),
  ];
  const camera = m4.lookAt(from, middle, [0, 0, 1]);
  const lens = m4.perspective(Math.PI / 4, canvas.width / canvas.height, 0.05, 100);
  gl.useProgram(program.program);
  twgl.setBuffersAndAttributes(gl, program, buffers);
  twgl.setUniforms(program, {
    view: m4.multiply(lens, m4.inverse(camera)),
    amount: known.title ? Number(byId("three-moves").value) : 0,
    light: v3.normalize([Math.sin(eye.turn + 0.6), Math.cos(eye.turn + 0.6), 0.8]),
    cut: byId("three-open").checked ? 1 : 0,
    side: [Math.sin(eye.turn), Math.cos(eye.turn)],
  });
  twgl.drawBufferInfo(gl, buffers);
}
