// Tonight on its page: what is tapped is written down on this device, shown at once, and sent.
import { Clock } from "../device/clock.js";
import { Page } from "../device/page.js";
import { Queue } from "../device/queue.js";
import { settle, showRefused } from "../device/refused.js";
import { timeSaid } from "../device/words.js";
import { unguessable } from "../store.js";
import { Step } from "./lines.js";
import { Row } from "./rows.js";
import { Running } from "./running.js";
import { Timers } from "./timers.js";
import { entrySaid } from "./words.js";

// Gluey hands tap twice.
const TWICE = 700;
const find = (id) => document.getElementById(id);
const root = () => find("tonight");
const status = find("status");
const say = (words) => { status.textContent = status.textContent === words ? `${words}\u00a0` : words; };

class Tonight extends Page {
  constructor(queue, clock) {
    super("tonight", "tonight", queue, clock);
    this.timers = new Timers(clock, say);
    this.running = new Running(clock, { add: (entry) => this.add({ ...entry, who: root().dataset.who }) });
    this.tapped = { what: "", at: 0 };
    this.row = null;
  }

  async open() {
    await this.lay();
    await this.bringOver();
    document.addEventListener("click", (event) => this.click(event));
    document.addEventListener("keydown", (event) => this.key(event));
    setInterval(() => this.look(), 1000);
    this.listen();
    this.sender.wake();
    root().dataset.ready = "yes";
  }

  // A time that ran on this device alone, as it was kept before the shop knew of such.
  async bringOver() {
    const { start, ...what } = (await this.queue.note("running")) ?? {};
    if (!start) return;
    await this.add({ ...what, kind: "begin", token: unguessable(), at: String(start) });
    await this.queue.keep("running", null);
  }

  wake() {
    this.look();
    super.wake();
  }

  // What the shop's machine answered is on the page: lay over it what this device knows besides.
  async lay() {
    const { zone } = root().dataset;
    this.zone = zone;
    this.steps = Step.all(root());
    this.timers.at({ list: find("timers"), none: find("no-timers"), line: find("timer-line"), zone });
    this.running.at(find("running"), zone);
    const waiting = await this.queue.waiting();
    for (const entry of waiting) this.overlay(entry);
    for (const start of root().querySelectorAll(".start")) start.hidden = false;
    for (const log of root().querySelectorAll(".log-it")) log.hidden = true;
    await this.queue.keep("timers", this.timers.known());
    await this.queue.keep("off", this.clock.off);
    await this.queue.keep("zone", zone);
    await this.show(await this.queue.note("step"));
    await this.showRefused();
    this.look();
    await this.tell();
  }

  overlay(entry) {
    if (entry.kind === "face") this.turned(entry);
    if (entry.who === root().dataset.who) this.running.take(entry);
    const step = this.steps.find((one) => one.isOf(entry));
    if (entry.kind !== "tick") return;
    step?.take(entry);
    if (entry.step.endsWith("/dry")) return;
    if (entry.done === "0") this.timers.remove(`${entry.job} ${entry.step}`);
    else if (Number(entry.hold?.minutes)) {
      const off = Number(entry.at) + entry.hold.minutes * 60000;
      this.timers.add({ ...entry.hold, key: `${entry.job} ${entry.step}`, words: entry.words, off });
    }
  }

  look() {
    find("clock").textContent = timeSaid(this.clock.now(), this.zone, true);
    this.timers.look();
    this.running.look();
  }

  // The large step: the one that was chosen on this device while it is not done, else the first that is not.
  async show(id, isChosen = false) {
    const open = (step) => step.large && !step.isDone;
    const asked = this.steps.find((step) => step.line.id === id && step.large);
    const step = (isChosen ? asked : asked && open(asked) ? asked : null) ?? this.steps.find(open) ?? asked;
    for (const one of this.steps) {
      if (one.large) one.large.hidden = one !== step;
      if (one === step) one.line.setAttribute("aria-current", "step");
      else one.line.removeAttribute("aria-current");
    }
    this.step = step;
    this.row = null;
    if (!step) {
      if (this.steps.length) find("step-name").textContent = "All done";
      return;
    }
    find("step-name").textContent = step.large.dataset.heading;
    find("kicker").textContent = step.large.dataset.kicker;
    const { laying } = step.large.dataset;
    if (!laying) return;
    const at = (await this.queue.note(`run ${laying}`)) ?? 0;
    this.row = step.rowLaid ??= new Row(step.large, {
      at, isDown: this.isDown(step), moved: (place) => this.queue.keep(`run ${laying}`, place),
    });
    this.row.turn(this.isDown(step));
  }

  isDown(step) {
    return step.large.dataset.face === "down";
  }

  // How a job's rows are laid belongs to the job: every step of it is turned.
  turned({ job, down }) {
    const face = down === "1" ? "down" : "up";
    for (const step of this.steps) {
      if (step.large?.dataset.faceJob !== job) continue;
      step.large.dataset.face = face;
      const button = step.large.querySelector(".turn");
      if (button) button.textContent = button.dataset[face === "down" ? "up" : "down"];
      step.rowLaid?.turn(face === "down");
    }
  }

