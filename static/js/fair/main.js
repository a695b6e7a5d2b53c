// Selling at a fair: what is tapped is written down on this phone, shown at once, and sent.
import { askAgain } from "../device/again.js";
import { Clock } from "../device/clock.js";
import { Queue } from "../device/queue.js";
import { settle, showRefused } from "../device/refused.js";
import { Sender } from "../device/sender.js";
import { stateSaid, things } from "../device/words.js";
import { readStall, Stall } from "./stall.js";
import { entrySaid } from "./words.js";

const EVERY = 60000;
const AGAIN = 5000;
const find = (id) => document.getElementById(id);
const root = () => find("stall");
const say = (words) => { find("status").textContent = words; };
const token = () => root().querySelector("[name=csrfmiddlewaretoken]").value;

class Page {
  constructor(queue, clock) {
    Object.assign(this, { queue, clock, isState: "idle", isAway: false, wasAway: false, news: "" });
    this.stall = new Stall(queue, clock, { say, changed: () => this.changed() });
    const { send, who } = root().dataset;
    this.sender = new Sender(queue, { name: "fair", url: send, who, token, renew: () => this.refresh() }, {
      state: (state) => this.state(state),
      sent: () => this.tell(),
      refused: () => this.refused(),
      through: (many) => this.through(many),
    });
  }

  async open() {
    this.stall.told = await this.learn();
    this.stall.listen();
    await this.stall.open();
    root().addEventListener("click", (event) => this.settle(event));
    setInterval(() => document.visibilityState === "visible" && this.refresh(), EVERY);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.wake());
    window.addEventListener("online", () => this.wake());
    await showRefused(this.queue, entrySaid);
    await this.tell();
    this.sender.wake();
    root().dataset.ready = "yes";
  }

  // What the shop told is kept for when it is away.
  async learn() {
    const told = readStall(root());
    await this.queue.keep(`fair ${told.fair}`, told);
    await this.queue.keep("off", this.clock.off);
    return told;
  }

  wake() {
    this.sender.wake();
    this.refresh();
  }

  async changed() {
    await this.tell();
    this.sender.wake();
  }

  state(state) {
    this.isState = state;
    if (state === "away") this.wasAway = true;
    this.tell();
  }

  async tell() {
    const all = await this.queue.waiting();
    const mine = all.filter((entry) => entry.who === root().dataset.who).length;
    const said = stateSaid(this.isState, { mine, others: all.length - mine, isAway: this.isAway, news: this.news });
    const place = find("queue");
    if (place.textContent !== said) place.textContent = said;
    place.toggleAttribute("data-waiting", all.length > 0 || this.isAway || this.isState === "away");
    find("sign-in").hidden = this.isState !== "signed out";
  }

  async through(many) {
    this.news = this.wasAway ? `sent what waited: ${things(many)}` : "all sent";
    this.wasAway = false;
    await this.refresh();
    await this.tell();
  }

  async refused() {
    await showRefused(this.queue, entrySaid);
    await this.stall.show();
  }

  async settle(event) {
    const button = event.target.closest("[data-refused]");
    if (!button) return;
    event.preventDefault();
    if (!(await settle(this.queue, button))) return;
    await this.refused();
    this.wake();
  }

  // Ask how things stand; whoever is being asked for a price goes on with it. Whether it could be asked.
  async refresh() {
    const { away, state, theirs } = await askAgain(root().dataset.here, "stall", this.clock);
    if (away) {
      this.isAway = true;
      clearTimeout(this.later);
      this.later = setTimeout(() => this.refresh(), AGAIN);
      this.tell();
      return false;
    }
    if (state) this.state(state);
    if (!theirs) return false;
    Object.assign(root().dataset, { ...theirs.dataset, ready: "yes" });
    for (const one of root().querySelectorAll("[name=csrfmiddlewaretoken]")) one.value = theirs.querySelector("[name=csrfmiddlewaretoken]").value;
    find("clashes").replaceChildren(...theirs.querySelector("#clashes").childNodes);
    const told = readStall(theirs);
    await this.queue.keep(`fair ${told.fair}`, told);
    await this.queue.keep("off", this.clock.off);
    await this.stall.show(told);
    this.isAway = false;
    await this.tell();
    if (this.isState !== "sending") this.sender.wake();
    return true;
  }
}

// Whether this phone opens the page without network is said, for whoever packs for a field without any.
async function keepHere() {
  const place = find("kept-here");
  try {
    await navigator.serviceWorker.register(root().dataset.worker);
    await navigator.serviceWorker.ready;
    place.textContent = "This phone keeps this page: it opens without network too.";
  } catch {
    place.textContent = "This phone cannot keep the page here, for the shop is not reached by https. Leave it open; what is sold is kept all the same.";
  }
}

async function begin() {
  const clock = new Clock();
  const came = Clock.answeredAt();
  clock.heard(Number(root().dataset.now), came, came);
  let queue;
  try {
    queue = await Queue.open("fair");
  } catch {
    // The page's own buttons go on working, one at a time, while the machine is there.
    find("queue").textContent = "this phone keeps nothing while the machine is away";
    return;
  }
  await new Page(queue, clock).open();
  await keepHere();
}

begin();
