// What the page that matches woods does beyond plain HTML.

// The number and the slider of how near colours are made one say the same. Without scripts there is the number alone.
const number = document.getElementById("id_within");
const slider = document.getElementById("nearness");

if (number && slider) {
  slider.hidden = false;
  slider.addEventListener("input", () => {
    number.value = slider.value;
  });
  number.addEventListener("input", () => {
    slider.value = number.value;
  });
}

// Which of the ways is taken changes with every colour, and the ways themselves are too large to be sent each time.
document.addEventListener("htmx:afterSettle", () => {
  const taken = document.getElementById("taken")?.value.split(" ") ?? [];
  for (const place of document.querySelectorAll("[data-place]")) {
    const is = taken.includes(place.dataset.place);
    place.classList.toggle(place.tagName === "LI" ? "match-taken" : "few-taken", is);
    const button = place.querySelector("button");
    if (is) button.setAttribute("aria-pressed", "true");
    else button.removeAttribute("aria-pressed");
  }
});
