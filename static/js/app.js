// What every page does beyond plain HTML: errors take the focus, a lost connection is said, fields tell their state.

const status = () => document.getElementById("status");

function say(words) {
  const region = status();
  if (region) region.textContent = words;
}

function markFields(root) {
  for (const error of root.querySelectorAll("p.error[id]")) {
    const input = document.getElementById(error.id.replace(/_error$/, ""));
    if (!input) continue;
    if (error.textContent.trim()) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  }
}

document.getElementById("error-summary")?.focus();

document.addEventListener("htmx:beforeRequest", (event) => event.detail.target?.setAttribute("aria-busy", "true"));
document.addEventListener("htmx:afterRequest", (event) => event.detail.target?.removeAttribute("aria-busy"));
document.addEventListener("htmx:afterSettle", () => markFields(document));
for (const name of ["htmx:sendError", "htmx:timeout"]) {
  document.addEventListener(name, () => say("No connection to the workshop's machine. What you see may be old."));
}
document.addEventListener("htmx:responseError", () => say("The last change could not be reckoned. Load the page again."));

// A form that changes something is sent once, however often its button is pressed.
document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  if (form.dataset.sent) event.preventDefault();
  form.dataset.sent = "yes";
  window.addEventListener("pageshow", () => delete form.dataset.sent, { once: true });
});
