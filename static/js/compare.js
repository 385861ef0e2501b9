// One photograph over the other: the slider shows more or less of the later one at once.
(function () {
  "use strict";
  const slider = document.getElementById("shown");
  const later = document.getElementById("later");
  if (!slider || !later) return;
  const show = () => later.setAttribute("opacity", slider.value / 100);
  slider.addEventListener("input", show);
  document.getElementById("over").addEventListener("click", function (event) {
    const button = event.target.closest("button[name=shown]");
    if (!button) return;
    event.preventDefault();
    slider.value = button.value;
    show();
  });
})();
