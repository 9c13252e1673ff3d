// What makes the page step. Program text reaches the page by textContent only, never as markup.
#include "report/picture.h"

namespace turnwright::report {

const std::string_view page_script = R"JS(
"use strict";
const data = JSON.parse(document.getElementById("data").textContent);
const find = id => document.getElementById(id);
const slider = find("slider"), figure = find("figure"), svg = figure.querySelector("svg");
const [LINE, SPAN, TOOL, SPINDLE, RPM, FEED, POSITION, LOAD, OTHER, CALLED, OPEN, SECONDS, WITHOUT, X, Y] = Array(15).keys();
const drawn = new Map();
for (const element of svg.querySelectorAll("[data-step]")) {
  const step = Number(element.dataset.step);
  if (!drawn.has(step)) drawn.set(step, []);
  drawn.get(step).push(element);
}
const stages = [...svg.querySelectorAll("[data-stage]")];
const groups = [...svg.querySelectorAll("[data-sequence]")];
const buttons = [...document.querySelectorAll("#sequences button")];
let at = data.steps.length - 1, timer = 0;

function time(seconds) {
  if (seconds < 9.95) return seconds.toFixed(1) + " s";
  const whole = Math.round(seconds), two = number => String(number).padStart(2, "0");
  if (whole < 60) return whole + " s";
  if (whole < 3600) return Math.floor(whole / 60) + " min " + two(whole % 60) + " s";
  return Math.floor(whole / 3600) + " h " + two(Math.floor(whole % 3600 / 60)) + " min";
}
function show_time(step) {
  const about = (data.about ? "about " : "") + time(step[SECONDS]);
  if (!step[WITHOUT]) return about;
  const open = step[WITHOUT] + (step[WITHOUT] === 1 ? " block" : " blocks") + " without a known time";
  return step[SECONDS] > 0 ? "at least " + about + " (" + open + ")" : "not known: " + open;
}
function mark(from, to, name, on) {
  for (let i = from; i < to; ++i) for (const element of drawn.get(i) || []) element.classList.toggle(name, on);
}
function put_marker(step) {
  const marker = svg.querySelector("#marker");
  marker.replaceChildren();
  if (step[X] === null) return;
  for (const d of ["M-9 0H9M0 -9V9", "M-5 0A5 5 0 1 0 5 0A5 5 0 1 0 -5 0"]) {
    const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
    path.setAttribute("class", "marker");
    path.setAttribute("transform", "translate(" + step[X] + " " + step[Y] + ")");
    path.setAttribute("d", d);
    marker.append(path);
  }
}
function show_lines(line) {
  const list = find("program");
  list.replaceChildren();
  const first = Math.max(0, Math.min(line - 6, data.lines.length - 13));
  for (let i = first; i < Math.min(first + 13, data.lines.length); ++i) {
    const row = document.createElement("div"), number = document.createElement("span");
    number.className = "number";
    number.textContent = i + 1;
    row.className = i === line ? "row now" : "row";
    row.append(number, document.createTextNode(data.lines[i]));
    list.append(row);
  }
}
function go(to) {
  to = Math.max(0, Math.min(data.steps.length - 1, to));
  mark(at, at + 1, "now", false);
  if (to < at) mark(to + 1, at + 1, "later", true); else mark(at, to + 1, "later", false);
  mark(to, to + 1, "now", true);
  at = to;
  const step = data.steps[at], text = index => data.texts[index] || "\u2013";
  slider.value = at;
  slider.setAttribute("aria-valuetext", "line " + (step[LINE] + 1));
  find("place").textContent = "line " + (step[LINE] + 1) + ", block " + (at + 1) + " of " + data.steps.length;
  find("sequence").textContent = data.spans[step[SPAN]];
  find("tool").textContent = text(step[TOOL]);
  find("spindle").textContent = text(step[SPINDLE]) + (step[RPM] ? " (" + data.texts[step[RPM]] + ")" : "");
  find("feed").textContent = text(step[FEED]);
  find("position").textContent = text(step[POSITION]);
  find("load").textContent = text(step[LOAD]);
  find("other").textContent = text(step[OTHER]);
  find("called").textContent = step[CALLED] ? "In the called program " + data.texts[step[CALLED]] : "";
  find("time").textContent = show_time(step);
  find("open").textContent = step[OPEN] ? "Not drawn in full: " + data.texts[step[OPEN]] : "";
  const alone = find("alone").checked;
  for (const group of groups)
    group.classList.toggle("aside", alone && Number(group.dataset.sequence) !== step[SPAN]);
  for (const button of buttons)
    button.classList.toggle("now", Number(button.dataset.span) === step[SPAN]);
  for (const stage of stages)
    stage.classList.toggle("shown", Number(stage.dataset.stage) === step[SPAN] && at < data.steps.length - 1);
  const staged = stages.some(stage => stage.classList.contains("shown"));
  for (const stock of svg.querySelectorAll("path.stock")) stock.classList.toggle("later", staged);
  put_marker(step);
  show_lines(step[LINE]);
}
function first_of_line(line) {
  const own = data.steps.findIndex(step => step[LINE] === line);
  if (own >= 0) return own;
  const next = data.steps.findIndex(step => step[LINE] > line);
  return next >= 0 ? next : data.steps.length - 1;
}
function stop() {
  clearInterval(timer);
  timer = 0;
  find("run").textContent = "Run";
}
slider.addEventListener("input", () => { stop(); go(Number(slider.value)); });
find("back").addEventListener("click", () => { stop(); go(at - 1); });
find("on").addEventListener("click", () => { stop(); go(at + 1); });
find("run").addEventListener("click", () => {
  if (timer) return stop();
  if (at === data.steps.length - 1) go(0);
  find("run").textContent = "Halt";
  timer = setInterval(() => { go(at + 1); if (at === data.steps.length - 1) stop(); }, 120);
});
find("alone").addEventListener("change", () => go(at));
for (const button of buttons) button.addEventListener("click", () => { stop(); go(Number(button.dataset.step)); });
figure.addEventListener("click", event => {
  const element = event.target.closest("[data-step]");
  if (element) { stop(); go(Number(element.dataset.step)); }
});
function from_address() {
  const found = /^#line=(\d+)$/.exec(location.hash);
  if (found) go(first_of_line(Number(found[1]) - 1));
}
if (data.steps.length) {
  slider.max = data.steps.length - 1;
  go(at);
  from_address();
  addEventListener("hashchange", from_address);
}
document.body.classList.add("alive");
)JS";

