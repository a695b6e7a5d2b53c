// The pattern as it lies on the bench: one byte a cell, 0 for background, k for the k-th wood. Tiles and runs are
// counted as cells change, so that nothing is ever counted through.

export class Grid {
  constructor(height, width, cells = new Uint8Array(height * width)) {
    this.height = height;
    this.width = width;
    this.cells = cells;
    this.recount();
  }

  // Two hex digits a cell, a text a row.
  static ofHex(rows) {
    const width = rows[0].length / 2;
    const cells = new Uint8Array(rows.length * width);
    rows.forEach((row, r) => {
      for (let c = 0; c < width; c++) cells[r * width + c] = parseInt(row.slice(2 * c, 2 * c + 2), 16);
    });
    return new Grid(rows.length, width, cells);
  }

  recount() {
    this.counts = new Uint32Array(256);
    this.runs = 0;
    for (let at = 0; at < this.cells.length; at++) {
      this.counts[this.cells[at]]++;
      this.runs += this.begins(at);
    }
  }

  // 1 where a run of wood begins at this cell, else 0. Background is no run.
  begins(at) {
    const wood = this.cells[at];
    return wood !== 0 && (at % this.width === 0 || this.cells[at - 1] !== wood) ? 1 : 0;
  }

  set(at, wood) {
    const last = (at + 1) % this.width === 0;
    const before = this.begins(at) + (last ? 0 : this.begins(at + 1));
    this.counts[this.cells[at]]--;
    this.counts[wood]++;
    this.cells[at] = wood;
    this.runs += this.begins(at) + (last ? 0 : this.begins(at + 1)) - before;
  }

  at(row, column) {
    return row * this.width + column;
  }

  holds(row, column) {
    return row >= 0 && column >= 0 && row < this.height && column < this.width;
  }

  // The first and last column of the run (or stretch of background) that holds this cell.
  runAt(row, column) {
    const start = row * this.width;
    const wood = this.cells[start + column];
    let first = column;
    let last = column;
    while (first > 0 && this.cells[start + first - 1] === wood) first--;
    while (last < this.width - 1 && this.cells[start + last + 1] === wood) last++;
    return [first, last];
  }

  copy() {
    return new Grid(this.height, this.width, this.cells.slice());
  }

  isLike(other) {
    const isOfSize = this.height === other.height && this.width === other.width;
    return isOfSize && this.cells.every((wood, at) => wood === other.cells[at]);
  }

  // A part of it, or with rows and columns of background around it where the part reaches outside.
  part(top, left, height, width) {
    const cells = new Uint8Array(height * width);
    for (let r = 0; r < height; r++) {
      for (let c = 0; c < width; c++) {
        if (this.holds(top + r, left + c)) cells[r * width + c] = this.cells[this.at(top + r, left + c)];
      }
    }
    return new Grid(height, width, cells);
  }

  // A quarter turn clockwise.
  turned() {
    const turned = new Grid(this.width, this.height);
    for (let r = 0; r < this.height; r++) {
      for (let c = 0; c < this.width; c++) {
        turned.cells[c * this.height + (this.height - 1 - r)] = this.cells[this.at(r, c)];
      }
    }
    turned.recount();
    return turned;
  }

  // Left for right.
  turnedOver() {
    const over = this.copy();
    for (let r = 0; r < this.height; r++) over.cells.subarray(r * this.width, (r + 1) * this.width).reverse();
    over.recount();
    return over;
  }

  // The smallest box that holds every tile: top, left, height, width; null when all is background.
  box() {
    let top = this.height, left = this.width, bottom = -1, right = -1;
    for (let at = 0; at < this.cells.length; at++) {
      if (this.cells[at] === 0) continue;
      const r = Math.floor(at / this.width);
      const c = at % this.width;
      top = Math.min(top, r);
      bottom = Math.max(bottom, r);
      left = Math.min(left, c);
      right = Math.max(right, c);
    }
    return bottom < 0 ? null : { top, left, height: bottom - top + 1, width: right - left + 1 };
  }

  // A line a row, runs as they are laid: "2 -, 3 walnut-black".
  toText(woods) {
    const lines = [];
    for (let r = 0; r < this.height; r++) {
      const runs = [];
      for (let c = 0; c < this.width; ) {
        const last = this.runAt(r, c)[1];
        const wood = this.cells[this.at(r, c)];
        runs.push(`${last - c + 1} ${wood ? woods[wood - 1] : "-"}`);
        c = last + 1;
      }
      lines.push(runs.join(", "));
    }
    return lines.join("\n");
  }
}
