// What lies over the drawing without being part of it: the cursor, a shape being drawn, the piece in hand, what is
// selected, where drawing is mirrored, and what is pointed out.

export class Notes {
  constructor(still, moving, view) {
    this.still = still;
    this.moving = moving;
    this.stillInk = still.getContext("2d");
    this.movingInk = moving.getContext("2d");
    this.view = view;
    this.was = [];
    this.pointed = [];
    this.shape = null;
  }

  size() {
    for (const canvas of [this.still, this.moving]) {
      canvas.width = this.view.wide;
      canvas.height = this.view.high;
    }
    const style = getComputedStyle(this.still);
    this.accent = style.outlineColor;
    this.paper = style.backgroundColor === "rgba(0, 0, 0, 0)" ? "#fffdf8" : style.backgroundColor;
    this.words = style.color;
    this.font = style.fontFamily;
    this.was = [];
  }

  // What changes seldom: mirrors, what is pointed out, what is selected.
  paintStill({ grid, mirror, selected, inHand }) {
    const { stillInk: ink, view } = this;
    ink.clearRect(0, 0, view.wide, view.high);
    this.inside(ink, () => {
      if (!inHand) for (const cells of this.pointed) this.ringAround(ink, cells);
      ink.setLineDash([6 * view.dense, 5 * view.dense]);
      const [x, y, end, bottom] = [view.x(0), view.y(0), view.x(grid.width), view.y(grid.height)];
      if (mirror.across) this.twoTone(ink, () => this.lineAt(ink, (x + end) / 2, y, 0, bottom - y));
      if (mirror.down) this.twoTone(ink, () => this.lineAt(ink, x, (y + bottom) / 2, end - x, 0));
      if (selected) this.twoTone(ink, () => this.box(ink, selected.top, selected.left, selected.bottom, selected.right));
      ink.setLineDash([]);
    });
  }

  // What follows the hand; only where it was and where it is now.
  paintMoving({ cursor, isFocused, inHand, shape, wood, looks }) {
    const { movingInk: ink, view } = this;
    for (const box of this.was) ink.clearRect(...box);
    this.was = [];
    const boxes = [];
    this.inside(ink, () => {
      if (shape) {
        for (const [r, first, last] of shape) {
          this.piece(ink, r, first, last, wood ? looks[wood - 1].rgb : this.paper, 0.85);
          boxes.push([r, first], [r, last]);
        }
      }
      if (inHand) {
        const { grid, top, left } = inHand;
        for (let r = 0; r < grid.height; r++) {
          for (let c = 0; c < grid.width; ) {
            const last = grid.runAt(r, c)[1];
            const held = grid.cells[grid.at(r, c)];
            if (held) this.piece(ink, top + r, left + c, left + last, looks[held - 1].rgb, 1);
            c = last + 1;
          }
        }
        this.twoTone(ink, () => this.box(ink, top, left, top + grid.height - 1, left + grid.width - 1));
        boxes.push([top, left], [top + grid.height - 1, left + grid.width - 1]);
      }
      if (cursor) {
        const thick = (isFocused ? 3 : 2) * view.dense;
        this.box(ink, cursor[0], cursor[1], cursor[0], cursor[1], this.paper, thick + 2 * view.dense);
        this.box(ink, cursor[0], cursor[1], cursor[0], cursor[1], isFocused ? this.accent : this.words, thick);
        boxes.push(cursor);
      }
    });
    if (cursor) this.numberRow(ink, cursor);
    if (boxes.length) this.was.push(this.around(boxes));
  }

  // The number of the cursor's row and column, dark on the edge.
  numberRow(ink, [row, column]) {
    const { view } = this;
    const size = Math.round(12 * view.dense);
    ink.font = `600 ${size}px ${this.font}`;
    ink.textBaseline = "middle";
    const label = (text, x, y) => {
      const [wide, high] = [28 * view.dense, 18 * view.dense];
      const box = [Math.round(x - wide / 2), Math.round(y - high / 2), wide, high];
      ink.fillStyle = this.accent;
      ink.fillRect(...box);
      ink.fillStyle = this.paper;
      ink.textAlign = "center";
      ink.fillText(text, x, y);
      this.was.push([box[0] - 1, box[1] - 1, wide + 2, high + 2]);
    };
    const y = (view.y(row) + view.y(row + 1)) / 2;
    const x = (view.x(column) + view.x(column + 1)) / 2;
    if (y > 0 && y < view.high) label(String(row + 1), Math.max(view.gutterLeft, view.x(0)) - 17 * view.dense, y);
    if (x > 0 && x < view.wide) label(String(column + 1), x, Math.max(view.gutterTop, view.y(0)) - 11 * view.dense);
  }

  inside(ink, draw) {
    const { view } = this;
    ink.save();
    ink.beginPath();
    ink.rect(view.gutterLeft - 3 * view.dense, view.gutterTop - 3 * view.dense, view.wide, view.high);
    ink.clip();
    draw();
    ink.restore();
  }

  // The box in pixels that holds all these cells and the lines around them.
  around(cells) {
    const { view } = this;
    let [top, left, bottom, right] = [Infinity, Infinity, -Infinity, -Infinity];
    for (const [r, c] of cells) {
      top = Math.min(top, r);
      left = Math.min(left, c);
      bottom = Math.max(bottom, r);
      right = Math.max(right, c);
    }
    const more = Math.ceil(6 * view.dense);
    const [x, y] = [view.x(left) - more, view.y(top) - more];
    return [x, y, view.x(right + 1) + more - x, view.y(bottom + 1) + more - y];
  }

  piece(ink, row, first, last, colour, strength) {
    const { view } = this;
    ink.globalAlpha = strength;
    ink.fillStyle = colour;
    const [x, y] = [view.x(first), view.y(row)];
    ink.fillRect(x, y, view.x(last + 1) - x, view.y(row + 1) - y);
    ink.globalAlpha = 1;
  }

  box(ink, top, left, bottom, right, colour, thick) {
    const { view } = this;
    if (colour) {
      ink.strokeStyle = colour;
      ink.lineWidth = thick;
    }
    const [x, y] = [view.x(left), view.y(top)];
    ink.strokeRect(x, y, view.x(right + 1) - x, view.y(bottom + 1) - y);
  }

  lineAt(ink, x, y, right, down) {
    ink.beginPath();
    ink.moveTo(x, y);
    ink.lineTo(x + right, y + down);
    ink.stroke();
  }

  // A line that shows on pale wood as on dark.
  twoTone(ink, draw) {
    ink.strokeStyle = this.paper;
    ink.lineWidth = 4 * this.view.dense;
    draw();
    ink.strokeStyle = this.accent;
    ink.lineWidth = 2 * this.view.dense;
    draw();
  }

  // A line around cells that belong together, between those that do and those that do not.
  ringAround(ink, cells) {
    const { view } = this;
    const here = new Set(cells.map(([r, c]) => r * 1000 + c));
    this.twoTone(ink, () => {
      ink.beginPath();
      for (const [r, c] of cells) {
        const [x, y, end, bottom] = [view.x(c), view.y(r), view.x(c + 1), view.y(r + 1)];
        const edges = [
          [(r - 1) * 1000 + c, x, y, end, y],
          [(r + 1) * 1000 + c, x, bottom, end, bottom],
          [r * 1000 + c - 1, x, y, x, bottom],
          [r * 1000 + c + 1, end, y, end, bottom],
        ];
        for (const [other, x0, y0, x1, y1] of edges) {
          if (here.has(other)) continue;
          ink.moveTo(x0, y0);
          ink.lineTo(x1, y1);
        }
      }
      ink.stroke();
    });
  }
}
