// Time at the bench with one tap: begun, it runs by the shop's clock and is kept on this device until it is stopped.
import { timeSaid } from "../device/words.js";
import { minutesSaid } from "./words.js";

// Longer in one go is asked about before it is written down.
const LONG = 4 * 60;

export class Running {
  constructor(queue, clock, { wrote }) {
    Object.assign(this, { queue, clock, wrote });
    this.now = null;
    this.isSure = false;
  }

  async open() {
    this.now = (await this.queue.note("running")) ?? null;
  }

  at(place, zone) {
    this.place = place;
    this.zone = zone;
    this.part = (name) => place.querySelector(`[data-part="${name}"]`);
    this.part("stop").addEventListener("click", () => this.stop());
    this.part("drop").addEventListener("click", () => this.drop());
    this.look();
  }

  get minutes() {
    return Math.max(1, Math.round((this.clock.now() - this.now.start) / 60000));
  }

  async begin(what) {
    // What ran before is written down first: hands are at one thing.
    if (this.now) await this.write();
    this.now = { ...what, start: this.clock.now() };
    await this.queue.keep("running", this.now);
    this.look();
    this.place.scrollIntoView({ block: "nearest" });
  }

  async stop() {
    if (this.minutes > LONG && !this.isSure) {
      this.isSure = true;
      this.look();
      return;
    }
    await this.write();
    this.look();
  }

  async write() {
    const { start, ...what } = this.now;
    const minutes = this.minutes;
    this.now = null;
    this.isSure = false;
    await this.wrote({ ...what, kind: "time", minutes: String(minutes), at: String(Math.round(start + minutes * 60000)) });
    await this.queue.keep("running", null);
  }

  async drop() {
    this.now = null;
    this.isSure = false;
    await this.queue.keep("running", null);
    this.look();
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
