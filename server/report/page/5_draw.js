// The whole sheet, anew for every step.
function text(words, px, py, align = "left", name = "ink") {
  pen.fillStyle = colour[name];
  pen.textAlign = align;
  pen.fillText(words, px, py);
}
function line(x0, y0, x1, y1, name, width = 1, dash = []) {
  pen.beginPath();
  pen.setLineDash(dash);
  pen.moveTo(x0, y0);
  pen.lineTo(x1, y1);
  pen.lineWidth = width;
  pen.strokeStyle = colour[name];
  pen.stroke();
  pen.setLineDash([]);
}
function round_step(least) {
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map(factor => factor * power).find(step => step >= least * 0.999);
}
function draw_grid() {
  const right = view.width - MARGIN.right, foot = view.height - MARGIN.bottom, of_x = data.diameter ? 2 : 1;
  const z_step = round_step(70 / view.scale / per_unit), x_step = round_step(34 / view.scale / stretched() / per_unit * of_x);
  const written = number => String(Math.round(number * 1e6) / 1e6);
  pen.font = "11px system-ui, sans-serif";
  for (let i = Math.ceil(z_at(MARGIN.left) / per_unit / z_step); i * z_step <= z_at(right) / per_unit; ++i) {
    const px = across(i * z_step * per_unit);
    line(px, MARGIN.top, px, foot, "grid", i === 0 ? 2 : 1);
    text(written(i * z_step), px, foot + 14, "center", "soft");
  }
  for (let i = Math.ceil(x_at(foot) / per_unit * of_x / x_step); i * x_step <= x_at(MARGIN.top) / per_unit * of_x; ++i) {
    const py = down(i * x_step / of_x * per_unit);
    line(MARGIN.left, py, right, py, "grid");
    text(written(view.halves ? Math.abs(i * x_step) : i * x_step), MARGIN.left - 6, py + 4, "right", "soft");
  }
  text("Z " + data.unit + " \u2192", right, foot + 27, "right");
  text("\u2191 X " + (data.diameter ? "\u2300" : "R"), 8, MARGIN.top - 4);
}
function outline(row, mirrored) {
  const side = mirrored ? -1 : 1;
  let open = false;
  pen.beginPath();
  for (let i = 0; i < row.length; i += 2) {
    if (row[i] === null) { pen.closePath(); open = false; continue; }
    if (open) pen.lineTo(across(row[i]), down(side * row[i + 1])); else pen.moveTo(across(row[i]), down(side * row[i + 1]));
    open = true;
  }
  if (open) pen.closePath();
}
/// In the middle of what is seen of it.
function name_body(body) {
  let [left, right, low, high] = [Infinity, -Infinity, Infinity, -Infinity];
  for (let i = 0; i < body.outline.length; i += 2) {
    left = Math.min(left, across(body.outline[i]));
    right = Math.max(right, across(body.outline[i]));
    high = Math.min(high === -Infinity ? Infinity : high, down(body.outline[i + 1]));
    low = Math.max(low === Infinity ? -Infinity : low, down(Math.max(0, body.outline[i + 1])));
  }
  left = Math.max(left, MARGIN.left);
  right = Math.min(right, view.width - MARGIN.right);
  high = Math.max(high, MARGIN.top);
  low = Math.min(low, view.height - MARGIN.bottom);
  pen.font = "bold 11px system-ui, sans-serif";
  const width = pen.measureText(body.name).width + 8;
  if (right - left < width || low - high < 16) return;
  draw_name(body.name, (left + right - width) / 2, (low + high) / 2 + 4);
}
function draw_body(row, name, edge, both) {
  for (const mirrored of view.halves ? [false, true] : [false]) {
    outline(row, mirrored);
    pen.fillStyle = hatch(name, both);
    pen.fill("evenodd");
    pen.strokeStyle = colour[edge];
    pen.lineWidth = 1.4;
    pen.stroke();
  }
}
/// With its other end in front the part is held in a way that nothing tells, but for the second spindle's jaws.
const is_turned = () => data.turned !== null && (at >= data.turned || find("sizes").checked);
function draw_bodies() {
  if (data.stock.raw.length && !is_turned()) {
    outline(data.stock.raw, false);
    pen.setLineDash([3, 3]);
    pen.lineWidth = 1;
    pen.strokeStyle = colour.soft;
    pen.stroke();
    pen.setLineDash([]);
  }
  if (data.stock.raw.length) {
    pen.globalAlpha = stock_is_known(done) ? 1 : 0.45;
    draw_body(stock_row, "stock", "stock-edge", false);
    pen.globalAlpha = 1;
  }
  const second = data.second && at >= data.second.from ? data.second.bodies : [];
  for (const body of [...(is_turned() ? [] : data.bodies), ...second]) {
    draw_body(body.outline, "jaw", "jaw", true);
    name_body(body);
  }
  line(MARGIN.left, down(0), view.width - MARGIN.right, down(0), "soft", 1, [18, 4, 3, 4]);
}
function draw_way() {
  if (!steps.length) return;
  const span = steps[at][SPAN], own = find("alone").checked;
  let from = 0, to = moves.length;
  if (own) {
    let a = at, b = at;
    while (a > 0 && steps[a - 1][SPAN] === span) --a;
    while (b < last_step && steps[b + 1][SPAN] === span) ++b;
    from = before[a];
    to = before[b + 1];
    // The head moves nothing: an empty drawing would tell less than the whole way.
    if (from === to) { from = 0; to = moves.length; }
  }
  pen.globalAlpha = 0.22;
  draw_moves(Math.max(from, done), to, 1, false);
  pen.globalAlpha = 0.75;
  draw_moves(from, Math.min(before[at], to), 1, false);
  pen.globalAlpha = 1;
  draw_moves(before[at], done + (part > 0 ? 1 : 0), part > 0 ? part : 1, true);
  const nose = data.nose[at];
  if (!nose) return;
  pen.beginPath();
  const state = {};
  for (const move of decode(nose)) trace(move, 1, state);
  pen.setLineDash([11, 2]);
  pen.strokeStyle = colour.live;
  pen.lineWidth = 1;
  pen.stroke();
  pen.setLineDash([]);
}
/// What is written on the sheet so far, [left, top, right, bottom]: numbers of hits keep clear of it and of each other.
let taken = [];
let hit_numbers = []; ///< By hit, the box that its number stands in; null where it is out of view
const overlap = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
const in_frame = (px, py) => px >= MARGIN.left && px <= view.width - MARGIN.right && py >= MARGIN.top && py <= view.height - MARGIN.bottom;
const RING = 9, NUMBER_HEIGHT = 14;
/// Right above its ring, or else round it, further and further out.
function place_number(px, py, width) {
  let first = null;
  for (let out = 0; out < 8; ++out) {
    for (const degrees of [45, 315, 135, 225, 0, 180, 90, 270]) {
      const turn = degrees * Math.PI / 180, far = RING + 1 + out * 16;
      const x = px + Math.cos(turn) * (far + width / 2), y = py - Math.sin(turn) * (far + NUMBER_HEIGHT / 2);
      const box = [x - width / 2, y - NUMBER_HEIGHT / 2, x + width / 2, y + NUMBER_HEIGHT / 2];
      if (!in_frame(box[0], box[1]) || !in_frame(box[2], box[3])) continue;
      first = first || box;
      if (!taken.some(other => overlap(box, other))) return box;
    }
  }
  return first;
}
function draw_hits() {
  pen.font = "bold 11px system-ui, sans-serif";
  const places = data.hits.map(hit => {
    const place = place_of_hit(hit);
    return place && [across(place[0]), down(place[1])];
  });
  places.forEach((place, index) => {
    if (!place) return;
    const now = index === hit_now;
    pen.beginPath();
    pen.arc(...place, now ? RING + 3 : RING, 0, 7);
    pen.lineWidth = now ? 3 : 1.8;
    pen.strokeStyle = colour.mark;
    pen.stroke();
  });
  // No number hides what another ring is drawn round.
  for (const place of places)
    if (place) taken.push([place[0] - RING + 3, place[1] - RING + 3, place[0] + RING - 3, place[1] + RING - 3]);
  hit_numbers = places.map((place, index) => {
    if (!place || !in_frame(...place)) return null;
    const number = String(data.hits[index].number), box = place_number(...place, pen.measureText(number).width + 6);
    if (!box) return null;
    taken.push(box);
    const middle = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2], far = Math.hypot(middle[0] - place[0], middle[1] - place[1]);
    if (far > 2 * RING + 10)
      line(place[0] + (middle[0] - place[0]) * RING / far, place[1] + (middle[1] - place[1]) * RING / far, ...middle, "mark");
    pen.fillStyle = colour.mark;
    pen.fillRect(box[0], box[1], box[2] - box[0], NUMBER_HEIGHT);
    text(number, middle[0], middle[1] + 4, "center", "sheet");
    return box;
  });
}
function draw_legend() {
  pen.font = "11px system-ui, sans-serif";
  let px = MARGIN.left, py = view.height - 24;
  if (view.what !== "section") return draw_round_legend(py);
  STROKES.forEach((name, stroke) => {
    if (!strokes_seen.has(stroke)) return;
    const width = 40 + pen.measureText(stroke_words(stroke)).width;
    if (px + width > view.width) { px = MARGIN.left; py += 15; }
    pen.beginPath();
    pen.moveTo(px, py - 4);
    pen.lineTo(px + 30, py - 4);
    set_stroke(name, false);
    pen.stroke();
    pen.setLineDash([]);
    if (LOOKS[name].dots) { pen.fillStyle = pen.strokeStyle; pen.fillRect(px + 26, py - 6.2, 4.4, 4.4); }
    text(stroke_words(stroke), px + 34, py, "left", "soft");
    px += width + 12;
  });
}

function draw() {
  taken = [];
  hit_numbers = [];
  pen.setTransform(density, 0, 0, density, 0, 0);
  pen.fillStyle = colour.sheet;
  pen.fillRect(0, 0, view.width, view.height);
  pen.lineJoin = "round";
  if (view.what === "section") draw_section(); else draw_round();
  pen.strokeStyle = colour.soft;
  pen.lineWidth = 1;
  pen.strokeRect(MARGIN.left, MARGIN.top, inner().width, inner().height);
  if (data.whyNothing) {
    pen.font = "15px system-ui, sans-serif";
    text(data.whyNothing, MARGIN.left + 16, MARGIN.top + 30);
  }
  draw_legend();
}
function draw_section() {
  draw_grid();
  pen.save();
  pen.beginPath();
  pen.rect(MARGIN.left, MARGIN.top, inner().width, inner().height);
  pen.clip();
  if (sizes_shown()) stock_behind(finished_at());
  draw_bodies();
  if (sizes_shown()) {
    draw_sizes();
    stock_behind(done);
  } else {
    draw_way();
    draw_tool();
    draw_hits();
  }
  draw_ruler();
  pen.restore();
}
