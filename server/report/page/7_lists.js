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
  first_row = Math.max(data.firstLine, Math.min(first_row, last_line() + 1 - room));
  const rows = [];
  for (let i = first_row; i < Math.min(first_row + room, last_line() + 1); ++i) {
    const now = steps.length > 0 && i === steps[at][LINE], row = element("button", "", {type: "button", "data-line": i + 1});
    row.className = now ? "row now" : "row";
    if (now) row.setAttribute("aria-current", "step");
    row.append(element("span", String(i + 1), {class: "number"}), document.createTextNode(line_text(i)));
    if (hit_lines.has(i)) row.append(element("span", " \u26a0 " + hit_lines.get(i).join(", "), {class: "mark"}));
    row.setAttribute("aria-label", said("line {0}: {1}", i + 1, line_text(i)) +
      (hit_lines.has(i) ? "; " + said("warning {0}", hit_lines.get(i).join(", ")) : ""));
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
/// The file of a program in parts that holds a line; "" where this one does, or none.
function file_of_line(number) {
  if (!data.parts) return "";
  const part = data.parts.lines.findIndex(([from, to]) => number >= from && number <= to);
  return part < 0 || part === data.parts.here ? "" : data.parts.files[part];
}
function fill_parts() {
  const place = find("parts");
  place.replaceChildren();
  if (!data.parts) return;
  const {here, files, lines} = data.parts;
  place.append(said("Part {0} of {1}, lines {2} to {3}", here + 1, files.length, lines[here][0] + 1, lines[here][1] + 1));
  if (here > 0) place.append(" ", element("a", said("Part before"), {href: encodeURIComponent(files[here - 1])}));
  if (here + 1 < files.length) place.append(" ", element("a", said("Next part"), {href: encodeURIComponent(files[here + 1])}));
}
function fill_lists() {
  fill_parts();
  find("sequences").replaceChildren();
  for (let span = 0; span < data.spans.length; ++span) {
    const [name, note, from, to, time] = data.spans[span], first = first_of_span.get(span);
    if (first === undefined) {
      const file = file_of_line(from);
      if (file) find("sequences").append(element("a", name + (note ? " " + note : ""), {href: encodeURIComponent(file) + "#line=" + (from + 1)}));
      continue;
    }
    const button = element("button", name, {type: "button", "data-span": span, "data-step": first,
      "data-line": steps[first][LINE] + 1});
    button.append(element("small", (note ? note + " \u00b7 " : "") + said("lines {0} to {1}, {2}", from + 1, to + 1, time)));
    find("sequences").append(button);
  }
  find("hit-count").textContent = data.hits.length ? "(" + data.hits.length + ")" : "";
  const list = element(data.hits.length ? "ol" : "p", "", {id: "hit-list"});
  for (const hit of data.hits) {
    const item = element("li", "", {value: hit.number}), button = element("button", "", {type: "button", "data-line": hit.line + 1});
    button.append(element("strong", said("line {0}, {1}: ", hit.line + 1, hit.severity)), document.createTextNode(hit.text));
    item.append(button);
    list.append(item);
  }
  if (!data.hits.length) list.textContent = said("No warnings. That is no proof of anything.");
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
