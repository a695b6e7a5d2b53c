// The drawing itself: each run is one piece of wood with its glue lines and one mark, on paper with a dot a cell. Only
// the pieces a change has touched are painted again.

// Under this many pixels a tile shows neither mark nor dot.
const SMALL = 9;

export class Painter {
  constructor(canvas, view) {
    this.canvas = canvas;
    this.view = view;
    this.ink = canvas.getContext("2d", { alpha: false });
    this.looks = [];
    // How much was painted, for whoever measures it.
    this.painted = { pieces: 0, cells: 0, whole: 0 };
  }

  hold(grid) {
    this.grid = grid;
    this.first = new Int16Array(grid.height).fill(grid.width);
    this.last = new Int16Array(grid.height).fill(-1);
    this.touchedRows = [];
    this.isWhole = true;
  }

  size() {
    this.canvas.width = this.view.wide;
    this.canvas.height = this.view.high;
    const style = getComputedStyle(this.canvas);
    this.paper = style.backgroundColor;
    this.words = style.color;
    this.font = style.fontFamily;
    this.isWhole = true;
  }

  touch(at) {
    const row = Math.floor(at / this.grid.width);
    const column = at % this.grid.width;
    if (this.last[row] < 0) this.touchedRows.push(row);
    if (column < this.first[row]) this.first[row] = column;
    if (column > this.last[row]) this.last[row] = column;
  }

  paint() {
    if (this.isWhole) return this.paintAll();
    for (const row of this.touchedRows) {
      // A piece that lost or gained a cell is painted from end to end, for its mark stands in its middle.
      const from = this.grid.runAt(row, Math.max(0, this.first[row] - 1))[0];
      const to = this.grid.runAt(row, Math.min(this.grid.width - 1, this.last[row] + 1))[1];
      this.paintRow(row, from, to);
    }
    this.forgetTouched();
  }

  forgetTouched() {
    for (const row of this.touchedRows) {
      this.first[row] = this.grid.width;
      this.last[row] = -1;
    }
    this.touchedRows.length = 0;
  }

  paintAll() {
    const { ink, view, grid } = this;
    ink.fillStyle = this.paper;
    ink.fillRect(0, 0, view.wide, view.high);
    const [top, left] = view.cellAt(view.gutterLeft, view.gutterTop);
    const [bottom, right] = view.cellAt(view.wide, view.high);
    const from = this.grid.width > left ? Math.max(0, left) : 0;
    const to = Math.min(grid.width - 1, right);
    for (let row = Math.max(0, top); row <= Math.min(grid.height - 1, bottom); row++) {
      this.paintRow(row, grid.runAt(row, from)[0], grid.runAt(row, to)[1]);
    }
    this.paintEdge();
    this.paintNumbers();
    this.forgetTouched();
    this.isWhole = false;
    this.painted.whole++;
  }

  paintRow(row, from, to) {
    const { ink, view, grid } = this;
    const y = view.y(row);
    const bottom = view.y(row + 1);
    if (y >= view.high || bottom <= view.gutterTop) return;
    ink.save();
    ink.beginPath();
    // The last row and column leave the line around the drawing alone.
    ink.rect(view.gutterLeft, Math.max(y, view.gutterTop), view.wide, bottom - Math.max(y, view.gutterTop));
    ink.clip();
    for (let column = from; column <= to; ) {
      const last = grid.runAt(row, column)[1];
      const wood = grid.cells[grid.at(row, column)];
      if (wood) this.paintPiece(this.looks[wood - 1], row, column, last, y, bottom);
      else this.paintBackground(column, last, y, bottom);
      this.painted.pieces++;
      this.painted.cells += last - column + 1;
      column = last + 1;
    }
    ink.restore();
  }

