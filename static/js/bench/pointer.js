// Pencil, finger and mouse on the drawing. One draws; two fingers move and bring closer. Once a pencil was seen, a
// hand resting on the glass draws nothing.

// A second finger that comes this soon means the first was never meant to draw.
const MEANT_TWO = 350;
// A pencil not seen for this long was laid aside, and the finger draws again.
const PENCIL_STAYS = 60000;

export class Pointer {
  constructor(surface, bench, hand, does) {
    this.surface = surface;
    this.bench = bench;
    this.hand = hand;
    this.does = does;
    this.fingers = new Map();
    this.drawing = null;
    this.pencilSeen = -Infinity;
    const place = surface.place;
    place.addEventListener("pointerdown", (event) => this.down(event));
    place.addEventListener("pointermove", (event) => this.move(event));
    place.addEventListener("pointerup", (event) => this.up(event));
    place.addEventListener("pointercancel", (event) => this.up(event, true));
    place.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    place.addEventListener("contextmenu", (event) => event.pointerType === "touch" && event.preventDefault());
  }

  down(event) {
    this.surface.isByKeys = false;
    if (event.pointerType === "pen") this.pencilSeen = performance.now();
    this.surface.place.focus({ preventScroll: true });
    this.corner = this.surface.place.getBoundingClientRect();
    this.surface.place.setPointerCapture(event.pointerId);
    if (event.pointerType === "touch") {
      this.fingers.set(event.pointerId, this.surface.point(event, this.corner));
      if (this.fingers.size > 1) return this.twoFingers();
      if (performance.now() - this.pencilSeen < PENCIL_STAYS) return;
    }
    if (event.button === 1 || (event.button === 0 && (event.altKey || this.hand.verb === "look"))) {
      const start = this.surface.point(event, this.corner);
      this.dragged = { id: event.pointerId, start, last: start };
      event.preventDefault();
      return;
    }
    if (event.button !== 0 || this.drawing || this.bench.isAtRest) return;
    const cell = this.cellOf(event);
    if (!this.bench.grid.holds(...cell) && !this.hand.reachesOutside) return;
    const isSecond = this.hand.awaitsSecond;
    this.drawing = { id: event.pointerId, since: event.timeStamp, cell, isSecond, isMoved: false };
    if (isSecond) this.hand.drag(cell);
    else this.hand.start(cell);
    this.follow(cell);
  }

  move(event) {
    if (event.pointerType === "pen") this.pencilSeen = performance.now();
    if (this.fingers.has(event.pointerId) && this.fingers.size > 1) return this.pinch(event);
    if (this.dragged?.id === event.pointerId) {
      const [x, y] = this.surface.point(event, this.corner);
      this.surface.moveBy(x - this.dragged.last[0], y - this.dragged.last[1]);
      this.dragged.last = [x, y];
      return;
    }
    if (this.drawing ? this.drawing.id !== event.pointerId : !this.hand.awaitsSecond) return;
    if (!this.drawing) this.corner = this.surface.place.getBoundingClientRect();
    // Coalesced moves are part of this one; a browser that does not tell them has only this one.
    const between = event.getCoalescedEvents?.() ?? [];
    for (const one of between.length ? between : [event]) this.hand.drag(this.cellOf(one));
    const cell = this.cellOf(event);
    if (this.drawing && (cell[0] !== this.drawing.cell[0] || cell[1] !== this.drawing.cell[1])) this.drawing.isMoved = true;
    this.follow(cell);
  }

  up(event, isBroken = false) {
    this.fingers.delete(event.pointerId);
    if (this.dragged?.id === event.pointerId) return this.dropped();
    if (this.drawing?.id !== event.pointerId) return;
    const { isMoved, isSecond } = this.drawing;
    this.drawing = null;
    // What the system takes away mid-stroke (a call, a gesture of its own) is kept: it can be taken back.
    if (isBroken && !this.hand.isLaying) this.hand.cancel();
    else if (!isMoved && !isSecond && this.hand.awaitsSecond) this.does.begun();
    else this.hand.finish();
  }

  // A touch that did not move brings the place to the middle, closer.
  dropped() {
    const { start, last } = this.dragged;
    this.dragged = null;
    if (this.hand.verb !== "look" || Math.hypot(start[0] - last[0], start[1] - last[1]) > 6) return;
    const { view } = this.surface;
    this.surface.closer(1.6, ...last);
    this.surface.moveBy(view.wide / 2 - last[0], view.high / 2 - last[1]);
  }

  cellOf(event) {
    return this.surface.view.cellAt(...this.surface.point(event, this.corner));
  }

  // The cursor follows the hand, inside the drawing.
  follow([row, column]) {
    const { grid } = this.bench;
    this.bench.cursor = [Math.max(0, Math.min(grid.height - 1, row)), Math.max(0, Math.min(grid.width - 1, column))];
    this.surface.soon();
  }

  twoFingers() {
    if (this.drawing) {
      const wasMeant = performance.now() - this.drawing.since > MEANT_TWO;
      this.drawing = null;
      if (wasMeant && this.hand.isLaying) this.hand.finish();
      else this.hand.cancel();
    }
  }

  pinch(event) {
    const now = this.surface.point(event, this.corner);
    const before = this.fingers.get(event.pointerId);
    const [other] = [...this.fingers].filter(([id]) => id !== event.pointerId).map(([, point]) => point);
    this.fingers.set(event.pointerId, now);
    const apart = (one, two) => Math.max(1, Math.hypot(one[0] - two[0], one[1] - two[1]));
    this.surface.moveBy((now[0] - before[0]) / 2, (now[1] - before[1]) / 2);
    this.surface.closer(apart(now, other) / apart(before, other), (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
  }

  // The wheel moves the page, as everywhere; with Ctrl, as a pinch on a pad does, it brings the drawing closer.
  wheel(event) {
    const corner = this.surface.place.getBoundingClientRect();
    if (event.ctrlKey || event.metaKey) {
      event.preventDefault();
      this.surface.closer(Math.exp(-event.deltaY / 300), ...this.surface.point(event, corner));
    } else if (!this.surface.view.isFitted) {
      event.preventDefault();
      this.surface.moveBy(-event.deltaX * this.surface.view.dense, -event.deltaY * this.surface.view.dense);
    }
  }
}
