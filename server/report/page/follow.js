// The page beside an editor: whoever shows it hands it the page anew after an edit, and the line where the editor stands.

/// Stays at its line, in its view and with all that was chosen.
function take_page(html) {
  const fresh = new DOMParser().parseFromString(html, "text/html");
  const was = steps.length ? {at, line: steps[at][LINE], whole: done === before[at + 1], moves: done - before[at]} : null;
  const hand = editor_line;
  stop();
  for (const part of ["header", "footer"]) document.querySelector(part).replaceWith(fresh.querySelector(part));
  document.title = fresh.title;
  begin(JSON.parse(fresh.getElementById("data").textContent));
  if (view.fitted) fit_view();
  line_shown = hit_now = -1;
  at = done = part = 0;
  const line = hand >= 0 ? hand : was ? was.line : -1;
  if (line < 0 || !steps.length) return show();
  const to = was && steps[was.at] && steps[was.at][LINE] === line ? was.at : step_of_line(line);
  go_move(to, !was || was.whole || was.line !== line ? Infinity : before[to] + was.moves);
}
/// Lines from 0.
function go_to_line(line) {
  if (steps.length && steps[at][LINE] !== line) by_hand(() => go(step_of_line(line)));
  editor_line = line;
}
/// The server of the editor holds this page: it says what is new, and is told what is clicked.
function follow() {
  const events = new EventSource("events");
  let held = document.documentElement.dataset.follows, wanted = held, asking = false;
  const leave = why => { alone_why = why; tell_view(); };
  async function fetch_latest() {
    if (asking) return;
    asking = true;
    while (held !== wanted) {
      const asked = wanted, answer = await fetch("./", {cache: "no-store"}).catch(() => null);
      if (!answer || !answer.ok) break;
      const html = await answer.text().catch(() => "");
      if (!html) break;
      take_page(html);
      held = asked;
    }
    asking = false;
  }
  events.addEventListener("page", event => { wanted = event.data; fetch_latest(); });
  events.addEventListener("line", event => go_to_line(Number(event.data)));
  events.addEventListener("closed", () => {
    events.close();
    leave(said("The program was closed: this is how it was"));
  });
  events.addEventListener("open", () => leave(""));
  events.addEventListener("error", () => leave(said("The editor does not answer: this is how the program was")));
  addEventListener("click", event => {
    const from = event.target.closest("[data-line]");
    if (from) fetch("line/" + from.dataset.line, {method: "POST"}).catch(() => {});
  });
}
if (document.documentElement.dataset.follows) follow();
