// Other tabs on this device with the same drawing: who draws on which branch, who takes one over, what was kept.

const PATIENCE = 300;

export class Tabs {
  // told: opened(), taken() -> promise, kept(number).
  constructor(design, me, told) {
    this.me = me;
    this.told = told;
    this.branch = null;
    this.from = null;
    this.hears = () => {};
    // Without the channel the journal itself still refuses to let two write one branch.
    this.channel = "BroadcastChannel" in window ? new BroadcastChannel(`kerfstead-bench-${design}`) : null;
    this.channel?.addEventListener("message", ({ data }) => this.hear(data));
  }

  say(kind, more = {}) {
    this.channel?.postMessage({ kind, me: this.me, ...more });
  }

  // Every tab that lives and has a bench open at this drawing: its name and the branch it draws on, if any yet.
  async others(from) {
    const found = [];
    if (!this.channel) return found;
    this.hears = (data) => data.kind === "here" && found.push({ me: data.me, branch: data.branch });
    this.say("who", { from });
    await new Promise((done) => setTimeout(done, PATIENCE));
    this.hears = () => {};
    return found;
  }

  // Ask another tab to let go; it answers when what it drew is written down. One that does not answer sleeps or is gone.
  async take(tab) {
    if (!this.channel) return null;
    return new Promise((done) => {
      const late = setTimeout(() => done(null), 4 * PATIENCE);
      this.hears = (data) => {
        if (data.kind !== "given" || data.to !== this.me) return;
        clearTimeout(late);
        done(data.branch);
      };
      this.say("take", { to: tab });
    });
  }

  hear(data) {
    if (data.me === this.me) return;
    if (data.kind === "who" && data.from === this.from) {
      this.say("here", { branch: this.branch });
      this.told.opened(data.me);
    } else if (data.kind === "take" && data.to === this.me) {
      this.told.taken(data.me).then((branch) => this.say("given", { to: data.me, branch }));
    } else if (data.kind === "kept") {
      this.told.kept(data.number);
    } else {
      this.hears(data);
    }
  }
}
