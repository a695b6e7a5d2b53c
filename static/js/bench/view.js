// Where the cells lie on the screen: how large a tile is drawn and which part of the drawing is in sight. Everything
// is in whole device pixels, so that edges are sharp and neighbouring rows never overlap.

const LARGEST_TILE = 72;
const GUTTER = { left: 34, top: 22 };

export class View {
  constructor() {
    this.tile = 0;
    this.left = 0;
    this.top = 0;
    this.wide = 0;
    this.high = 0;
    this.dense = 1;
    this.height = 1;
    this.width = 1;
    this.isFitted = true;
  }

  get gutterLeft() {
    return Math.round(GUTTER.left * this.dense);
  }

  get gutterTop() {
    return Math.round(GUTTER.top * this.dense);
  }

  resize(wide, high, dense) {
    this.wide = Math.round(wide * dense);
    this.high = Math.round(high * dense);
    this.dense = dense;
    this.settle();
  }

  hold(grid) {
    this.height = grid.height;
    this.width = grid.width;
    this.settle();
  }

  settle() {
    if (this.isFitted) this.fit();
    else this.keepInSight();
  }

  get room() {
    return { wide: this.wide - this.gutterLeft - 6 * this.dense, high: this.high - this.gutterTop - 6 * this.dense };
  }

  // The tile at which the whole drawing is in sight.
  get fittingTile() {
    return Math.max(1, Math.min(this.room.wide / this.width, this.room.high / this.height, 44 * this.dense));
  }

  fit() {
    this.isFitted = true;
    this.tile = this.fittingTile;
    this.left = this.gutterLeft + Math.max(0, Math.round((this.room.wide - this.tile * this.width) / 2));
    this.top = this.gutterTop + Math.max(0, Math.round((this.room.high - this.tile * this.height) / 2));
  }

  // So many times closer, the point (x, y) in device pixels staying where it is.
  closer(times, x, y) {
    const tile = Math.min(LARGEST_TILE * this.dense, Math.max(this.fittingTile, this.tile * times));
    if (tile <= this.fittingTile) return this.fit();
    this.isFitted = false;
    this.left = x - ((x - this.left) * tile) / this.tile;
    this.top = y - ((y - this.top) * tile) / this.tile;
    this.tile = tile;
    this.keepInSight();
  }

  move(right, down) {
    if (this.isFitted) return;
    this.left += right;
    this.top += down;
    this.keepInSight();
  }

  keepInSight() {
    const held = (start, gutter, long, room) =>
      long <= room ? gutter + (room - long) / 2 : Math.min(gutter, Math.max(start, gutter + room - long));
    this.tile = Math.max(this.tile, this.fittingTile);
    this.left = Math.round(held(this.left, this.gutterLeft, this.tile * this.width, this.room.wide));
    this.top = Math.round(held(this.top, this.gutterTop, this.tile * this.height, this.room.high));
  }

  // Moves so that this cell can be seen; whether it had to.
  show(row, column) {
    const right = Math.max(0, this.gutterLeft - this.x(column)) - Math.max(0, this.x(column + 1) - this.wide);
    const down = Math.max(0, this.gutterTop - this.y(row)) - Math.max(0, this.y(row + 1) - this.high);
    if (!right && !down) return false;
    this.move(right, down);
    return true;
  }

  x(column) {
    return Math.round(this.left + column * this.tile);
  }

  y(row) {
    return Math.round(this.top + row * this.tile);
  }

  // The cell under a point in device pixels; it may lie outside the drawing.
  cellAt(x, y) {
    return [Math.floor((y - this.top) / this.tile), Math.floor((x - this.left) / this.tile)];
  }
}
