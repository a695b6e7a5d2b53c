// What keeps the drawing from being lost: the journal on this device, and the other tabs that may draw on the same one.
import { unguessable } from "../store.js";
import { Grid } from "./grid.js";
import { History } from "./history.js";
import { Journal, NotOurs } from "./journal.js";
import { Tabs } from "./tabs.js";

export class Daybook {
  // told: notice(key, words, buttons), cleared by empty words.
  constructor(bench, { design, from }, told) {
    this.bench = bench;
    this.design = design;
    this.from = from ?? 0;
    this.told = told;
    this.me = unguessable();
    this.journal = null;
    this.isWritten = true;
    this.isWholeDue = false;
    this.waiting = 0;
    this.partly = [];
    this.tabs = new Tabs(design, this.me, {
      opened: () => this.told.notice("tab", "This drawing was opened in another tab too. Each tab keeps what it draws; nothing is lost."),
      taken: () => this.giveUp(),
      kept: (number) => this.told.kept(number),
    });
    this.tabs.from = this.from;
    bench.addEventListener("step", ({ detail }) => this.write(detail.step));
    window.addEventListener("beforeunload", (event) => {
      if (!this.isWritten && !bench.history.isKept) event.preventDefault();
    });
  }

  get remembered() {
    return `kerfstead-bench-${this.design}`;
  }

  // Take up what was drawn here before, if anything was.
  async open() {
    const [others, branches] = await Promise.all([this.tabs.others(this.from), this.openJournal()]);
    const unkept = branches.filter((branch) => branch.at !== branch.keptAt);
    const here = branches.filter((branch) => branch.from === this.from);
    const held = others.map((other) => other.branch).filter(Boolean);
    // This tab's own before the reload; else what another tab draws on right now; else what was drawn on last.
    const shown =
      here.find((branch) => branch.id === remember(this.remembered)) ??
      here.find((branch) => held.includes(branch.id)) ??
      here.find((branch) => unkept.includes(branch));
    if (shown) await this.takeUp(shown, held.includes(shown.id));
    if (others.length) this.tellOfOther(others[0], held.includes(shown?.id));
    this.tellOfBranches(unkept.filter((branch) => branch.id !== shown?.id && !held.includes(branch.id)));
  }

  async openJournal() {
    try {
      this.journal = await Promise.race([Journal.open(this.me), tooLate()]);
      const branches = await this.journal.branches(this.design);
      this.journal.tidy(this.design).catch(() => {});
      return branches;
    } catch {
      this.journal = null;
      this.tellUnwritten();
      return [];
    }
  }

  // Lay a written branch on the bench: as one's own, or, while another tab draws on it, as the start of another.
  async takeUp(branch, isHeld) {
    const back = await this.journal.read(branch.id, !isHeld).catch(() => null);
    if (!back) return false;
    const { grid, woods, history, isCut } = back;
    this.lay(grid, woods, isHeld ? new History([], 0, history.isKept ? 0 : -1) : history);
    if (!isHeld) this.holdBranch();
    if (isCut) this.told.notice("cut", "The last steps written here could not be read. What stands before them is laid out.");
    else if (!isHeld && !history.isKept) this.told.carriedOn(history);
    return true;
  }

  // The branch counts woods in its own order, and this page may have other woods beside them.
  lay(grid, woods, history) {
    const { bench } = this;
    const extra = bench.woods.filter((id) => !woods.includes(id));
    this.told.woods([...woods, ...extra]);
    bench.start(new Grid(grid.height, grid.width, grid.cells), history);
  }

  holdBranch() {
    this.tabs.branch = this.journal.branch;
    remember(this.remembered, this.journal.branch);
  }

  get isWriting() {
    return this.waiting > 0;
  }

  async write(step) {
    const { bench } = this;
    if (!this.journal) return;
    this.waiting++;
    const now = { design: this.design, from: this.from, woods: bench.woods, grid: bench.grid, history: bench.history };
    try {
      if (this.journal.isClosed) {
        this.journal = await Journal.open(this.me);
        this.partly.length = 0;
      }
      const { journal } = this;
      if (!journal.branch || this.isWholeDue) {
        this.isWholeDue = false;
        const before = journal.branch;
        const written = journal.begin(now);
        this.holdBranch();
        // What was written only in part stays until the whole of it stands.
        if (before) this.partly.push(before);
        await written;
        for (const branch of this.partly.splice(0)) await journal.drop(branch);
      } else {
        await journal.write({ ...now, step });
      }
      this.isWritten = true;
      this.told.notice("journal", "");
    } catch (error) {
      if (error instanceof NotOurs) this.part();
      else this.tellUnwritten();
    } finally {
      this.waiting--;
    }
  }

