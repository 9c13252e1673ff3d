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
  if (!a) return put("measured", "Click two points, or press Enter to take the tool's place.");
  const place = point => x_text(point.x) + " Z" + length_text(point.z) +
    (point.radius ? ", on an arc of radius " + length_text(point.radius) : "");
  if (!b) return put("measured", "From " + place(a) + ": click the second point.");
  const z = b.z - a.z, x = b.x - a.x, angle = Math.atan2(Math.abs(x), Math.abs(z)) * 180 / Math.PI;
  put("measured", "From " + place(a) + " to " + place(b) + ": length " + length_text(Math.hypot(z, x)) + ", along Z " +
    length_text(Math.abs(z)) + ", X on radius " + length_text(Math.abs(x)) + ", on diameter " +
    length_text(Math.abs(2 * x)) + ", angle to the axis " + angle.toFixed(2) + "\u00b0");
}
function tell_round_ruler(a, b) {
  const rolled = view.what === "unrolled";
  const degrees = point => rolled ? point.x / unrolled(1) : Math.atan2(point.x, point.z) * 180 / Math.PI;
  const place = point => (rolled ? "Z" + length_text(point.z) : x_text(Math.hypot(point.z, point.x))) + " C" + degrees(point).toFixed(2) + "\u00b0";
  if (!b) return put("measured", "From " + place(a) + ": click the second point.");
  put("measured", "From " + place(a) + " to " + place(b) + ": length " + length_text(Math.hypot(b.z - a.z, b.x - a.x)) +
    (rolled ? " on the unrolled surface" : "") + ", angle between " + Math.abs(degrees(b) - degrees(a)).toFixed(2) + "\u00b0");
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
