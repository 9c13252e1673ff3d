// Play, keys, pointer, buttons.
let timer = 0, clock = 0, rest = 0;
let editor_line = -1; ///< Where the editor stands, from 0; -1: the page was moved by hand since
let alone_why = "";   ///< Why the page follows no editor any more

function stop() {
  cancelAnimationFrame(timer);
  timer = 0;
  find("run").textContent = said("Play");
}
const step_seconds = index => steps[index][SECONDS] - (index > 0 ? steps[index - 1][SECONDS] : data.secondsBefore);
/// What a block takes beside its moves: a tool change, a dwell.
function spare_seconds(index) {
  let spare = step_seconds(index);
  for (let i = before[index]; i < before[index + 1]; ++i) spare -= data.seconds[i] / 100;
  return Math.max(0, spare);
}
/// Goes on by so many seconds of the machine's time.
function advance(seconds) {
  while (seconds > 0) {
    if (done < before[at + 1]) {
      const whole = data.seconds[done] / 100, left = whole * (1 - part);
      if (left > seconds) { part += seconds / whole; return; }
      seconds -= left;
      part = 0;
      if (++done === before[at + 1]) rest = spare_seconds(at);
    } else if (rest > seconds) {
      rest -= seconds;
      return;
    } else {
      seconds -= rest;
      rest = 0;
      if (at === last_step) return stop();
      ++at;
      if (before[at] === before[at + 1]) rest = spare_seconds(at);
    }
  }
}
function tick(now) {
  const passed = Math.min((now - clock) / 1000, 0.25), pace = find("pace").value;
  timer = requestAnimationFrame(tick);
  if (pace === "block") {
    if (now - clock < 350) return;
    clock = now;
    if (at === last_step) { stop(); show(); } else go(at + 1);
    return;
  }
  clock = now;
  advance(passed * Number(pace));
  show();
}
function play() {
  if (!steps.length) return;
  if (timer) { stop(); return show(); }
  if (at === last_step && done === before[at + 1]) go_move(0, 0);
  find("run").textContent = said("Halt");
  put("spoken", said("Play"));
  clock = performance.now();
  rest = 0;
  timer = requestAnimationFrame(tick);
}
function by_hand(action) { stop(); hit_now = -1; editor_line = -1; action(); }

