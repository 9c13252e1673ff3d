// A ruler between two points: it catches corners of the stock and ends of moves.
const ruler = {on: false, points: []};
const CATCH = 9; // Pixels

function caught(px, py) {
  let best = null, nearest = CATCH;
  const look = (z, x, radius) => {
    const distance = Math.hypot(across(z) - px, down(x) - py);
    if (distance < nearest) { nearest = distance; best = {z, x, radius}; }
  };
  if (view.what !== "section") {
    for (const ways of round.values())
      for (const way of ways) for (const point of way.points) look(...on_round(point));
    return best || {z: z_at(px), x: x_at(py)};
  }
  for (let i = 0; i < stock_row.length; i += 2) if (stock_row[i] !== null) look(stock_row[i], stock_row[i + 1]);
  for (const move of moves) look(move.z1, move.x1, move.radius);
  return best || {z: z_at(px), x: x_at(py)};
}
function take_point(point) {
  if (ruler.points.length === 2) ruler.points = [];
  ruler.points.push(point);
  tell_ruler();
  draw();
}
function tell_ruler() {
  const [a, b] = ruler.points;
  if (!ruler.on) return put("measured", "");
  if (a && view.what !== "section") return tell_round_ruler(a, b);
  if (!a) return put("measured", said("Click two points, or press Enter to take the tool's place."));
  const place = point => x_text(point.x) + " Z" + length_text(point.z) +
    (point.radius ? said(", on an arc of radius {0}", length_text(point.radius)) : "");
  if (!b) return put("measured", said("From {0}: click the second point.", place(a)));
  const z = b.z - a.z, x = b.x - a.x, angle = Math.atan2(Math.abs(x), Math.abs(z)) * 180 / Math.PI;
  put("measured", said("From {0} to {1}: length {2}, along Z {3}, X on radius {4}, on diameter {5}, angle to the axis {6}",
    place(a), place(b), length_text(Math.hypot(z, x)), length_text(Math.abs(z)), length_text(Math.abs(x)),
    length_text(Math.abs(2 * x)), angle.toFixed(2) + "\u00b0"));
}
function tell_round_ruler(a, b) {
  const rolled = view.what === "unrolled";
  const degrees = point => rolled ? point.x / unrolled(1) : Math.atan2(point.x, point.z) * 180 / Math.PI;
  const place = point => (rolled ? "Z" + length_text(point.z) : x_text(Math.hypot(point.z, point.x))) + " C" + degrees(point).toFixed(2) + "\u00b0";
  if (!b) return put("measured", said("From {0}: click the second point.", place(a)));
  const values = [place(a), place(b), length_text(Math.hypot(b.z - a.z, b.x - a.x)),
    Math.abs(degrees(b) - degrees(a)).toFixed(2) + "\u00b0"];
  put("measured", rolled ? said("From {0} to {1}: length {2} on the unrolled surface, angle between {3}", ...values)
    : said("From {0} to {1}: length {2}, angle between {3}", ...values));
}
function draw_ruler() {
  if (!ruler.on) return;
  const [a, b] = ruler.points;
  if (a && b) line(across(a.z), down(a.x), across(b.z), down(b.x), "mark", 1.5, [6, 3]);
  for (const point of ruler.points) {
    pen.fillStyle = colour.mark;
    pen.fillRect(across(point.z) - 4, down(point.x) - 4, 8, 8);
  }
}
function measure(on) {
  Object.assign(ruler, {on, points: []});
  find("measure").setAttribute("aria-pressed", String(on));
  tell_ruler();
  draw();
}