// A test works it out again and says what it must be.
const std::string_view page_script_hash = "5D8yXKIxhvhBsZkAzfygCVcu22a4VV9uY6PE/oVr+9A=";

const std::string_view page_style = R"(
*{box-sizing:border-box}body{margin:0;font:15px/1.4 system-ui,"Segoe UI",Arial,sans-serif;color:#1a1a1a;background:#f4f4f1}
main{display:grid;grid-template-columns:minmax(0,1fr) 21rem;gap:14px;padding:14px;max-width:110rem;margin:0 auto}
section,aside>div{background:#fff;border:1px solid #d5d5cf;border-radius:4px;padding:10px 12px}
aside{display:flex;flex-direction:column;gap:14px;min-width:0}
h2{font-size:13px;margin:0 0 6px;color:#555;font-weight:600}
#figure svg{width:100%;height:auto;display:block}
#figure [data-step]{cursor:pointer}#figure [data-step]:hover{stroke-width:4}
.later{opacity:.16}.aside{opacity:.26}.aside .later{opacity:1}.now{stroke-width:3.4}
.marker{fill:none;stroke:#b00020;stroke-width:1.6}
#controls{display:flex;gap:8px;align-items:center;flex-wrap:wrap;margin-top:8px}
#slider{flex:1 1 14rem;min-width:8rem}#place{min-width:13rem;font-variant-numeric:tabular-nums}
button{font:inherit;border:1px solid #999;background:#fafafa;border-radius:3px;padding:2px 10px;cursor:pointer;color:inherit}
button:hover{background:#eee}
dl{display:grid;grid-template-columns:5.5rem minmax(0,1fr);gap:3px 8px;margin:0}dt{color:#555}
dd{margin:0;overflow-wrap:anywhere;font-variant-numeric:tabular-nums}
#called{margin:6px 0 0;font-size:13px}#called:empty{display:none}
#open{color:#8a2f00;margin:6px 0 0;font-size:13px}#open:empty{display:none}
#sequences{max-height:17rem;overflow:auto}
#sequences button{display:block;width:100%;text-align:left;margin:0 0 3px}
#sequences button.now{background:#1a1a1a;color:#fff}#sequences small{display:block;opacity:.8}
#program{font:13px/1.45 ui-monospace,Consolas,"DejaVu Sans Mono",monospace;white-space:pre;overflow-x:auto}
.row.now{stroke-width:0;background:#ffeeb0;font-weight:600}.number{display:inline-block;width:3.6rem;color:#888;padding-right:.8rem;text-align:right}
.caution{font-size:13px;color:#444;margin:10px 0 0}
body:not(.alive) #controls,body:not(.alive) aside{display:none}
@media(max-width:60rem){main{grid-template-columns:minmax(0,1fr)}}
@media print{body{background:#fff}main{display:block;padding:0}#controls,#text,#list{display:none}section,aside>div{border:0;padding:0;margin-bottom:8px}.later,.aside{opacity:1}}
)";

} // namespace turnwright::report
