// Trying a sleeve: the keys beside each slide move it here, so that the page need not be fetched anew.
(function () {
  "use strict";
  function lost(is) {
    document.getElementById("lost").hidden = !is;
  }

  document.addEventListener("htmx:afterRequest", function (event) {
    lost(event.detail.failed && event.detail.xhr.status !== 422);
  });
  // Whoever is no longer signed in is led to the door, and from there back to this try.
  document.addEventListener("htmx:beforeSwap", function (event) {
    if (new URL(event.detail.xhr.responseURL).pathname === location.pathname) return;
    event.detail.shouldSwap = false;
    location.reload();
  });
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
    if (slide.value !== before) slide.dispatchEvent(new Event("input", { bubbles: true }));
  });
})();
