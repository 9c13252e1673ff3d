"use strict";
// What the page was given, and is given anew where it follows an editor. Lengths in thousandths of a millimetre, X as
// radius.
const find = id => document.getElementById(id);
const [LINE, SPAN, TOOL, SPINDLE, RPM, FEED, POSITION, LOAD, OTHER, CALLED, OPEN, SECONDS, WITHOUT, Z, X, MOVES,
  STATION] = Array(17).keys();
const STROKES = ["rapid", "feed", "pass", "link", "finish", "thread", "live"];
/// A text for people in the language that the page was made in; {0} and so on are places for values.
const said = (text, ...values) => (data.words && data.words[text] || text).replace(/\{(\d)\}/g, (_, i) => values[i]);
const stroke_words = stroke => [said("rapid"), said("feed"), said("pass of a cycle"), said("rapid inside a cycle"),
  said("finishing pass"), said("thread"), said("live tool, no turned cut")][stroke];
const WITH_ARC = 8, WITH_START = 16;

/// One move: {stroke, z0, x0, z1, x1} and for an arc {cz, cx, radius, from, sweep}, angles from +Z toward +X.
function decode(row) {
  const moves = [];
  let z = 0, x = 0;
  for (let i = 0; i < row.length;) {
    const kind = row[i++];
    if (kind & WITH_START) { z = row[i++]; x = row[i++]; }
    const move = {stroke: kind & 7, z0: z, x0: x, z1: row[i++], x1: row[i++]};
    if (kind & WITH_ARC) {
      move.cz = row[i++];
      move.cx = row[i++];
      move.sweep = row[i++] / 1e5;
      move.radius = Math.hypot(z - move.cz, x - move.cx);
      move.from = Math.atan2(x - move.cx, z - move.cz);
    }
    z = move.z1;
    x = move.x1;
    moves.push(move);
  }
  return moves;
}
let data, moves, steps, last_step, strokes_seen;
let before; ///< Number of moves in front of each step; one more than there are steps
let first_of_span; ///< First step of every sequence that has one
let hit_lines; ///< Numbers of the warnings by their line
let round;     ///< By step, the way round the axis: [{feed, points: [[z, x, degrees], ...]}, ...]
let per_unit, digits;

function take_data(given) {
  data = given;
  moves = decode(data.moves);
  steps = data.steps;
  last_step = steps.length - 1;
  before = [0];
  for (const step of steps) before.push(before[before.length - 1] + step[MOVES]);
  first_of_span = new Map();
  steps.forEach((step, index) => { if (!first_of_span.has(step[SPAN])) first_of_span.set(step[SPAN], index); });
  hit_lines = new Map();
  data.hits.forEach(hit => {
    if (!hit_lines.has(hit.line)) hit_lines.set(hit.line, []);
    hit_lines.get(hit.line).push(hit.number);
  });
  round = new Map();
  for (const [step, ways] of Object.entries(data.round)) round.set(Number(step), ways.map(decode_round));
  strokes_seen = new Set(moves.map(move => move.stroke));
  per_unit = data.unit === "in" ? 25400 : 1000;
  digits = data.unit === "in" ? 4 : 3;
  take_stock();
}

function decode_round(row) {
  const points = [];
  for (let i = 1; i < row.length; i += 3) points.push([row[i], row[i + 1], row[i + 2] / 1000]);
  return {feed: row[0] === 1, points};
}
const line_text = line => data.lines[line - data.firstLine] || "";
/// Lines that this page holds: of a program in parts not all.
const last_line = () => data.firstLine + data.lines.length - 1;

function point_on(move, share) {
  if (share >= 1) return [move.z1, move.x1];
  if (!move.radius) return [move.z0 + (move.z1 - move.z0) * share, move.x0 + (move.x1 - move.x0) * share];
  const angle = move.from + move.sweep * share;
  return [move.cz + move.radius * Math.cos(angle), move.cx + move.radius * Math.sin(angle)];
}

// --- Numbers for people

function length_text(thousandths) {
  return (thousandths / per_unit).toFixed(digits).replace(/0+$/, "").replace(/\.$/, "") || "0";
}
function x_text(x) { return data.diameter ? said("diameter {0}", length_text(2 * x)) : said("radius {0}", length_text(x)); }

function time_text(seconds) {
  if (seconds < 9.95) return seconds.toFixed(1) + " s";
  const whole = Math.round(seconds), two = number => String(number).padStart(2, "0");
  if (whole < 60) return whole + " s";
  if (whole < 3600) return Math.floor(whole / 60) + " min " + two(whole % 60) + " s";
  return Math.floor(whole / 3600) + " h " + two(Math.floor(whole % 3600 / 60)) + " min";
}
