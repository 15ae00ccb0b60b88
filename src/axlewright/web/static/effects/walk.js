// Walking in the grid by keyboard: one cell can be reached by Tab, the arrows go on from there.

const LEAP = 10; // rows that Page Up and Page Down go
let last = null; // row and column that had the focus: a row that moves in the page loses it

/** Arrow keys, Home, End, Page Up and Down. */
export function onKey(event, grid) {
  const from = event.target.closest("[data-c]");
  if (!from || event.altKey || event.metaKey) return;
  const rows = [...grid.querySelectorAll("tr[data-r]")];
  const row = rows.indexOf(from.closest("tr"));
  const own = cells(rows[row]);
  const column = own.indexOf(from);
  const to = {
    ArrowUp: () => [row - 1, column], ArrowDown: () => [row + 1, column], ArrowLeft: () => [row, column - 1], ArrowRight: () => [row, column + 1],
    Home: () => [event.ctrlKey ? 0 : row, 0], End: () => [event.ctrlKey ? rows.length - 1 : row, own.length - 1],
    PageUp: () => [Math.max(0, row - LEAP), column], PageDown: () => [Math.min(rows.length - 1, row + LEAP), column],
  }[event.key];
  if (!to) return;
  event.preventDefault();
  const [r, c] = to();
  const next = rows[r] && cells(rows[r])[c];
  if (next) next.focus();
}

const cells = (row) => [...row.querySelectorAll("[data-c]")];

/** Remember where the focus is, and let Tab come back there. */
export function held(grid, event) {
  const to = event.target.closest("[data-c]");
  if (!to) return;
  grid.querySelectorAll('[data-c][tabindex="0"]').forEach((one) => one.setAttribute("tabindex", "-1"));
  to.setAttribute("tabindex", "0");
  last = { row: to.closest("tr").dataset.r, column: to.dataset.c };
}

/** After a redraw: one cell stays reachable, and a focus that was lost with its row's place comes back. */
export function settle(grid) {
  if (!grid) return;
  const lost = last && document.activeElement === document.body;
  if (lost) {
    const row = [...grid.querySelectorAll("tr[data-r]")].find((one) => one.dataset.r === last.row);
    const cell = row && row.querySelector(`[data-c="${CSS.escape(last.column)}"]`);
    if (cell) cell.focus({ preventScroll: true });
  }
  if (!grid.querySelector('[data-c][tabindex="0"]')) grid.querySelector("[data-c]").setAttribute("tabindex", "0");
}
