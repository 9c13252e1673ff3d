// How lines and areas look: a kind of move differs in its dashes and marks as well as in colour and width, so
// that it reads in grey and for every eye.
const LOOKS = {
  rapid: {dash: [9, 5], width: 1.1},
  feed: {dash: [], width: 1.7},
  pass: {dash: [16, 3], width: 1},
  link: {dash: [1.5, 3.5], width: 1.1},
  finish: {dash: [], width: 2.2, dots: true},
  thread: {dash: [9, 2, 2, 2], width: 2},
  live: {dash: [4, 2], width: 1.6},
};
let colour = {};
function take_colours() {
  const style = getComputedStyle(document.documentElement);
  colour = {};
  for (const name of ["sheet", "ink", "soft", "grid", "stock", "stock-edge", "jaw", "rapid", "cut", "thread", "live",
    "mark", "tool", "holder"])
    colour[name] = style.getPropertyValue("--" + name).trim();
  hatches.clear();
}
const hatches = new Map();
/// Slanted lines, one way or both, in a colour.
function hatch(name, both) {
  if (hatches.has(name)) return hatches.get(name);
  const tile = document.createElement("canvas"), size = Math.round(8 * density);
  tile.width = tile.height = size;
  const ink = tile.getContext("2d");
  ink.strokeStyle = colour[name];
  ink.lineWidth = density;
  ink.beginPath();
  for (const from of [-size, 0, size]) {
    ink.moveTo(from, size);
    ink.lineTo(from + size, 0);
    if (both) { ink.moveTo(from, 0); ink.lineTo(from + size, size); }
  }
  ink.stroke();
  const pattern = pen.createPattern(tile, "repeat");
  pattern.setTransform(new DOMMatrix().scale(1 / density));
  hatches.set(name, pattern);
  return pattern;
}
const stroke_colour = name => colour[{rapid: "rapid", link: "rapid", thread: "thread", live: "live"}[name] || "cut"];
function set_stroke(name, wider) {
  const look = LOOKS[name];
  pen.setLineDash(look.dash);
  pen.lineWidth = look.width * (wider ? 1.8 : 1);
  pen.strokeStyle = stroke_colour(name);
}
/// Adds a move to the pen's path, up to a share of it.
function trace(move, share, state) {
  if (state.z !== move.z0 || state.x !== move.x0) pen.moveTo(across(move.z0), down(move.x0));
  const end = point_on(move, share);
  if (move.radius) {
    const angle = move.from + move.sweep * share;
    pen.ellipse(across(move.cz), down(move.cx), move.radius * view.scale, move.radius * view.scale * view.stretch, 0,
      -move.from, -angle, move.sweep > 0);
  } else {
    pen.lineTo(across(end[0]), down(end[1]));
  }
  [state.z, state.x] = end;
}
/// Moves of the row from `from` to before `to`, the last only to a share of it.
function draw_moves(from, to, share, wider, row = moves) {
  for (let stroke = 0; stroke < STROKES.length; ++stroke) {
    const state = {}, dots = [];
    pen.beginPath();
    for (let i = from; i < to; ++i) {
      if (row[i].stroke !== stroke) continue;
      trace(row[i], i === to - 1 ? share : 1, state);
      if (LOOKS[STROKES[stroke]].dots && (to - from < 4000)) dots.push([row[i].z1, row[i].x1]);
    }
    set_stroke(STROKES[stroke], wider);
    pen.stroke();
    pen.setLineDash([]);
    pen.fillStyle = pen.strokeStyle;
    for (const [z, x] of dots) pen.fillRect(across(z) - 2.2, down(x) - 2.2, 4.4, 4.4);
  }
}
