// One part of the fitting page at a time: tapping a check shows that check's part only.
(function () {
  "use strict";
  let now = "";

  function parts() {
    return Array.from(document.querySelectorAll(".part"));
  }

  function partOf(id) {
    const found = id ? document.getElementById(id) : null;
    const part = found ? found.closest(".part") : null;
    return part ? part.dataset.part : "";
  }

  function links() {
    return Array.from(document.querySelectorAll("#round a[data-shows]"));
  }

  // What was put in anew by an answer stands as the rest does.
  function stand() {
    for (const part of parts()) part.hidden = part.dataset.part !== now;
    const key = document.getElementById("round-now");
    for (const link of links()) {
      if (link.dataset.shows !== now) {
        link.removeAttribute("aria-current");
        continue;
      }
      link.setAttribute("aria-current", "true");
      if (key) key.textContent = link.querySelector(".name").textContent;
    }
  }

  function open(expanded) {
    const key = document.querySelector(".round-now");
    if (key) key.setAttribute("aria-expanded", String(expanded));
  }

  function show(name, focus) {
    now = name;
    stand();
    open(false);
    history.replaceState(null, "", "#part-" + name);
    const room = document.getElementById("room");
    if (room.getBoundingClientRect().top < 0) room.scrollIntoView();
    if (!focus) return;
    const heading = document.querySelector("#part-" + name + " h2");
    if (!heading) return;
    heading.tabIndex = -1;
    heading.focus({ preventScroll: true });
  }

  // The next check that is not settled, after this one; after the last come the photographs.
  function next(check) {
    const order = links().filter((link) => link.dataset.state);
    const place = order.findIndex((link) => link.dataset.shows === check);
    const after = order.slice(place + 1).find((link) => link.dataset.state !== "settled");
    return after ? after.dataset.shows : "photographs";
  }

  function start() {
    if (!document.getElementById("room")) return;
    const first = links().find((link) => link.dataset.state && link.dataset.state !== "settled");
    const wanted = partOf(location.hash.slice(1));
    now = wanted || (first ? first.dataset.shows : "closing");
    stand();
    if (wanted) document.getElementById(location.hash.slice(1)).scrollIntoView();
  }

  document.addEventListener("click", function (event) {
    if (event.target.closest(".round-now")) {
      const key = event.target.closest(".round-now");
      open(key.getAttribute("aria-expanded") !== "true");
      return;
    }
    const link = event.target.closest("a[data-shows]");
    if (!link) return;
    event.preventDefault();
    show(link.dataset.shows, true);
  });
  document.addEventListener("submit", function (event) {
    const check = event.target.dataset.check;
    const key = event.submitter;
    if (check && key && key.value !== "open") show(next(check), true);
  });
  document.addEventListener("keydown", function (event) {
    if (event.key === "Escape") open(false);
  });
  window.addEventListener("hashchange", function () {
    const wanted = partOf(location.hash.slice(1));
    if (wanted && wanted !== now) show(wanted, false);
  });
  document.addEventListener("htmx:afterSwap", function () {
    stand();
    // What another device kept moves nothing under the eyes.
    if (document.querySelector("[data-renewing]")) return;
    // What is proposed stands above what can be seen: bring it back before the eyes.
    const seen = document.getElementById("seen-" + now);
    if (seen && seen.getBoundingClientRect().top < 0) seen.scrollIntoView();
  });
  document.addEventListener("htmx:oobAfterSwap", stand);
  document.addEventListener("DOMContentLoaded", start);
})();
