// Time at the bench with one tap: begun, it runs by the shop's clock and is the same on every device of the shop; what is
// tapped here is written down like a tick and sent when the machine is there.
import { timeSaid } from "../device/words.js";
import { unguessable } from "../store.js";
import { minutesSaid } from "./words.js";

// Longer in one go is asked about before it is written down.
const LONG = 4 * 60;

export class Running {
  constructor(clock, { add }) {
    Object.assign(this, { clock, add });
    this.now = null;
    this.isSure = false;
  }

  // What the shop knows of stands on the page; `take` lays over it what this device did since.
  at(place, zone) {
    this.place = place;
    this.zone = zone;
    this.part = (name) => place.querySelector(`[data-part="${name}"]`);
    const { token, start, job, timetable, board, operation, words, label } = place.dataset;
    this.now = token ? { token, start: Number(start), job, timetable, board, operation, words, label } : null;
    this.look();
  }

  take(entry) {
    const { kind, token, at, job, timetable, board, operation, words, label } = entry;
    if (kind === "begin") {
      const isSame = this.now && this.now.job === job && this.now.board === board && this.now.operation === operation;
      if (!isSame) this.now = { token, start: Number(at), job, timetable, board, operation, words, label };
    } else if (["stop", "drop"].includes(kind) && this.now && (this.now.token === token || this.now.operation === operation)) {
      this.now = null;
    } else return;
    this.isSure = false;
    this.look();
  }

  get minutes() {
    return Math.max(1, Math.round((this.clock.now() - this.now.start) / 60000));
  }

  async begin(what) {
    // What ran before is written down first: hands are at one thing.
    if (this.now) await this.end("stop");
    await this.add({ ...what, kind: "begin", token: unguessable(), at: String(this.clock.now()) });
    this.place.scrollIntoView({ block: "nearest" });
  }

  async stop() {
    if (this.minutes > LONG && !this.isSure) {
      this.isSure = true;
      this.look();
      return;
    }
    await this.end("stop");
  }

  end(kind) {
    const { start, ...what } = this.now;
    return this.add({ ...what, kind, at: String(this.clock.now()) });
  }

  look() {
    this.place.hidden = !this.now;
    if (!this.now) return;
    this.part("what").textContent = `${this.now.words}, ${this.now.label}`;
    this.part("since").textContent = timeSaid(this.now.start, this.zone, true);
    this.part("minutes").textContent = minutesSaid(Math.max(0, Math.floor((this.clock.now() - this.now.start) / 60000)));
    this.part("stop").textContent = this.isSure ? `Yes, ${minutesSaid(this.minutes)}: write it down` : "Stop and write it down";
  }
}
