// The print page: says that a paper is being drawn until it has come or one looks again.
(function () {
  "use strict";
  function say(words) {
    const place = document.getElementById("being_drawn");
    if (place) place.textContent = words;
  }
  document.addEventListener("submit", function (event) {
    const pages = event.submitter && event.submitter.dataset.drawing;
    if (pages) say("Being drawn: " + pages + (pages === "1" ? " page." : " pages."));
  });
  for (const back of ["pageshow", "focus"]) {
    window.addEventListener(back, function () {
      say("");
    });
  }
})();
