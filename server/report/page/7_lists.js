// Program, sequences and warnings beside the drawing. Program text reaches the page by textContent only.
const ROW_HEIGHT = 18;
let first_row = 0, line_shown = -1;

function element(name, words, attributes = {}) {
  const made = document.createElement(name);
  made.textContent = words;
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  return made;
}
function show_rows() {
  const list = find("program"), room = Math.max(3, Math.floor(list.clientHeight / ROW_HEIGHT));
  first_row = Math.max(0, Math.min(first_row, data.lines.length - room));
  const rows = [];
  for (let i = first_row; i < Math.min(first_row + room, data.lines.length); ++i) {
    const now = steps.length > 0 && i === steps[at][LINE], row = element("button", "", {type: "button", "data-line": i + 1});
    row.className = now ? "row now" : "row";
    if (now) row.setAttribute("aria-current", "step");
    row.append(element("span", String(i + 1), {class: "number"}), document.createTextNode(data.lines[i]));
    if (hit_lines.has(i)) row.append(element("span", " \u26a0 " + hit_lines.get(i).join(", "), {class: "mark"}));
    rows.push(row);
  }
  const held = list.contains(document.activeElement); // Who works by keys stays in the list
  list.replaceChildren(...rows);
  if (held) (list.querySelector(".now") || rows[0]).focus();
}
/// Scrolls the list and nothing round it: in a narrow panel the state above would go out of view.
function bring_in(list, item) {
  const room = list.getBoundingClientRect(), box = item.getBoundingClientRect();
  if (box.top < room.top) list.scrollTop += box.top - room.top;
  else if (box.bottom > room.bottom) list.scrollTop += Math.min(box.bottom - room.bottom, box.top - room.top);
}
function show_lists() {
  const line = steps[at][LINE], room = Math.max(3, Math.floor(find("program").clientHeight / ROW_HEIGHT));
  if (line !== line_shown && (line < first_row + 1 || line > first_row + room - 2))
    first_row = line - Math.floor(room / 2);
  line_shown = line;
  show_rows();
  for (const button of find("sequences").children) {
    const now = Number(button.dataset.span) === steps[at][SPAN];
    if (now && !button.hasAttribute("aria-current")) bring_in(find("sequences"), button);
    if (now) button.setAttribute("aria-current", "step"); else button.removeAttribute("aria-current");
  }
  [...find("hit-list").children].forEach((item, index) => item.classList.toggle("now", index === hit_now));
}
function fill_lists() {
  find("sequences").replaceChildren();
  for (const [span, first] of first_of_span) {
    const [name, note, from, to, time] = data.spans[span];
    const button = element("button", name, {type: "button", "data-span": span, "data-step": first,
      "data-line": steps[first][LINE] + 1});
    button.append(element("small", (note ? note + " \u00b7 " : "") + "lines " + (from + 1) + " to " + (to + 1) + ", " + time));
    find("sequences").append(button);
  }
  find("hit-count").textContent = data.hits.length ? "(" + data.hits.length + ")" : "";
  const list = element(data.hits.length ? "ol" : "p", "", {id: "hit-list"});
  for (const hit of data.hits) {
    const item = element("li", ""), button = element("button", "", {type: "button", "data-line": hit.line + 1});
    button.append(element("strong", "line " + (hit.line + 1) + ", " + hit.severity + ": "), document.createTextNode(hit.text));
    item.append(button);
    list.append(item);
  }
  if (!data.hits.length) list.textContent = "No warnings. That is no proof of anything.";
  find("hit-list").replaceWith(list);
}
/// The next or the last one before, from the shown one or from where we are.
function hit_on(way) {
  if (hit_now >= 0 || !steps.length) return go_to_hit(hit_now + way);
  const behind = data.hits.findIndex(hit => hit.step >= at), next = behind < 0 ? data.hits.length : behind;
  go_to_hit(way > 0 ? next : next - 1);
}
function go_to_hit(index) {
  if (!data.hits.length) return;
  hit_now = (index + data.hits.length) % data.hits.length;
  go(data.hits[hit_now].step);
  bring_in(find("hit-list"), find("hit-list").children[hit_now]);
}
