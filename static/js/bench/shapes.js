// What a hand draws: a line, a frame, a block, what belongs together. A cell is a row and a column; a frame or a block
// is so many stretches, each a row with its first and last column.

// From one cell to another without a gap, both ends included.
export function line([r0, c0], [r1, c1]) {
  const cells = [];
  const steps = Math.max(Math.abs(r1 - r0), Math.abs(c1 - c0));
  for (let i = 0; i <= steps; i++) {
    const share = steps ? i / steps : 0;
    cells.push([Math.round(r0 + (r1 - r0) * share), Math.round(c0 + (c1 - c0) * share)]);
  }
  return cells;
}

// The box two corners span: top, left, bottom and right, all inside.
export function span([r0, c0], [r1, c1]) {
  return { top: Math.min(r0, r1), left: Math.min(c0, c1), bottom: Math.max(r0, r1), right: Math.max(c0, c1) };
}

export function block(one, other) {
  const { top, left, bottom, right } = span(one, other);
  return Array.from({ length: bottom - top + 1 }, (_, i) => [top + i, left, right]);
}

export function frame(one, other) {
  const { top, left, bottom, right } = span(one, other);
  return block(one, other).flatMap(([r]) => (r === top || r === bottom ? [[r, left, right]] : [[r, left, left], [r, right, right]]));
}

export const stretchesOf = (cells) => cells.map(([r, c]) => [r, c, c]);

// The part of a stretch that lies on the drawing, with its images across the middle; nothing where none does.
export function onGrid(grid, [row, first, last], mirror) {
  const [from, to] = [Math.max(0, first), Math.min(grid.width - 1, last)];
  if (row < 0 || row >= grid.height || from > to) return [];
  const rows = mirror.down ? [row, grid.height - 1 - row] : [row];
  const columns = mirror.across ? [[from, to], [grid.width - 1 - to, grid.width - 1 - from]] : [[from, to]];
  return rows.flatMap((r) => columns.map(([c, end]) => [r, c, end]));
}

// Every cell of the same wood that touches this one side by side, however far.
export function region(grid, [row, column]) {
  const wood = grid.cells[grid.at(row, column)];
  const seen = new Uint8Array(grid.cells.length);
  const waiting = [grid.at(row, column)];
  const cells = [];
  seen[waiting[0]] = 1;
  while (waiting.length) {
    const at = waiting.pop();
    const r = Math.floor(at / grid.width);
    const c = at % grid.width;
    cells.push([r, c]);
    for (const [nr, nc] of [[r - 1, c], [r + 1, c], [r, c - 1], [r, c + 1]]) {
      if (!grid.holds(nr, nc)) continue;
      const next = grid.at(nr, nc);
      if (seen[next] || grid.cells[next] !== wood) continue;
      seen[next] = 1;
      waiting.push(next);
    }
  }
  return cells;
}

// Every cell of this wood, wherever it lies.
export function everyCellOf(grid, wood) {
  const cells = [];
  grid.cells.forEach((here, at) => {
    if (here === wood) cells.push([Math.floor(at / grid.width), at % grid.width]);
  });
  return cells;
}

// A cell with its images across the middle of the drawing.
export function images(grid, [row, column], mirror) {
  const rows = mirror.down ? [row, grid.height - 1 - row] : [row];
  const columns = mirror.across ? [column, grid.width - 1 - column] : [column];
  return rows.flatMap((r) => columns.map((c) => [r, c]));
}
