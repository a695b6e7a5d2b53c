// What was done, step by step, without end. A step is either some cells (their places, what they were, what they
// became) or the whole drawing before and after, where its size changed. Steps are plain values, so that they can be
// written down and read back.
import { Grid } from "./grid.js";

// A stroke that is being laid: each cell's wood is remembered the first time it is touched.
export class Stroke {
  constructor(grid, words) {
    this.grid = grid;
    this.words = words;
    this.touched = new Uint8Array(grid.cells.length);
    this.places = [];
    this.was = [];
  }

  put(at, wood) {
    if (this.grid.cells[at] === wood) return false;
    if (!this.touched[at]) {
      this.touched[at] = 1;
      this.places.push(at);
      this.was.push(this.grid.cells[at]);
    }
    this.grid.set(at, wood);
    return true;
  }

  // The step it makes, or null when in the end nothing is different.
  step() {
    const changed = this.places.map((at, i) => i).filter((i) => this.grid.cells[this.places[i]] !== this.was[i]);
    if (!changed.length) return null;
    return {
      kind: "cells",
      words: this.words,
      places: Uint16Array.from(changed, (i) => this.places[i]),
      before: Uint8Array.from(changed, (i) => this.was[i]),
      after: Uint8Array.from(changed, (i) => this.grid.cells[this.places[i]]),
    };
  }

  undo(changed) {
    this.places.forEach((at, i) => {
      this.grid.set(at, this.was[i]);
      changed?.(at);
    });
  }
}

const whole = (grid) => ({ height: grid.height, width: grid.width, cells: grid.cells.slice() });

export function wholeStep(words, before, after) {
  return { kind: "whole", words, before: whole(before), after: whole(after) };
}

// The drawing after a step is done again, or taken back.
export function stepped(grid, step, back, changed) {
  if (step.kind === "whole") {
    const { height, width, cells } = back ? step.before : step.after;
    return new Grid(height, width, cells.slice());
  }
  const woods = back ? step.before : step.after;
  step.places.forEach((at, i) => {
    grid.set(at, woods[i]);
    changed?.(at);
  });
  return grid;
}

export class History {
  constructor(steps = [], at = steps.length, keptAt = 0) {
    this.steps = steps;
    this.at = at;
    // Where in it the drawing was kept last; -1 when that place is gone.
    this.keptAt = keptAt;
  }

  add(step) {
    this.steps.length = this.at;
    this.steps.push(step);
    if (this.keptAt > this.at) this.keptAt = -1;
    this.at++;
  }

  get isKept() {
    return this.at === this.keptAt;
  }
}
