// What is left of the stock: one row of corners, changed move by move, and back again.
// Loops stand one behind another in the row, each ended by a pair of nulls.
let stock_row, changes, changes_done;
function take_stock() {
  stock_row = data.stock.first.slice();
  changes = [];
  for (let i = 0, row = data.stock.changes; i < row.length;) {
    const [move, start, removed, count] = row.slice(i, i + 4);
    changes.push({move, start: 2 * start, other: row.slice(i + 4, i + 4 + 2 * count), length: 2 * removed});
    i += 4 + 2 * count;
  }
  changes_done = 0;
}

/// Puts the other corners into the row and keeps those they replace: done twice it is as before.
function swap(change) {
  const length = change.other.length;
  change.other = stock_row.splice(change.start, change.length, ...change.other);
  change.length = length;
}
/// The stock as it is behind so many moves.
function stock_behind(done) {
  while (changes_done < changes.length && changes[changes_done].move < done) swap(changes[changes_done++]);
  while (changes_done > 0 && changes[changes_done - 1].move >= done) swap(changes[--changes_done]);
}
function stock_front() {
  let front = -Infinity;
  for (let i = 0; i < stock_row.length; i += 2) if (stock_row[i] !== null) front = Math.max(front, stock_row[i]);
  return front;
}
function stock_is_known(done) {
  return stock_row.length > 0 && (data.stock.followedTo === null || done <= data.stock.followedTo);
}
function stock_text(done) {
  if (!stock_row.length) return data.stock.whyNot || said("not known");
  let widest = 0;
  for (let i = 0; i < stock_row.length; i += 2) if (stock_row[i] !== null) widest = Math.max(widest, stock_row[i + 1]);
  let text = data.stock.exact ? said("front at Z{0}, largest {1}", length_text(stock_front()), x_text(widest))
    : said("at least front at Z{0}, largest {1}", length_text(stock_front()), x_text(widest));
  if (data.stock.assumed.length) text += said(", assumed");
  return stock_is_known(done) ? text : said("not known here: {0}. Shown as it was there: {1}", data.stock.whyNot, text);
}
