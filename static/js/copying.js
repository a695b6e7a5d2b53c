// A button that copies what stands in a field; without scripts the field is chosen and copied by hand.

for (const button of document.querySelectorAll("[data-copies]")) {
  const field = document.getElementById(button.dataset.copies);
  const said = button.closest(".field").querySelector("[data-copy-said]");
  button.hidden = false;
  button.addEventListener("click", async () => {
    field.select();
    try {
      await navigator.clipboard.writeText(field.value);
      said.textContent = field.dataset.copied;
    } catch {
      said.textContent = "The browser does not let it be copied from here: it is chosen now, copy it yourself.";
    }
  });
}
