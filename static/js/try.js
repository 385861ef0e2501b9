// Trying a sleeve: the keys beside each slide move it here, so that the page need not be fetched anew.
(function () {
  "use strict";
  document.addEventListener("click", function (event) {
    const key = event.target.closest("button[data-for]");
    if (!key) return;
    event.preventDefault();
    const slide = document.getElementById(key.dataset.for);
    const before = slide.value;
    const way = key.value.split(":")[1];
    if (way === "1") slide.stepUp();
    else if (way === "-1") slide.stepDown();
    else slide.value = way === "whole" ? slide.max : slide.min;
    if (slide.value !== before) slide.dispatchEvent(new Event("change", { bubbles: true }));
  });
})();
