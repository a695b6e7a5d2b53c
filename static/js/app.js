// What every page does beyond plain HTML: errors take the focus, fields tell their state, a lost connection is seen
// as well as heard, and what a maker had open stays open when a live answer comes in.

function markFields(root) {
  for (const error of root.querySelectorAll("p.error[id]")) {
    const input = document.getElementById(error.id.replace(/_error$/, ""));
    if (!input) continue;
    if (error.textContent.trim()) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  }
}

// Trouble with a live answer stands beside the field that asked, or before what asked by itself.
function tell(asker, words) {
  const field = asker.contains(document.activeElement) ? document.activeElement.closest(".field") : null;
  const standing = document.getElementById("trouble");
  // What asks again every second says its trouble once; what asks by itself leaves it beside the field where it was said.
  const said = standing?.textContent === words;
  if (said && (field ? field.contains(standing) : standing.closest(".field") || standing.nextElementSibling === asker)) return;
  standing?.remove();
  const note = document.createElement("p");
  note.id = "trouble";
  note.className = "told told-error";
  note.setAttribute("role", "alert");
  if (field) field.append(note);
  else asker.before(note);
  note.textContent = words;
}

const sums = () => [...document.querySelectorAll("main details > summary")];
const named = (summary) => summary.textContent.trim();
let open = new Set();
// Of two answers that come together the second finds closed what the first has not opened again yet.
let isOpenAgain = true;
let focused = "";

document.getElementById("error-summary")?.focus();

document.addEventListener("htmx:beforeRequest", (event) => event.detail.target?.setAttribute("aria-busy", "true"));
document.addEventListener("htmx:afterRequest", (event) => event.detail.target?.removeAttribute("aria-busy"));
document.addEventListener("htmx:beforeSwap", (event) => {
  if (event.detail.isError) return;
  // A whole page where a part was asked for is the way to sign in; put in the middle it would wipe out what was typed.
  if (/^\s*<!doctype/i.test(event.detail.serverResponse)) {
    event.detail.shouldSwap = false;
    tell(event.detail.requestConfig.elt, "You were signed out. Sign in again in another window; what you typed here stays.");
    return;
  }
  document.getElementById("trouble")?.remove();
  if (!event.detail.shouldSwap) return;
  if (isOpenAgain) open = new Set();
  isOpenAgain = false;
  for (const summary of sums()) if (summary.parentElement.open) open.add(named(summary));
  focused = document.activeElement?.matches("summary") ? named(document.activeElement) : "";
});
document.addEventListener("htmx:afterSettle", () => {
  markFields(document);
  for (const summary of sums()) {
    if (open.has(named(summary))) summary.parentElement.open = true;
    if (focused === named(summary) && document.activeElement === document.body) summary.focus();
  }
  isOpenAgain = true;
});
document.addEventListener("htmx:sendError", (event) =>
  tell(event.detail.elt, event.detail.elt.dataset.unsent ?? "The workshop's machine could not be reached. What is shown may be old; it is asked again with your next change."));
document.addEventListener("htmx:responseError", (event) =>
  tell(event.detail.elt, "This change could not be reckoned. Load the page again; if it stays so, the shop's log says why."));

// A form that changes something is sent once, however often its button is pressed.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
  window.addEventListener("pageshow", () => delete form.dataset.sent, { once: true });
});
