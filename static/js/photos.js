/* Several photos of a phone are more than one request may carry: they are sent one after another, each with a key made
   of the form's, and each is kept though a later one is refused. Without this module they go together. */
const form = document.querySelector("form[data-one-by-one]");

async function send(files) {
  const field = form.querySelector("input[type=file]");
  const key = form.elements.form_key.value;
  const refused = [];
  const button = form.querySelector("button");
  button.disabled = true;
  for (const [number, file] of files.entries()) {
    document.getElementById("status").textContent = `Sending photo ${number + 1} of ${files.length}.`;
    const sent = new FormData(form);
    sent.delete(field.name);
    sent.set("form_key", number ? `${key.slice(0, 60)}-${number}` : key);
    sent.append(field.name, file);
    try {
      const answer = await fetch(form.action, { method: "POST", body: sent });
      if (!answer.ok) {
        const page = new DOMParser().parseFromString(await answer.text(), "text/html");
        refused.push(`${file.name}: ${page.querySelector(".error")?.textContent.trim() || "It was refused."}`);
      }
    } catch {
      refused.push(`${file.name}: The shop’s machine did not answer. Bring it again.`);
    }
  }
  if (refused.length === 0) {
    location.reload();
    return;
  }
  button.disabled = false;
  document.getElementById("refused").replaceChildren(
    ...refused.map((words) => Object.assign(document.createElement("p"), { className: "told told-error", textContent: words })),
  );
  field.value = "";
  form.elements.form_key.value = `${key.slice(0, 40)}-again${Math.floor(performance.now())}`;
}

form?.addEventListener("submit", (event) => {
  const files = [...form.querySelector("input[type=file]").files];
  if (files.length > 1) {
    event.preventDefault();
    send(files);
  }
});
