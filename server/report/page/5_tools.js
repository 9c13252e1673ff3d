// Whole tools, from their programmed point, and those that stand beside the one in work.
const EDGE = 0, HOLDER = 1, LINES = 2;

function trace_outline(row, z, x) {
  for (let i = 0; i < row.length; i += 2) {
    const px = across(z + row[i]), py = down(x + row[i + 1]);
    if (i) pen.lineTo(px, py); else pen.moveTo(px, py);
  }
}
/// One part of a tool. What is assumed is dashed.
function draw_part(role, assumed, row, z, x, faint) {
  pen.beginPath();
  trace_outline(row, z, x);
  if (role !== LINES) {
    pen.closePath();
    pen.fillStyle = colour[role === EDGE ? "tool" : "holder"];
    pen.globalAlpha = (role === EDGE ? 0.5 : assumed ? 0.16 : 0.3) * (faint ? 0.5 : 1);
    pen.fill();
  }
  pen.globalAlpha = role === LINES || faint ? 0.5 : 0.9;
  pen.setLineDash(assumed && role !== LINES ? [4, 3] : []);
  pen.strokeStyle = colour[role === HOLDER ? "soft" : "ink"];
  pen.lineWidth = role === LINES ? 0.8 : role === HOLDER ? 1.1 : 1.3;
  pen.stroke();
  pen.setLineDash([]);
  pen.globalAlpha = 1;
}
/// Moved into the frame where it would reach out of it.
function draw_name(words, px, py) {
  pen.font = "bold 11px system-ui, sans-serif";
  const width = pen.measureText(words).width + 6;
  px = Math.max(MARGIN.left + 2, Math.min(view.width - MARGIN.right - width - 2, px));
  py = Math.max(MARGIN.top + 13, Math.min(view.height - MARGIN.bottom - 5, py));
  pen.globalAlpha = 0.8;
  pen.fillStyle = colour.sheet;
  pen.fillRect(px, py - 11, width, 14);
  pen.globalAlpha = 1;
  text(words, px + 3, py, "left", "soft");
  taken.push([px, py - 11, px + width, py + 3]);
}
/// Of a tool whose point is out of view: to which side.
function way_out(px, py) {
  return px < MARGIN.left ? " \u2190" : px > view.width - MARGIN.right ? " \u2192"
    : py < MARGIN.top ? " \u2191" : py > view.height - MARGIN.bottom ? " \u2193" : "";
}
/// Where a tool beside stands, as the outline of one of its parts: on a disc as far out as it is from the centreline,
/// round a post in the plane itself.
function beside(row, own, other, degrees, z, x) {
  const moved = [], turn = degrees * Math.PI / 180, axis = x + own[1];
  const along = Math.cos(turn), aside = Math.sin(turn), toward = aside * data.turret.toward;
  for (let i = 0; i < row.length; i += 2) {
    const at_z = other[0] + row[i], out = other[1] - row[i + 1];
    if (data.turret.form === "gang") moved.push(z - own[0] + at_z, x - own[1] + other[1] + row[i + 1]);
    else if (data.turret.form === "disc") moved.push(z - own[0] + at_z, Math.hypot(axis - out * along, out * aside));
    else moved.push(z - own[0] + at_z * along + out * toward, axis - out * along + at_z * toward);
  }
  return moved;
}
function draw_turret(station, z, x) {
  const turret = data.turret, own = turret && turret.places[station];
  if (!own) return;
  if (turret.outline.length) {
    const mark = turret.form === "gang" ? x - own[1] : x + own[1];
    draw_part(HOLDER, false, turret.outline, z - own[0], mark, true);
  }
  for (const [other, place] of Object.entries(turret.places)) {
    if (Number(other) === station || !data.tools[other]) continue;
    const degrees = turret.form === "gang" ? 0 : 360 / turret.stations * (other - station);
    let named = false;
    for (const [role, assumed, row] of data.tools[other].parts) {
      if (role === LINES || (role === HOLDER && assumed)) continue;
      const moved = beside(row, own, place, degrees, z, x);
      draw_part(role, assumed, moved, 0, 0, true);
      if (!named && in_frame(across(moved[0]), down(moved[1])))
        draw_name(data.tools[other].label, across(moved[0]), down(moved[1]));
      named = true;
    }
  }
}
function draw_tool() {
  const place = tool_place();
  if (!place) return;
  const [z, x] = place, station = steps[at][STATION], tool = data.tools[station];
  draw_turret(station, z, x);
  const px = across(z), py = down(x);
  if (tool) {
    for (const [role, assumed, row] of tool.parts) draw_part(role, assumed, row, z, x, false);
    if (!tool.parts.length && tool.nose > 0) {
      pen.beginPath();
      pen.ellipse(across(z + tool.centre[0]), down(x + tool.centre[1]), tool.nose * view.scale,
        tool.nose * view.scale * view.stretch, 0, 0, 7);
      pen.strokeStyle = colour.ink;
      pen.stroke();
    }
    draw_name(tool.label + way_out(px, py), px - 34, py + 18);
  }
  line(px - 9, py, px + 9, py, "mark", 1.6);
  line(px, py - 9, px, py + 9, "mark", 1.6);
}
/// In words, what of the tool in work is drawn without being told.
function tool_assumed() {
  const tool = steps.length ? data.tools[steps[at][STATION]] : null;
  return tool && tool.assumed ? said("{0} drawn with {1}", tool.label, tool.assumed) : "";
}