  paintPiece(look, row, first, last, y, bottom) {
    const { ink, view } = this;
    const x = view.x(first);
    const end = view.x(last + 1);
    const high = bottom - y;
    const fine = Math.max(1, Math.round(view.dense));
    ink.fillStyle = look.toneOf(row);
    ink.fillRect(x, y, end - x, high);
    ink.fillStyle = look.ink;
    ink.globalAlpha = view.tile < SMALL * view.dense ? 0.22 : 0.38;
    ink.fillRect(x, y, end - x, fine);
    ink.fillRect(x, y + fine, fine, high - fine);
    if (view.tile >= SMALL * view.dense) {
      // A tick at the foot for every tile of the piece, so that its length can be read off.
      const tick = Math.max(2, Math.round(high * 0.14));
      ink.globalAlpha = 0.28;
      for (let column = first + 1; column <= last; column++) ink.fillRect(view.x(column), bottom - tick, fine, tick);
      ink.globalAlpha = 1;
      const size = Math.round(high * 0.56);
      ink.drawImage(look.stamp(size), Math.round((x + end - size) / 2), Math.round(y + (high - size) / 2));
    }
    ink.globalAlpha = 1;
  }

  paintBackground(first, last, y, bottom) {
    const { ink, view } = this;
    const x = view.x(first);
    ink.fillStyle = this.paper;
    ink.fillRect(x, y, view.x(last + 1) - x, bottom - y);
    if (view.tile < 5 * view.dense) return;
    const dot = Math.max(1, Math.round(view.tile * 0.06));
    ink.fillStyle = this.words;
    ink.globalAlpha = 0.3;
    for (let column = first; column <= last; column++) {
      ink.fillRect(Math.round((view.x(column) + view.x(column + 1) - dot) / 2), Math.round((y + bottom - dot) / 2), dot, dot);
    }
    ink.globalAlpha = 1;
  }

  // The line around the drawing lies outside its cells.
  paintEdge() {
    const { ink, view, grid } = this;
    const fine = Math.max(1, Math.round(view.dense));
    ink.fillStyle = this.words;
    ink.globalAlpha = 0.6;
    const [x, y, end, bottom] = [view.x(0), view.y(0), view.x(grid.width), view.y(grid.height)];
    ink.fillRect(x - fine, y - fine, end - x + 2 * fine, fine);
    ink.fillRect(x - fine, bottom, end - x + 2 * fine, fine);
    ink.fillRect(x - fine, y, fine, bottom - y);
    ink.fillRect(end, y, fine, bottom - y);
    ink.globalAlpha = 1;
  }

  // Rows are numbered at their left end as they are laid, columns above every fifth.
  paintNumbers() {
    const { ink, view, grid } = this;
    ink.fillStyle = this.paper;
    ink.fillRect(0, 0, view.gutterLeft - 1, view.high);
    ink.fillRect(0, 0, view.wide, view.gutterTop - 1);
    ink.fillStyle = this.words;
    const size = Math.round(11.5 * view.dense);
    ink.font = `${size}px ${this.font}`;
    ink.globalAlpha = 0.8;
    ink.textBaseline = "middle";
    ink.textAlign = "right";
    const left = Math.max(view.gutterLeft, view.x(0)) - 6 * view.dense;
    for (const row of numbered(grid.height, view.tile, 1.3 * size)) {
      const y = (view.y(row) + view.y(row + 1)) / 2;
      if (y > view.gutterTop && y < view.high) ink.fillText(String(row + 1), left, y);
    }
    ink.textAlign = "center";
    const top = Math.max(view.gutterTop, view.y(0)) - 10 * view.dense;
    for (const column of numbered(grid.width, view.tile, 2.2 * size, 5)) {
      const x = (view.x(column) + view.x(column + 1)) / 2;
      if (x > view.gutterLeft && x < view.wide) ink.fillText(String(column + 1), x, top);
    }
    ink.globalAlpha = 1;
  }
}

// Which are numbered: all where there is room, else every fifth, tenth, and so on, and always the first.
function numbered(count, tile, room, least = 1) {
  const every = [1, 5, 10, 20, 50].find((step) => step >= least && step * tile >= room) ?? 50;
  const found = [];
  for (let i = 0; i < count; i++) if (i === 0 || (i + 1) % every === 0) found.push(i);
  return found;
}