const KEYS = {
  ArrowLeft: () => by_hand(() => go(at - 1)), ArrowRight: () => by_hand(() => go(at + 1)),
  ArrowUp: () => by_hand(move_back), ArrowDown: () => by_hand(move_on),
  PageUp: () => by_hand(() => sequence_on(-1)), PageDown: () => by_hand(() => sequence_on(1)),
  Home: () => by_hand(() => go(0)), End: () => by_hand(() => go(last_step)),
  " ": play, n: () => { stop(); hit_on(1); }, p: () => { stop(); hit_on(-1); },
  "+": () => { zoom_middle(1.4); draw(); }, "=": () => { zoom_middle(1.4); draw(); }, "-": () => { zoom_middle(1 / 1.4); draw(); },
  0: () => { fit_view(); draw(); }, m: () => measure(!ruler.on),
  v: () => { if (round.size) look_at({section: "axis", axis: "unrolled", unrolled: "section"}[view.what]); },
};
const SHIFTS = {ArrowLeft: [40, 0], ArrowRight: [-40, 0], ArrowUp: [0, 40], ArrowDown: [0, -40]};
function on_key(event) {
  if (event.ctrlKey || event.altKey || event.metaKey || event.target.closest("select")) return;
  const presses = event.key === " " || event.key === "Enter";
  if (presses && event.target.closest("button, summary, input[type=checkbox]")) return;
  const action = event.shiftKey && SHIFTS[event.key] ? () => { pan(...SHIFTS[event.key]); draw(); }
    : event.key === "Enter" && ruler.on && tool_place()
      ? () => { const [z, x] = tool_place(); take_point({z, x}); }
      : KEYS[event.key.length === 1 ? event.key.toLowerCase() : event.key];
  if (!action) return;
  event.preventDefault();
  action();
}
/// The move nearest to a place on the sheet.
function move_near(px, py) {
  let best = -1, nearest = 8;
  const own = find("alone").checked ? steps[at][SPAN] : -1;
  steps.forEach((step, index) => {
    if (own >= 0 && step[SPAN] !== own) return;
    for (let i = before[index]; i < before[index + 1]; ++i) {
      const parts = moves[i].radius ? 12 : 1;
      for (let k = 0; k < parts; ++k) {
        const a = point_on(moves[i], k / parts), b = point_on(moves[i], (k + 1) / parts);
        const distance = distance_to(px, py, across(a[0]), down(a[1]), across(b[0]), down(b[1]));
        if (distance < nearest) { nearest = distance; best = i; }
      }
    }
  });
  return best;
}
function distance_to(px, py, x0, y0, x1, y1) {
  const dx = x1 - x0, dy = y1 - y0, square = dx * dx + dy * dy;
  const share = square ? Math.max(0, Math.min(1, ((px - x0) * dx + (py - y0) * dy) / square)) : 0;
  return Math.hypot(px - x0 - share * dx, py - y0 - share * dy);
}
function step_of_move(move) {
  let low = 0, high = last_step;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (before[middle + 1] > move) high = middle; else low = middle + 1;
  }
  return low;
}
function on_click(px, py) {
  if (ruler.on) return take_point(caught(px, py));
  if (view.what !== "section") {
    const step = round_near(px, py);
    if (step < 0) return;
    by_hand(() => go(step));
    sheet.dataset.line = steps[at][LINE] + 1;
    return;
  }
  const on_number = hit_numbers.findIndex(box => box && overlap(box, [px, py, px, py]));
  const hit = on_number >= 0 ? on_number : data.hits.findIndex(one => {
    const place = place_of_hit(one);
    return place && Math.hypot(across(place[0]) - px, down(place[1]) - py) < 11;
  });
  if (hit >= 0) { stop(); go_to_hit(hit); }
  else {
    const move = move_near(px, py);
    if (move < 0) return;
    by_hand(() => go_move(step_of_move(move), move + 1));
  }
  sheet.dataset.line = steps[at][LINE] + 1; // For an editor that shows the page
}
function listen() {
  let dragged = null;
  const spot = event => [event.clientX - sheet.getBoundingClientRect().left, event.clientY - sheet.getBoundingClientRect().top];
  sheet.addEventListener("pointerdown", event => {
    delete sheet.dataset.line;
    dragged = {from: spot(event), far: false};
    sheet.setPointerCapture(event.pointerId);
  });
  sheet.addEventListener("pointermove", event => {
    if (!dragged) return;
    const [px, py] = spot(event), [x0, y0] = dragged.from;
    if (!dragged.far && Math.hypot(px - x0, py - y0) < 4) return;
    dragged.far = true;
    pan(px - x0, py - y0);
    dragged.from = [px, py];
    draw();
  });
  sheet.addEventListener("pointerup", () => { sheet.dataset.dragged = dragged && dragged.far ? "1" : ""; dragged = null; });
  sheet.addEventListener("click", event => { if (sheet.dataset.dragged !== "1" && steps.length) on_click(...spot(event)); });
  sheet.addEventListener("wheel", event => {
    event.preventDefault();
    zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, ...spot(event));
    draw();
  }, {passive: false});
  find("program").addEventListener("wheel", event => {
    event.preventDefault();
    first_row += Math.sign(event.deltaY) * 3;
    show_rows();
  }, {passive: false});
  const click = (id, action) => find(id).addEventListener("click", action);
  for (const [id, key] of [["back", "ArrowLeft"], ["on", "ArrowRight"], ["pass-back", "ArrowUp"], ["pass-on", "ArrowDown"],
    ["run", " "], ["hit-back", "p"], ["hit-on", "n"], ["zoom-in", "+"], ["zoom-out", "-"], ["fit", "0"], ["measure", "m"]])
    click(id, KEYS[key]);
  click("program", event => {
    const row = event.target.closest("[data-line]");
    if (row) by_hand(() => go(step_of_line(Number(row.dataset.line) - 1)));
  });
  click("sequences", event => {
    const button = event.target.closest("[data-step]");
    if (button) by_hand(() => go(Number(button.dataset.step)));
  });
  click("hits", event => {
    const item = event.target.closest("#hit-list > li");
    if (item) { stop(); go_to_hit([...item.parentNode.children].indexOf(item)); }
  });
  find("slider").addEventListener("input", () => by_hand(() => go(Number(find("slider").value))));
  find("alone").addEventListener("change", draw);
  find("sizes").addEventListener("change", () => { draw(); if (sizes_shown()) put("spoken", sizes_text()); });
  find("look").addEventListener("change", () => look_at(find("look").value));
  find("halves").addEventListener("change", () => { view.halves = find("halves").checked; fit_view(); draw(); });
  find("stretch").addEventListener("change", () => {
    view.stretch = Number(find("stretch").value);
    tell_view();
    fit_view();
    draw();
  });
  document.addEventListener("keydown", on_key);
  const look_anew = () => { take_colours(); draw(); };
  for (const query of ["(prefers-color-scheme: dark)", "print"]) matchMedia(query).addEventListener("change", look_anew);
  new ResizeObserver(() => { if (take_size()) { take_colours(); fit_view(); line_shown = -1; show(); } }).observe(sheet);
}
function from_address() {
  const found = /^#line=(\d+)$/.exec(location.hash);
  const file = found ? file_of_line(Number(found[1]) - 1) : "";
  if (file) location.replace(encodeURIComponent(file) + location.hash);
  else if (found && steps.length) by_hand(() => go(step_of_line(Number(found[1]) - 1)));
}
/// Another view of the same.
function look_at(what) {
  view.what = what;
  find("look").value = what;
  Object.assign(ruler, {points: []});
  fit_view();
  tell_ruler();
  draw();
}
function tell_view() {
  put("told", alone_why ? alone_why
    : view.stretch > 1 ? said("X is drawn {0} times as large as Z: angles and radii look wrong", view.stretch)
    : data.cutShort !== null ? said("Down to line {0} only: the program is too long for one page", data.cutShort + 1) : "");
}
function begin(given) {
  take_data(given);
  round_size = null;
  finished_moves = -1;
  find("look-label").hidden = !round.size;
  find("sizes-label").hidden = !data.sizes.length;
  if (!round.size) view.what = "section";
  fill_lists();
  find("slider").max = Math.max(0, last_step);
  tell_view();
}
begin(JSON.parse(find("data").textContent));
take_size();
take_colours();
fit_view();
listen();
if (steps.length) {
  go_move(0, 0);
  from_address();
} else {
  show();
}
addEventListener("hashchange", from_address);
document.body.classList.add("alive");
