// Sends what waits, in the order it was done, one after another; stops where the machine is away and begins again.

const FIRST_PAUSE = 3000;
const LONGEST_PAUSE = 30000;
const PATIENCE = 20000;

export class Sender {
  // ``name`` is the page's, whose tabs send one after another.
  // told: state("idle" | "sending" | "away" | "signed out" | "other"), sent(entry), refused(entry, why), through(many).
  constructor(queue, { name, url, who, token, renew }, told) {
    Object.assign(this, { queue, name, url, who, token, renew, told });
    this.running = null;
    this.isAskedAgain = false;
    this.pause = FIRST_PAUSE;
    this.retry = 0;
  }

  wake() {
    clearTimeout(this.retry);
    if (this.running) {
      this.isAskedAgain = true;
      return this.running;
    }
    this.running = this.alone().finally(() => {
      this.running = null;
      if (this.isAskedAgain) {
        this.isAskedAgain = false;
        this.wake();
      }
    });
    return this.running;
  }

  // Another tab of this device may be at it; without locks the keys alone see to it that nothing is written twice.
  alone() {
    return navigator.locks ? navigator.locks.request(`kerfstead-${this.name}`, () => this.run()) : this.run();
  }

  async run() {
    let many = 0;
    for (;;) {
      const [entry] = (await this.queue.waiting()).filter((one) => one.who === this.who);
      if (!entry) break;
      this.told.state("sending");
      const answer = await this.send(entry).catch(() => ({ state: "away" }));
      if (answer.state === "written" || answer.state === "already") {
        await this.queue.sent(entry);
        many++;
        this.told.sent(entry);
      } else if (answer.state === "refused") {
        await this.queue.refuse(entry, answer.words);
        this.told.refused(entry, answer.words);
      } else {
        this.told.state(answer.state);
        // Who has to sign in does so on a page; the rest comes by itself.
        if (answer.state === "away") this.later();
        if (many) this.told.through(many);
        return;
      }
    }
    this.pause = FIRST_PAUSE;
    this.told.state("idle");
    if (many) this.told.through(many);
  }

  later() {
    this.retry = setTimeout(() => this.wake(), this.pause);
    this.pause = Math.min(2 * this.pause, LONGEST_PAUSE);
  }

  async send(entry, isSecond = false) {
    const { id, key, label, words, hold, ...fields } = entry;
    const answer = await fetch(this.url, {
      method: "POST",
      body: new URLSearchParams({ ...fields, form_key: key }),
      headers: { Accept: "application/json", "X-CSRFToken": this.token(), "X-Requested-With": this.name },
      credentials: "same-origin",
      signal: AbortSignal.timeout?.(PATIENCE),
    });
    if (answer.redirected) return { state: "signed out" };
    if (answer.status === 403) {
      // Somebody signed in since in another window: the page is asked for its new token, once.
      if (isSecond || !(await this.renew())) return { state: "signed out" };
      return this.send(entry, true);
    }
    if (answer.status === 409) return { state: "other" };
    if (answer.ok || answer.status === 422) return answer.json();
    return { state: "away" };
  }
}
