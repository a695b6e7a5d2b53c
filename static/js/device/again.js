// The open page asked for again, in the background: how things stand at the shop by now.

// `theirs` is the part called `name` as the shop has it now, `page` the whole; `away` where nobody answered, `state` where
// something else did; nothing of these where another page came. What the answer says of the hour sets the clock.
export async function askAgain(address, name, clock) {
  const asked = Date.now();
  let answer, text;
  try {
    answer = await fetch(address, { credentials: "same-origin", headers: { "X-Requested-With": name } });
    text = await answer.text();
  } catch {
    return { away: true };
  }
  if (answer.redirected || !answer.ok) return { state: answer.redirected ? "signed out" : "away" };
  const page = new DOMParser().parseFromString(text, "text/html");
  const theirs = page.getElementById(name);
  if (theirs) clock.heard(Number(theirs.dataset.now), asked, Date.now());
  return { page, theirs };
}
