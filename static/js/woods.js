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
