// From the half-plane to the sheet: Z to the right, X up.
const sheet = find("sheet"), pen = sheet.getContext("2d");
const MARGIN = {left: 58, right: 16, top: 16, bottom: 66};
/// What is looked at: "section" with Z to the right and X up, "axis" along the axis from the tailstock, "unrolled"
/// with Z to the right and the angle up, as long as it is at the largest diameter.
const view = {what: "section", z: 0, x: 0, scale: 1, stretch: 1, halves: false, fitted: true, width: 0, height: 0}; // Middle; pixels a thousandth

function inner() {
  return {width: Math.max(60, view.width - MARGIN.left - MARGIN.right),
    height: Math.max(40, view.height - MARGIN.top - MARGIN.bottom)};
}
const across = z => MARGIN.left + inner().width / 2 + (z - view.z) * view.scale;
const down = x => MARGIN.top + inner().height / 2 - (x - view.x) * view.scale * stretched();
const z_at = px => view.z + (px - MARGIN.left - inner().width / 2) / view.scale;
const x_at = py => view.x - (py - MARGIN.top - inner().height / 2) / (view.scale * stretched());

/// Where the view is looked at, [left, right, low, high].
function wanted_extents() {
  const [z_min, z_max, low, x_max] = data.extents;
  if (view.what === "axis") { const far = measure_round().far * 1.15; return [-far, far, -far, far]; }
  if (view.what === "unrolled") {
    const [from, to] = round_angles();
    return [z_min, z_max, unrolled(from - 15), unrolled(to + 15)];
  }
  return [z_min, z_max, view.halves ? -x_max : low, x_max];
}
const stretched = () => view.what === "section" ? view.stretch : 1;
function fit_view() {
  const [left, right, low, high] = wanted_extents();
  const {width, height} = inner();
  view.scale = Math.min(width / (right - left), height / ((high - low) * stretched()));
  view.z = (left + right) / 2;
  view.x = (low + high) / 2;
  // What room is left over stands where the tools are, not below the centreline; of a long part a third of it below.
  if (view.what === "section" && !view.halves) {
    const seen = height / stretched() / view.scale, room = seen - (high - low);
    view.x = low + seen / 2 - (room > seen / 2 ? room / 3 : 0);
  }
  view.fitted = true;
}
/// About a place on the sheet, which stays where it is.
function zoom(factor, px, py) {
  const z = z_at(px), x = x_at(py);
  view.scale = Math.min(Math.max(view.scale * factor, 1e-5), 50);
  view.z += z - z_at(px);
  view.x += x - x_at(py);
  view.fitted = false;
}
function zoom_middle(factor) {
  zoom(factor, MARGIN.left + inner().width / 2, MARGIN.top + inner().height / 2);
}
function pan(px, py) {
  view.z -= px / view.scale;
  view.x += py / (view.scale * stretched());
  view.fitted = false;
}
let density = 0;
function take_size() {
  const box = sheet.getBoundingClientRect(), now = devicePixelRatio || 1;
  if (Math.abs(box.width - view.width) < 0.5 && Math.abs(box.height - view.height) < 0.5 && now === density)
    return false;
  Object.assign(view, {width: box.width, height: box.height});
  density = now;
  sheet.width = Math.max(1, Math.round(box.width * density));
  sheet.height = Math.max(1, Math.round(box.height * density));
  return true;
}
