// From the half-plane to the sheet: Z to the right, X up.
const sheet = find("sheet"), pen = sheet.getContext("2d");
const MARGIN = {left: 58, right: 16, top: 16, bottom: 66};
const view = {z: 0, x: 0, scale: 1, stretch: 1, halves: false, fitted: true, width: 0, height: 0}; // Middle; pixels a thousandth

function inner() {
  return {width: Math.max(60, view.width - MARGIN.left - MARGIN.right),
    height: Math.max(40, view.height - MARGIN.top - MARGIN.bottom)};
}
const across = z => MARGIN.left + inner().width / 2 + (z - view.z) * view.scale;
const down = x => MARGIN.top + inner().height / 2 - (x - view.x) * view.scale * view.stretch;
const z_at = px => view.z + (px - MARGIN.left - inner().width / 2) / view.scale;
const x_at = py => view.x - (py - MARGIN.top - inner().height / 2) / (view.scale * view.stretch);

function fit_view() {
  const [z_min, z_max, low, x_max] = data.extents, x_min = view.halves ? -x_max : low;
  const {width, height} = inner();
  view.scale = Math.min(width / (z_max - z_min), height / ((x_max - x_min) * view.stretch));
  view.z = (z_min + z_max) / 2;
  view.x = (x_min + x_max) / 2;
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
  view.x += py / (view.scale * view.stretch);
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
