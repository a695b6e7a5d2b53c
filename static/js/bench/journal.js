// What was drawn, written down on this device step by step, so that a reload or a closed tab loses nothing. A branch
// is one line of drawing: the design, the drawing it began from, its steps, and every so often the whole of it.
// Whoever writes looks first, in the same transaction, whether the branch is still theirs.
import { answered, finished, unguessable } from "../store.js";
import { Grid } from "./grid.js";
import { History, stepped } from "./history.js";

const SNAPSHOT_EVERY = 40;
const TIDY_AFTER = 30 * 24 * 3600 * 1000;

// Somebody else's tab took the branch over.
export class NotOurs extends Error {}

export class Journal {
  constructor(base, me) {
    this.base = base;
    this.me = me;
    this.branch = null;
    this.isClosed = false;
    this.queue = Promise.resolve();
  }

  static async open(me) {
    const request = indexedDB.open("kerfstead-bench", 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("branches", { keyPath: "id" }).createIndex("design", "design");
      request.result.createObjectStore("steps", { keyPath: ["branch", "n"] });
      request.result.createObjectStore("snapshots", { keyPath: ["branch", "n"] });
    };
    const base = await answered(request);
    const journal = new Journal(base, me);
    const closed = () => { journal.isClosed = true; };
    // Somebody cleared what this browser keeps, or wants another form of it.
    base.onversionchange = () => { base.close(); closed(); };
    base.onclose = closed;
    return journal;
  }

  transaction(mode, work) {
    const transaction = this.base.transaction(["branches", "steps", "snapshots"], mode, { durability: "strict" });
    const over = finished(transaction);
    const [branches, steps, snapshots] = ["branches", "steps", "snapshots"].map((name) => transaction.objectStore(name));
    const done = work({ branches, steps, snapshots }).catch((error) => {
      try { transaction.abort(); } catch { /* it is over already */ }
      throw error;
    });
    over.catch(() => {});
    return done.then((answer) => over.then(() => answer));
  }

  // Every branch of a design, the one drawn on last first.
  branches(design) {
    return this.transaction("readonly", async ({ branches }) => {
      const found = await answered(branches.index("design").getAll(design));
      return found.sort((one, other) => other.changed - one.changed);
    });
  }

  // Begin a branch of one's own with what lies on the bench now and every step that led there.
  begin({ design, from, woods, grid, history }) {
    const branch = {
      id: unguessable(), design, from, woods: [...woods], holder: this.me, changed: Date.now(),
      at: history.at, count: history.steps.length, keptAt: history.keptAt, height: grid.height, width: grid.width,
    };
    const pictures = [picture(branch.id, 0, beforeAll(grid, history)), picture(branch.id, history.at, grid)];
    const all = [...history.steps];
    this.branch = branch.id;
    return this.later(() =>
      this.transaction("readwrite", async ({ branches, steps, snapshots }) => {
        branches.put(branch);
        all.forEach((step, n) => steps.put({ branch: branch.id, n, step }));
        pictures.forEach((whole) => snapshots.put(whole));
      }));
  }

  // Read a branch back, its grid, its woods and its steps; and take it as one's own if asked.
  read(id, take = false) {
    return this.transaction("readwrite", async ({ branches, steps, snapshots }) => {
      const branch = await answered(branches.get(id));
      if (!branch) return null;
      const all = IDBKeyRange.bound([id, 0], [id, Infinity]);
      const written = await answered(steps.getAll(all));
      const pictures = await answered(snapshots.getAll(all));
      const back = readBack(branch, written, pictures);
      if (back && take) {
        branches.put({ ...branch, holder: this.me });
        this.branch = id;
      }
      return back;
    });
  }

  // One step more, or a step taken back or done again: the place in the history, and what changed there.
  write({ history, grid, woods, step }) {
    const place = { at: history.at, count: history.steps.length, keptAt: history.keptAt, woods: [...woods] };
    const isDue = step?.kind === "whole" || history.at % SNAPSHOT_EVERY === 0;
    const whole = step && isDue ? picture(this.branch, history.at, grid) : null;
    return this.later(() =>
      this.transaction("readwrite", async ({ branches, steps, snapshots }) => {
        const branch = await this.ours(branches);
        branches.put({ ...branch, ...place, height: grid.height, width: grid.width, changed: Date.now() });
        if (!step) return;
        const n = place.at - 1;
        const beyond = IDBKeyRange.bound([this.branch, n], [this.branch, Infinity], true);
        steps.delete(beyond);
        snapshots.delete(beyond);
        steps.put({ branch: this.branch, n, step });
        if (whole) snapshots.put(whole);
      }));
  }

  // The branch goes on from the drawing that was kept of it.
  keep(from, history) {
    return this.later(() =>
      this.transaction("readwrite", async ({ branches }) => {
        const branch = await this.ours(branches);
        branches.put({ ...branch, from, keptAt: history.keptAt, changed: Date.now() });
      }));
  }

  drop(id) {
    return this.transaction("readwrite", async (stores) => forget(stores, id));
  }

  // What was kept and not touched for a month is no longer needed here.
  tidy(design) {
    return this.transaction("readwrite", async (stores) => {
      const old = Date.now() - TIDY_AFTER;
      for (const branch of await answered(stores.branches.index("design").getAll(design))) {
        if (branch.id !== this.branch && branch.at === branch.keptAt && branch.changed < old) forget(stores, branch.id);
      }
    });
  }

  async ours(branches) {
    const branch = await answered(branches.get(this.branch));
    if (!branch) throw new Error("the branch is gone");
    if (branch.holder !== this.me) throw new NotOurs();
    return branch;
  }

  // One after the other, in the order they were asked for; one that fails does not stop the next.
  later(work) {
    const done = this.queue.then(work);
    this.queue = done.catch(() => {});
    return done;
  }
}

function forget({ branches, steps, snapshots }, id) {
  const all = IDBKeyRange.bound([id, 0], [id, Infinity]);
  branches.delete(id);
  steps.delete(all);
  snapshots.delete(all);
}

function beforeAll(grid, history) {
  let before = grid.copy();
  for (let n = history.at - 1; n >= 0; n--) before = stepped(before, history.steps[n], true);
  return before;
}

const picture = (branch, n, grid) => ({ branch, n, height: grid.height, width: grid.width, cells: grid.cells.slice() });

// The grid where the branch stood: from the nearest whole picture before it, step by step. Where a step is missing,
// what stands before it is still there.
function readBack(branch, written, pictures) {
  const steps = written.map((row) => row.step);
  const gap = written.findIndex((row, i) => row.n !== i);
  if (gap >= 0) steps.length = gap;
  const at = Math.min(branch.at, steps.length);
  const start = pictures.filter((p) => p.n <= at).at(-1);
  if (!start) return null;
  let grid = new Grid(start.height, start.width, start.cells);
  for (let n = start.n; n < at; n++) grid = stepped(grid, steps[n], false);
  return { branch, grid, woods: branch.woods, history: new History(steps, at, branch.keptAt), isCut: at < branch.at };
}
