// Keeping the drawing, and learning of drawings kept elsewhere meanwhile.
import { awayWords } from "./server.js";

const ASK_EVERY = 30000;

export class Keep {
  constructor({ form, bench, server, notices, say, data, daybook }) {
    Object.assign(this, { form, bench, server, notices, say, daybook });
    this.parent = data.from;
    this.design = data.urls.design;
    this.newest = data.newest ?? 0;
    this.kept = document.getElementById("bench-kept");
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      // The page's own rule of once a form is for forms that leave the page.
      event.stopPropagation();
      this.send();
    });
    setInterval(() => document.visibilityState === "visible" && this.look(), ASK_EVERY);
    document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && this.look());
    bench.addEventListener("step", () => {
      // What was said of the last keeping is over when the hand goes on.
      notices.tell("kept", "");
      this.showState();
    });
    bench.addEventListener("laid", () => this.showState());
  }

  field(name) {
    return this.form.elements[name];
  }

  async send() {
    if (this.isSending) return;
    if (this.bench.isAtRest) return this.refuse("This tab rests, and the drawing goes on in another. Keep it there, or carry on here first.", "");
    this.bench.settle();
    const at = this.bench.history.at;
    if (this.parent && this.bench.history.isKept && !this.field("name").value.trim()) {
      return this.refuse(`This is drawing ${this.parent} as it was kept. Draw on, or give it another name to keep it once more.`, "name");
    }
    const pattern = this.bench.text();
    this.field("pattern").value = pattern;
    const fields = { pattern, name: this.field("name").value, parent: this.parent ?? "", form_key: this.field("form_key").value };
    this.isSending = true;
    this.form.setAttribute("aria-busy", "true");
    this.refuse("", "");
    try {
      const answer = await this.server.keep(fields);
      if (answer.form_key) this.field("form_key").value = answer.form_key;
      if (answer.isKept) this.done(answer, at);
      else this.refuse(answer.words, answer.field);
    } catch (error) {
      // Sent once more with the same key, it is kept once.
      if (error.name !== "AbortError") this.refuse(`Not kept. ${awayWords(error)} Keep it once more when the machine is there.`, "");
    } finally {
      this.isSending = false;
      this.form.removeAttribute("aria-busy");
    }
  }

  done({ number, url, words }, at) {
    const before = this.parent;
    this.parent = number;
    this.newest = Math.max(this.newest, number);
    this.bench.history.keptAt = at;
    this.field("parent").value = number;
    this.field("name").value = "";
    this.daybook.kept(number);
    document.getElementById("bench-from").textContent = ` · from drawing ${number}`;
    const page = new URL(location.href);
    page.searchParams.set("from", number);
    history.replaceState(null, "", page);
    const links = [["Look at it", url]];
    if (before) links.push([`Beside drawing ${before}`, `${this.design}drawings/${before}/against/${number}/`]);
    links.push(["Back to the design", this.design]);
    this.notices.tell("newest", "");
    this.notices.tell("carried", "");
    this.notices.tell("kept", `${words} What you draw now goes on from it.`, [], links);
    this.say(words);
    this.showState();
  }

  refuse(words, name) {
    const field = words && (name === "name" || name === "pattern") ? name : "name";
    const error = document.getElementById("id_name_error");
    const input = this.field("name");
    error.textContent = words;
    if (words && field === "name" && name === "name") input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
    if (words) {
      this.say(words);
      if (name === "name") input.focus();
    }
  }

  showState() {
    const { history } = this.bench;
    const isFresh = history.isKept || (history.at === 0 && history.keptAt === 0);
    this.kept.hidden = false;
    const words = isFresh
      ? this.parent ? `As kept in drawing ${this.parent}.` : "Nothing is drawn yet."
      : this.daybook.isWritten ? "Not kept yet; it stays on this device until you do." : "Not kept yet.";
    if (this.kept.textContent !== words) this.kept.textContent = words;
  }

  // Asked now and then, and when the page comes into sight: another device may have kept something.
  async look() {
    try {
      const answer = await this.server.newest();
      if (answer.newest > this.newest) this.tellNewer(answer.newest, answer.words);
    } catch {
      // The next time will do; what is drawn does not depend on it.
    }
  }

  tellNewer(number, words) {
    this.newest = Math.max(this.newest, number);
    const start = this.parent ? `drawing ${this.parent}` : "an empty grid";
    const links = [["Look at it", `${this.design}drawings/${number}/`]];
    this.notices.tell(
      "newest",
      `${words || `Drawing ${number} was kept meanwhile.`} Yours began from ${start}: keep it, and both remain side by side.`,
      [], links,
    );
  }
}
