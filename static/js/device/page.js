// A page that goes on while the shop's machine is away: what waits is sent, how that stands is said, and how things stand at
// the shop is asked for again every minute, and whenever something went through.
import { askAgain } from "./again.js";
import { Sender } from "./sender.js";
import { stateSaid, things } from "./words.js";

const EVERY = 60000;
const AGAIN = 5000;
// Nobody's finger rests longer on what it presses.
const PRESS = 3000;
const find = (id) => document.getElementById(id);

export class Page {
  // ``part`` is the id of what the shop answers anew, ``name`` the page's among those of this device. A page that extends
  // this one has take(theirs, page), which lays over an answer what this device knows besides, and refused().
  constructor(part, name, queue, clock) {
    Object.assign(this, { part, queue, clock, isState: "idle", isAway: false, wasAway: false, news: "", asking: 0 });
    const { send, who } = this.root.dataset;
    this.sender = new Sender(queue, { name, url: send, who, token: () => this.token, renew: () => this.refresh() }, {
      state: (state) => this.state(state),
      sent: () => this.tell(),
      refused: () => this.refused(),
      through: (many) => this.through(many),
    });
    this.lifted = Promise.resolve();
    document.addEventListener("pointerdown", () => { this.lifted = lift(); });
  }

  get root() {
    return find(this.part);
  }

  get token() {
    return this.root.querySelector("[name=csrfmiddlewaretoken]").value;
  }

  listen() {
    setInterval(() => document.visibilityState === "visible" && this.refresh(), EVERY);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.wake());
    window.addEventListener("online", () => this.wake());
  }

  wake() {
    this.sender.wake();
    this.refresh();
  }

  state(state) {
    this.isState = state;
    if (state === "away") this.wasAway = true;
    this.tell();
  }

  async tell() {
    const all = await this.queue.waiting();
    const mine = all.filter((entry) => entry.who === this.root.dataset.who).length;
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

  // Ask how things stand. Whether it could be asked.
  async refresh() {
    this.asking++;
    this.root.dataset.asking = "yes";
    try {
      return await this.ask();
    } finally {
      this.asking--;
      if (!this.asking) delete this.root.dataset.asking;
    }
  }

  async ask() {
    const { away, state, page, theirs } = await askAgain(this.root.dataset.here, this.part, this.clock);
    if (away) {
      this.isAway = true;
      clearTimeout(this.later);
      this.later = setTimeout(() => this.refresh(), AGAIN);
      this.tell();
      return false;
    }
    if (state) this.state(state);
    if (!theirs) return false;
    // What is pressed is not replaced under the finger.
    await this.lifted;
    await this.take(theirs, page);
    this.isAway = false;
    await this.tell();
    if (this.isState !== "sending") this.sender.wake();
    return true;
  }
}

// Over when the finger that has just come down is lifted and the page has heard what it pressed.
function lift() {
  return new Promise((over) => {
    const heard = () => setTimeout(over);
    for (const end of ["click", "pointercancel"]) document.addEventListener(end, heard, { once: true, capture: true });
    setTimeout(over, PRESS);
  });
}
