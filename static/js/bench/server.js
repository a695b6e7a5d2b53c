// What the bench asks of the shop: what to point out, what the board comes to, whether something newer was kept, and
// to keep. Answers that are no answers are told apart: the machine away, signed out, something refused.

export class Away extends Error {}
export class SignedOut extends Error {}

export class Server {
  constructor(urls, token) {
    this.urls = urls;
    this.token = token;
    this.running = new Map();
  }

  // The newest question wins: an older one of the same name is let go.
  async ask(name, fields, accept) {
    this.running.get(name)?.abort();
    const stop = new AbortController();
    this.running.set(name, stop);
    try {
      return await send(this.urls[name], fields, accept, this.token, stop.signal);
    } finally {
      if (this.running.get(name) === stop) this.running.delete(name);
    }
  }

  hints(pattern) {
    return this.ask("hints", { pattern }, "application/json").then((answer) => answer.json());
  }

  reckoning(pattern) {
    return this.ask("reckoning", { pattern }, "text/html").then((answer) => answer.text());
  }

  newest() {
    return this.ask("newest", null, "application/json").then((answer) => answer.json());
  }

  async keep(fields) {
    const answer = await this.ask("keep", fields, "application/json");
    return { isKept: answer.ok, ...(await answer.json()) };
  }
}

async function send(url, fields, accept, token, signal) {
  const asked = { headers: { Accept: accept, "X-CSRFToken": token, "X-Requested-With": "bench" }, signal, credentials: "same-origin" };
  if (fields) Object.assign(asked, { method: "POST", body: new URLSearchParams(fields) });
  let answer;
  try {
    answer = await fetch(url, asked);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Away();
  }
  // The way to sign in is another page, or a refusal of the token.
  if (answer.redirected || answer.status === 403) throw new SignedOut();
  if (!answer.ok && answer.status !== 422) throw new Away();
  return answer;
}

export const awayWords = (error) =>
  error instanceof SignedOut
    ? "You were signed out. Sign in again in another window; what is drawn here stays."
    : "The workshop’s machine could not be reached. Drawing goes on, and what is drawn stays on this device.";
