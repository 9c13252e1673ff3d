// The finished part with its sizes: those of the list "what to measure" of the sheet.
const [SIZE_NAME, SIZE_TEXT, SIZE_PLACE, SIZE_Z, SIZE_X, SIZE_INSIDE, SIZE_FROM, SIZE_TO, SIZE_KIND] = Array(9).keys();
const SIZE_LENGTH = 3;

function size_words(size) {
  const kind = size[SIZE_KIND], words = size[SIZE_TEXT];
  return kind < 2 ? "\u2300" + words : kind === 2 ? said("groove") + " \u2300" + words : kind === SIZE_LENGTH ? words
    : kind === 5 ? said("taper") + " \u2300" + words : kind === 6 ? "R" + words : kind === 7 ? said("thread") + " " + words : words;
}
const SIZE_ROW = 17;
/// Words side by side in as many rows as they need, each with a line to its place.
function size_rows(sizes) {
  const ends = [];
  const sorted = sizes.map(size => [across(size[SIZE_Z]), size]).sort((a, b) => a[0] - b[0]);
  const placed = sorted.map(([wanted, size]) => {
    const words = size_words(size), width = pen.measureText(words).width + 8;
    const px = Math.max(MARGIN.left + width / 2 + 2, Math.min(view.width - MARGIN.right - width / 2 - 2, wanted));
    let row = ends.findIndex(end => px - width / 2 > end);
    if (row < 0) row = ends.length;
    ends[row] = px + width / 2;
    return {wanted, size, words, width, px, row};
  });
  return {placed, count: ends.length};
}
function draw_size_row({placed}, first_y, way) {
  for (const {wanted, size, words, width, px, row} of placed) {
    const py = first_y + way * row * SIZE_ROW;
    line(px, py + (way > 0 ? 5 : -12), wanted, down(size[SIZE_X]), "soft", 0.8);
    pen.fillStyle = colour.sheet;
    pen.globalAlpha = 0.85;
    pen.fillRect(px - width / 2, py - 11, width, 15);
    pen.globalAlpha = 1;
    text(words, px, py, "center");
  }
}
/// How many moves are done when the part stands finished: the last time that its front is there. Behind that it is
/// parted off.
let finished_moves = -1;
function finished_at() {
  if (finished_moves >= 0) return finished_moves;
  const front = Math.max(...data.sizes.map(size => size[SIZE_FROM])), was = done;
  let most = moves.length;
  stock_behind(most);
  for (let i = changes.length - 1; i >= 0 && stock_front() < front - 10; --i) {
    most = changes[i].move;
    stock_behind(most);
  }
  stock_behind(was);
  return finished_moves = most;
}
function draw_sizes() {
  pen.font = "12px system-ui, sans-serif";
  // Outside right above the part, where the view leaves more room than it needs.
  const outside = size_rows(data.sizes.filter(size => size[SIZE_KIND] !== SIZE_LENGTH && !size[SIZE_INSIDE]));
  const top = down(Math.max(0, ...data.stock.raw.filter((_, i) => i % 2), ...outside.placed.map(({size}) => size[SIZE_X])));
  draw_size_row(outside, Math.max(MARGIN.top + 16, top - 24 - outside.count * SIZE_ROW), 1);
  draw_size_row(size_rows(data.sizes.filter(size => size[SIZE_KIND] !== SIZE_LENGTH && size[SIZE_INSIDE])),
    Math.min(down(0) - 22, view.height - MARGIN.bottom - 40), -1);
  draw_size_row(size_rows(data.sizes.filter(size => size[SIZE_KIND] === SIZE_LENGTH)),
    Math.min(down(0) + 20, view.height - MARGIN.bottom - 20), 1);
}
const sizes_shown = () => data.sizes.length > 0 && find("sizes").checked && view.what === "section";
/// For who hears the page: all of them in a row.
function sizes_text() {
  if (!data.sizes.length) return said("No sizes: the stock is not followed to the end.");
  return said("Finished part: ") + data.sizes.map(size => size[SIZE_NAME] + " " + size[SIZE_TEXT] + ", " + size[SIZE_PLACE]).join("; ");
}
