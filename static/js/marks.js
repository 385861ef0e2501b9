// Marks: which kind is touched goes with the form, and a pin or a chalk line is kept by its last tap.
(function () {
  "use strict";
  function listen() {
    const form = document.getElementById("touching");
    const kind = form.elements.kind;
    const write = function (event) {
      kind.value = event.detail;
    };
    form.addEventListener("grouped", write);
    form.addEventListener("filled", function (event) {
      write(event);
      if (event.detail === "note") form.elements.words.focus();
      else form.requestSubmit();
    });
    // The kind that was chosen stays chosen when the part comes back.
    const before = form.querySelector('button[data-group="' + (listen.last || kind.value) + '"]');
    form.addEventListener("grouped", (event) => (listen.last = event.detail));
    if (before) before.click();
  }
  listen();
  // What waited on the device has arrived: look anew, unless something is being touched.
  document.addEventListener("fitting:moved", function () {
    const form = document.getElementById("touching");
    if ([...form.querySelectorAll("[data-touch] input")].some((input) => input.value)) return;
    htmx.ajax("GET", location.pathname, { target: "#marked", swap: "outerHTML settle:0ms" });
  });
  document.addEventListener("htmx:afterSwap", function (event) {
    if (document.getElementById("touching")) listen();
  });
})();
