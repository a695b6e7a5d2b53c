// Cells of what a hand draws: a line, a frame, a block, what belongs together. Cells are pairs of row and column.

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
  const cells = [];
  for (let r = top; r <= bottom; r++) for (let c = left; c <= right; c++) cells.push([r, c]);
  return cells;
}

export function frame(one, other) {
  const { top, left, bottom, right } = span(one, other);
  return block(one, other).filter(([r, c]) => r === top || r === bottom || c === left || c === right);
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