  click(event) {
    const hit = event.target.closest("button[name=do], .lines .name, .turn, .start, [data-refused]");
    if (!hit || !root().contains(hit)) return;
    event.preventDefault();
    if (hit.matches(".turn")) return this.turn(hit);
    if (hit.dataset.part === "stop") return this.running.stop();
    if (hit.dataset.part === "drop") return this.running.end("drop");
    if (hit.matches(".name")) return this.choose(hit.closest("li").id);
    if (hit.matches(".start")) return this.start(hit);
    if (hit.matches("[data-refused]")) return this.settle(hit);
    return this.tick(hit.value, hit.dataset.act ?? "box");
  }

  key(event) {
    if (!this.row || event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.target.closest("input, select, textarea, summary")) return;
    if (event.key !== "ArrowLeft" && event.key !== "ArrowRight") return;
    event.preventDefault();
    this.row.arrow(event.key);
  }

  turn(button) {
    if (this.isTwice("turn")) return;
    const step = this.steps.find((one) => one.large?.contains(button));
    const { timetable, whose } = step.data;
    const { faceJob } = step.large.dataset;
    return this.add({
      kind: "face", job: faceJob, timetable, down: this.isDown(step) ? "0" : "1", who: root().dataset.who,
      at: String(this.clock.now()), words: "Its rows", label: whose,
    });
  }

  async choose(id) {
    await this.queue.keep("step", id);
    await this.show(id, true);
    find("now").scrollIntoView({ block: "start" });
  }

  // Of two quick taps on one button the second is the hand's, not the head's.
  isTwice(what) {
    const isTwice = this.tapped.what === what && Date.now() - this.tapped.at < TWICE;
    this.tapped = { what, at: Date.now() };
    return isTwice;
  }

  async tick(value, where) {
    const [act, job, timetable, ...rest] = value.split(":");
    const key = rest.join(":");
    const step = this.steps.find((one) => one.data.job === job && one.data.step === key.replace(/\/dry$/, ""));
    if (this.isTwice(`${step.key} ${where}`)) return;
    const { words, whose, hold, over, ended } = step.data;
    await this.add({
      kind: "tick", job, timetable, step: key, done: act === "done" ? "1" : "0", who: root().dataset.who,
      at: String(this.clock.now()), words, label: whose, hold: { minutes: Number(hold), over, ended, whose },
    });
    if (act === "done" && !key.endsWith("/dry") && this.step?.key === step.key) {
      await this.queue.keep("step", null);
      await this.show(null);
    }
  }

  async start(button) {
    if (this.isTwice("start")) return;
    const { operation, words, board } = button.dataset;
    const step = this.steps.find((one) => one.large?.contains(button));
    const { job, timetable } = step.data;
    await this.running.begin({ job, timetable, board, operation, words, label: button.dataset.label });
  }

  // Written down here first; what cannot be is said, and nothing is shown as done.
  async add(entry) {
    try {
      await this.queue.add(entry);
    } catch {
      find("queue").textContent = "this device keeps nothing: its storage is full or closed";
      say("This was not written down. This device’s storage is full or closed.");
      throw new Error("not kept");
    }
    this.overlay(entry);
    await this.queue.keep("timers", this.timers.known());
    this.look();
    await this.tell();
    this.sender.wake();
  }

  // Focus and what is unfolded stay where they are.
  async take(theirs, page) {
    const focused = focusOf();
    const unfolded = [...root().querySelectorAll("details[open]")].map((one) => one.closest("[id]").id);
    root().replaceChildren(...theirs.childNodes);
    for (const id of ["as-of", "kicker", "step-name"]) find(id).textContent = page.getElementById(id).textContent;
    for (const name of ["now", "zone", "who", "name"]) root().dataset[name] = theirs.dataset[name];
    for (const id of unfolded) find(id)?.querySelector("details")?.setAttribute("open", "");
    await this.lay();
    focused?.();
  }

  async refused() {
    await this.showRefused();
    await this.refresh();
  }

  showRefused() {
    return showRefused(this.queue, entrySaid);
  }

  async settle(button) {
    if (!(await settle(this.queue, button))) return;
    await this.showRefused();
    await this.refresh();
    this.sender.wake();
  }
}

// What has the focus, found again on the page as it is after an answer.
function focusOf() {
  const had = document.activeElement;
  if (!had || !root().contains(had)) return null;
  const holder = had.closest("[id]");
  if (!holder) return null;
  const place = [...holder.querySelectorAll("a, button, summary")].indexOf(had);
  return () => (place < 0 ? find(holder.id) : find(holder.id)?.querySelectorAll("a, button, summary")[place])?.focus({ preventScroll: true });
}

async function begin() {
  const clock = new Clock();
  const came = Clock.answeredAt();
  clock.heard(Number(root().dataset.now), came, came);
  let queue;
  try {
    queue = await Queue.open("tonight");
  } catch {
    // The page's own buttons go on working, one at a time, while the machine is there.
    find("queue").textContent = "this device keeps nothing while the machine is away";
    return;
  }
  await new Tonight(queue, clock).open();
  // Only so that a page loaded while the machine is away says that nothing is lost; all else does without.
  if ("serviceWorker" in navigator) navigator.serviceWorker.register(root().dataset.worker).catch(() => {});
}

begin();
