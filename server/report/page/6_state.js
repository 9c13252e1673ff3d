// Where we are: a step, how many moves are done, and how much of the next one.
let at = 0, done = 0, part = 0, hit_now = -1;

function tool_place() {
  if (!steps.length) return null;
  if (part > 0) return point_on(moves[done], part);
  if (done > before[at]) return [moves[done - 1].z1, moves[done - 1].x1];
  if (done < before[at + 1]) return [moves[done].z0, moves[done].x0];
  return steps[at][Z] === null ? null : [steps[at][Z], steps[at][X]];
}
function place_of_hit(hit) {
  if (hit.at) return hit.at;
  const step = steps[hit.step];
  return step && step[LINE] === hit.line && step[Z] !== null ? [step[Z], step[X]] : null;
}
/// A step with all its moves done.
function go(to) { go_move(to, Infinity); }
/// A step with some of its moves done.
function go_move(to, moves_done) {
  if (!steps.length) return;
  at = Math.max(0, Math.min(last_step, to));
  done = Math.max(before[at], Math.min(before[at + 1], moves_done));
  part = 0;
  show();
}
/// One move on or back; a step without moves counts as one.
function move_on() {
  if (done < before[at + 1]) go_move(at, done + 1);
  else if (at < last_step) go_move(at + 1, Math.min(before[at + 1] + 1, before[at + 2]));
}
function move_back() {
  if (done > before[at] + 1) go_move(at, done - 1);
  else if (at > 0) go(at - 1);
}
function sequence_on(way) {
  if (!steps.length) return;
  const spans = [...first_of_span.keys()], now = spans.indexOf(steps[at][SPAN]);
  if (way < 0 && at > first_of_span.get(spans[now])) return go(first_of_span.get(spans[now]));
  const next = spans[Math.max(0, Math.min(spans.length - 1, now + way))];
  go(first_of_span.get(next));
}
function step_of_line(line) {
  const own = steps.findIndex(step => step[LINE] === line);
  if (own >= 0) return own;
  const next = steps.findIndex(step => step[LINE] > line);
  return next >= 0 ? next : last_step;
}
function show_time(step) {
  const about = data.about ? said("about {0}", time_text(step[SECONDS])) : time_text(step[SECONDS]);
  if (!step[WITHOUT]) return about;
  const open = step[WITHOUT] === 1 ? said("1 block without a known time")
    : said("{0} blocks without a known time", step[WITHOUT]);
  return step[SECONDS] > 0 ? said("at least {0} ({1})", about, open) : said("not known: {0}", open);
}
function words_of_place() {
  const step = steps[at], count = step[MOVES];
  let words = said("line {0}, block {1} of {2}", step[LINE] + 1, data.firstStep + at + 1, data.stepCount);
  if (count > 1) words += said(", move {0} of {1}", done - before[at], count);
  return words;
}
function put(id, words) { if (find(id).textContent !== words) find(id).textContent = words; }

/// A row of the state with its name, where it is another than the one last spoken.
const told_of = {};
function news(id) {
  const words = find(id).textContent;
  if (told_of[id] === words) return "";
  told_of[id] = words;
  return find(id).previousElementSibling.textContent + " " + words;
}

/// What the drawing rests on: out of the way, and the same at most blocks.
function show_assumed() {
  const all = [tool_assumed(), ...data.stock.assumed].filter(Boolean), list = find("assumed-list");
  find("assumed").hidden = !all.length;
  put("assumed-count", all.length ? said("Assumed ({0})", all.length) : "");
  if (list.dataset.shown === all.join("\n")) return;
  list.dataset.shown = all.join("\n");
  list.replaceChildren(...all.map(words => element("li", words)));
}

function show() {
  if (!steps.length) {
    for (const id of ["place", "sequence", "tool", "spindle", "feed", "position", "load", "left", "other", "time", "called",
      "open"]) put(id, "");
    put("spoken", data.whyNothing);
    show_rows();
    draw();
    return;
  }
  stock_behind(done);
  const step = steps[at], words = index => data.texts[index] || said("none");
  const slider = find("slider");
  slider.value = at;
  slider.setAttribute("aria-valuetext", words_of_place());
  put("place", words_of_place());
  put("sequence", data.spans[step[SPAN]].slice(0, 2).filter(Boolean).join(" "));
  put("tool", words(step[TOOL]));
  put("spindle", words(step[SPINDLE]) + (step[RPM] ? " (" + data.texts[step[RPM]] + ")" : ""));
  put("feed", words(step[FEED]));
  const turned = round_text();
  put("position", words(step[POSITION]) + (turned ? said(" (tool at {0})", turned) : ""));
  put("load", words(step[LOAD]));
  put("left", stock_text(done));
  put("other", words(step[OTHER]));
  put("time", show_time(step));
  show_assumed();
  put("called", step[CALLED] ? said("In the called program {0}", data.texts[step[CALLED]]) : "");
  put("open", round.has(at) ? said("Works round the axis: no turned cut. See it along the axis or unrolled (V).")
    : step[OPEN] ? said("Not drawn in full: {0}", data.texts[step[OPEN]]) : "");
  if (!timer) put("spoken", [words_of_place(), line_text(step[LINE]), words(step[POSITION]),
    done > before[at] ? stroke_words(moves[done - 1].stroke) : "", said("stock: {0}", stock_text(done)),
    ...["sequence", "tool", "spindle", "feed", "other"].map(news), find("called").textContent, find("open").textContent,
    ...data.hits.filter(hit => hit.line === step[LINE]).map(hit => hit.severity + ": " + hit.text)].filter(Boolean).join("; "));
  show_lists();
  draw();
}
