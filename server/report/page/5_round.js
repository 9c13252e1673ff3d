// Work round the axis: seen along it from the tailstock, and unrolled at the largest diameter.
let round_size = null; ///< {radius: largest of the stock, far: largest of all, from, to}

function measure_round() {
  if (round_size) return round_size;
  let radius = 0, far = 0, from = 0, to = 0;
  for (let i = 1; i < data.stock.raw.length; i += 2) radius = Math.max(radius, data.stock.raw[i] || 0);
  for (const ways of round.values())
    for (const way of ways) {
      for (const [, x, degrees] of way.points) {
        if (way.feed) far = Math.max(far, Math.abs(x));
        from = Math.min(from, degrees);
        to = Math.max(to, degrees);
      }
    }
  radius = radius || far || 10000;
  return round_size = {radius, far: Math.max(radius, far), from, to: Math.max(to, from + 360)};
}
const round_radius = () => measure_round().radius;
const round_angles = () => [measure_round().from, measure_round().to];
const unrolled = degrees => degrees * Math.PI / 180 * round_radius();
/// Where a point of the way lies on the sheet, in thousandths.
function on_round([z, x, degrees]) {
  if (view.what === "unrolled") return [z, unrolled(degrees)];
  const angle = degrees * Math.PI / 180;
  return [x * Math.cos(angle), x * Math.sin(angle)];
}
/// The way as a line, or as a hole where it goes straight into the sheet.
function is_hole(way) {
  const first = on_round(way.points[0]), last = on_round(way.points[way.points.length - 1]);
  return way.feed && way.points.length === 2 && Math.hypot(first[0] - last[0], first[1] - last[1]) < 1;
}
function trace_round(way) {
  way.points.forEach((point, index) => {
    const [h, v] = on_round(point);
    if (index) pen.lineTo(across(h), down(v)); else pen.moveTo(across(h), down(v));
  });
}
function ring(radius, dash, name) {
  pen.beginPath();
  pen.arc(across(0), down(0), radius * view.scale, 0, 7);
  pen.setLineDash(dash);
  pen.lineWidth = 1.2;
  pen.strokeStyle = colour[name];
  pen.stroke();
  pen.setLineDash([]);
}
function draw_round_stock() {
  let front = -Infinity, back = Infinity, widest = 0, bore = Infinity;
  for (let i = 0; i < stock_row.length; i += 2)
    if (stock_row[i] !== null) {
      front = Math.max(front, stock_row[i]);
      back = Math.min(back, stock_row[i]);
      widest = Math.max(widest, stock_row[i + 1]);
      bore = Math.min(bore, stock_row[i + 1]);
    }
  if (view.what === "axis") {
    if (widest > 0) {
      pen.beginPath();
      pen.arc(across(0), down(0), widest * view.scale, 0, 7);
      if (bore > 1) pen.arc(across(0), down(0), bore * view.scale, 0, 7);
      pen.fillStyle = hatch("stock", false);
      pen.fill("evenodd");
      ring(widest, [], "stock-edge");
      if (bore > 1) ring(bore, [], "stock-edge");
    }
    line(MARGIN.left, down(0), view.width - MARGIN.right, down(0), "soft", 1, [18, 4, 3, 4]);
    line(across(0), MARGIN.top, across(0), view.height - MARGIN.bottom, "soft", 1, [18, 4, 3, 4]);
  } else if (widest > 0) {
    const [low, high] = round_angles();
    const top = down(unrolled(high)), foot = down(unrolled(low)), left = across(Math.max(back, z_at(MARGIN.left)));
    pen.fillStyle = hatch("stock", false);
    pen.fillRect(left, top, across(front) - left, foot - top);
    pen.strokeStyle = colour["stock-edge"];
    pen.strokeRect(left, top, across(front) - left, foot - top);
  }
}
function draw_round_ways() {
  // A sequence that turns has nothing to show here: then all that others do is shown.
  const span = steps[at][SPAN], own = find("alone").checked && [...round.keys()].some(step => steps[step][SPAN] === span);
  for (const [step, ways] of round) {
    if (own && steps[step][SPAN] !== span) continue;
    const tool = data.tools[steps[step][STATION]], size = tool && tool.diameter;
    for (const way of ways) {
      pen.globalAlpha = step > at ? 0.25 : step < at ? 0.75 : 1;
      pen.beginPath();
      if (is_hole(way)) {
        const [h, v] = on_round(way.points[0]);
        pen.arc(across(h), down(v), Math.max(3, (size || 0) / 2 * view.scale), 0, 7);
        set_stroke(size ? "feed" : "live", step === at);
      } else {
        trace_round(way);
        set_stroke(way.feed ? "live" : "rapid", step === at);
        if (way.feed) pen.setLineDash([]);
      }
      pen.strokeStyle = colour[way.feed ? "live" : "rapid"];
      pen.stroke();
      pen.setLineDash([]);
    }
  }
  pen.globalAlpha = 1;
}
/// Where the tool stands: at the end of the last way so far in this sequence.
function round_place() {
  for (let step = at; step >= 0 && steps[step][SPAN] === steps[at][SPAN]; --step) {
    const ways = round.get(step);
    if (ways) { const last = ways[ways.length - 1].points; return last[last.length - 1]; }
  }
  return null;
}
function draw_round_tool() {
  const place = round_place();
  if (!place) return;
  const [h, v] = on_round(place), px = across(h), py = down(v), tool = data.tools[steps[at][STATION]];
  if (tool && tool.diameter && (view.what === "unrolled" || Math.hypot(h, v) > 0)) {
    pen.beginPath();
    pen.arc(px, py, tool.diameter / 2 * view.scale, 0, 7);
    pen.globalAlpha = 0.35;
    pen.fillStyle = colour.tool;
    pen.fill();
    pen.globalAlpha = 1;
    pen.strokeStyle = colour.ink;
    pen.lineWidth = 1.2;
    pen.stroke();
  }
  line(px - 9, py, px + 9, py, "mark", 1.6);
  line(px, py - 9, px, py + 9, "mark", 1.6);
  if (tool) draw_name(tool.label, px + 10, py - 10);
}
function draw_round_grid() {
  const right = view.width - MARGIN.right, foot = view.height - MARGIN.bottom;
  const written = number => String(Math.round(number * 1e6) / 1e6);
  pen.font = "11px system-ui, sans-serif";
  const step = round_step(70 / view.scale / per_unit);
  for (let i = Math.ceil(z_at(MARGIN.left) / per_unit / step); i * step <= z_at(right) / per_unit; ++i) {
    const px = across(i * step * per_unit);
    line(px, MARGIN.top, px, foot, "grid", i === 0 ? 2 : 1);
    text(written(i * step), px, foot + 14, "center", "soft");
  }
  const rolled = view.what === "unrolled", unit = rolled ? unrolled(1) : per_unit;
  const high = rolled ? [5, 15, 30, 45, 90, 180, 360].find(one => one * unit * view.scale >= 26) || 360 : round_step(34 / view.scale / per_unit);
  for (let i = Math.ceil(x_at(foot) / unit / high); i * high <= x_at(MARGIN.top) / unit; ++i) {
    const py = down(i * high * unit);
    line(MARGIN.left, py, right, py, "grid");
    text(written(i * high) + (rolled ? "\u00b0" : ""), MARGIN.left - 6, py + 4, "right", "soft");
  }
  text(rolled ? "Z " + data.unit + " \u2192" : said("{0}, seen from the tailstock", data.unit), right, foot + 27, "right");
  text(rolled ? "\u2191 C" : "\u2191 C90", 8, MARGIN.top - 4);
  if (rolled) text(said("unrolled at {0}", x_text(round_radius())), MARGIN.left, foot + 27);
}
function draw_round_legend(py) {
  let px = MARGIN.left;
  for (const [words, name, dash] of [[said("feed round the axis"), "live", []], [said("rapid"), "rapid", LOOKS.rapid.dash]]) {
    line(px, py - 4, px + 30, py - 4, name, 1.6, dash);
    text(words, px + 34, py, "left", "soft");
    px += 46 + pen.measureText(words).width;
  }
  pen.beginPath();
  pen.arc(px + 8, py - 4, 5, 0, 7);
  pen.strokeStyle = colour.live;
  pen.stroke();
  text(said("hole"), px + 18, py, "left", "soft");
}
function draw_round() {
  draw_round_grid();
  pen.save();
  pen.beginPath();
  pen.rect(MARGIN.left, MARGIN.top, inner().width, inner().height);
  pen.clip();
  draw_round_stock();
  if (steps.length) {
    draw_round_ways();
    draw_round_tool();
  }
  draw_ruler();
  pen.restore();
}
/// The step whose way round the axis is nearest to a place on the sheet; -1: none is near.
function round_near(px, py) {
  let best = -1, nearest = 9;
  for (const [step, ways] of round)
    for (const way of ways)
      for (let i = 0; i + 1 < way.points.length; ++i) {
        const [a, b] = [on_round(way.points[i]), on_round(way.points[i + 1])];
        const distance = distance_to(px, py, across(a[0]), down(a[1]), across(b[0]), down(b[1]));
        if (distance < nearest) { nearest = distance; best = step; }
      }
  return best;
}
/// In words, where the tool stands round the axis.
function round_text() {
  const place = steps.length && round.size ? round_place() : null;
  if (!place) return "";
  const degrees = ((place[2] % 360) + 360) % 360;
  return "C" + (Math.round(degrees * 1000) / 1000) + "\u00b0, " + x_text(place[1]);
}
