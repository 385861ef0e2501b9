// The fitting page: keys that step an amount, the device's clock, and plain words when saving fails.
(function () {
  "use strict";
  const EIGHTH = /^(?:(\d+)[ -]+)?(\d+)\/(\d+)$/;

  function number(text) {
    const typed = text.trim().replace(",", ".");
    if (typed === "") return 0;
    const parts = EIGHTH.exec(typed);
    if (parts) return Number(parts[1] || 0) + Number(parts[2]) / Number(parts[3]);
    return /^\d*\.?\d+$/.test(typed) ? Number(typed) : null;
  }

  function inEighths(value) {
    const eighths = Math.round(value * 8);
    const whole = Math.floor(eighths / 8);
    let over = eighths % 8;
    let under = 8;
    while (over && over % 2 === 0) {
      over /= 2;
      under /= 2;
    }
    if (!over) return String(whole);
    return whole ? whole + " " + over + "/" + under : over + "/" + under;
  }

  // A length typed with another unit behind it is left as it was typed.
  function step(button) {
    const input = document.getElementById(button.dataset.for);
    const by = button.dataset.step;
    const now = number(input.value);
    if (now === null) return;
    const size = number(by.replace("-", ""));
    const next = Math.max(0, now + (by.startsWith("-") ? -size : size));
    const inches = by.includes("/") || input.getAttribute("inputmode") === "text";
    input.value = inches ? inEighths(next) : String(Math.round(next * 1000) / 1000);
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }

  function say(sentence) {
    const said = document.getElementById("said");
    if (!said) return;
    said.textContent = sentence;
    said.classList.add("failed");
  }

  document.documentElement.classList.add("js");
  document.addEventListener("click", function (event) {
    const button = event.target.closest("[data-step]");
    if (button) step(button);
    const quick = event.target.closest("[data-quick]");
    if (!quick) return;
    const input = document.getElementById(quick.dataset.for);
    input.value = quick.dataset.quick;
    input.dispatchEvent(new Event("change", { bubbles: true }));
  });
  document.addEventListener("htmx:configRequest", function (event) {
    if ("made_at" in event.detail.parameters)
      event.detail.parameters.made_at = new Date().toISOString();
    const said = document.getElementById("said");
    if (said) said.classList.remove("failed");
  });
  document.addEventListener("htmx:beforeSwap", function (event) {
    if (new URL(event.detail.xhr.responseURL || location.href).pathname.startsWith("/fittings/"))
      return;
    event.detail.shouldSwap = false;
    say("Not saved: you are no longer signed in. What you entered is still here; sign in again in another tab, then save.");
  });
  document.addEventListener("htmx:sendError", function () {
    say("Not saved: no connection. What you entered is still here; save it again.");
  });
  document.addEventListener("htmx:responseError", function (event) {
    say("Not saved: the shop's computer answered " + event.detail.xhr.status + ". What you entered is still here; save it again.");
  });
})();