  // Another tab has the branch now: what is drawn here goes on as one of its own.
  part() {
    if (this.bench.isAtRest) return;
    this.journal.branch = null;
    this.told.notice("tab", "This drawing was carried on in another tab. What you draw here is kept apart, as a branch of its own.");
    return this.write(null);
  }

  tellUnwritten() {
    this.isWritten = false;
    this.isWholeDue = true;
    this.told.notice(
      "journal",
      "What you draw cannot be written down on this device: its storage is full, or the browser keeps none in a private window. Keep the drawing before you close this page.",
    );
  }

  tellOfOther(other, isShared) {
    this.told.notice(
      "tab",
      isShared
        ? "Another tab is drawing this too; what it has drawn so far is laid out here. From here on each keeps what it draws, on a branch of its own."
        : "Another tab has this drawing open too. Each keeps what it draws; nothing is lost.",
      [["Carry on here instead", () => this.takeOver(other)]],
    );
  }

  tellOfBranches(branches) {
    const [branch] = branches;
    if (!branch) return;
    const start = branch.from ? `drawing ${branch.from}` : "an empty grid";
    this.told.notice(
      "branches",
      `On this device there is also something not kept yet: ${stepsOf(branch)} from ${start}, last drawn ${new Date(branch.changed).toLocaleString()}.`,
      [["Open it", () => this.openBranch(branch)]],
    );
  }

  openBranch(branch) {
    if (branch.from !== this.from) {
      remember(this.remembered, branch.id);
      this.told.leave(branch.from);
      return;
    }
    this.told.notice("branches", "");
    this.journal.queue.then(() => this.takeUp(branch, false));
  }

  // The other tab writes down what it has and rests; this one goes on with it.
  async takeOver(other) {
    const given = (await this.tabs.take(other.me)) ?? other.branch;
    const own = this.journal?.branch;
    const isOwnEmpty = this.bench.history.steps.length === 0;
    this.told.notice("tab", "");
    this.bench.isAtRest = false;
    if (!given || !this.journal) return;
    await this.journal.queue;
    const isTaken = await this.takeUp({ id: given }, false);
    if (isTaken && own && isOwnEmpty && own !== given) await this.journal.drop(own);
    if (isTaken && !isOwnEmpty && own) this.told.notice("branches", "What you drew in this tab before is a branch of its own on this device; load the page again to open it.");
    this.bench.look();
  }

  // Asked by another tab: finish what is in hand, write it down, rest.
  async giveUp() {
    const { bench, journal } = this;
    bench.settle();
    bench.isAtRest = true;
    await journal?.queue;
    const branch = journal?.branch ?? null;
    this.tabs.branch = null;
    this.told.notice("tab", "You carry on with this drawing in another tab. What was drawn here is there; this tab rests.", [
      ["Carry on here instead", () => this.takeBack(branch)],
    ]);
    bench.look();
    return branch;
  }

  async takeBack(branch) {
    const others = await this.tabs.others(this.from);
    const holder = others.find((other) => other.branch === branch) ?? others[0];
    if (holder) return this.takeOver(holder);
    return this.takeOver({ me: "", branch });
  }

  // The drawing was kept: the branch goes on from it.
  kept(number) {
    this.from = number;
    this.tabs.from = number;
    this.tabs.say("kept", { number });
    this.journal?.branch && this.journal.keep(number, this.bench.history).catch(() => {});
  }
}

// How far a drawing is from where it was kept; where that place is gone, from where it began.
export function stepsOf({ at, keptAt }) {
  const steps = Math.abs(at - Math.max(0, keptAt));
  return steps === 1 ? "1 step" : `${steps} steps`;
}

// A device that does not answer is not waited for.
const tooLate = () => new Promise((done, failed) => setTimeout(() => failed(new Error("no answer")), 4000));

// What this tab drew on last outlives a reload of it, and nothing else; where the browser forbids it, nothing does.
function remember(key, value) {
  try {
    if (value) sessionStorage.setItem(key, value);
    return sessionStorage.getItem(key);
  } catch {
    return null;
  }
}
