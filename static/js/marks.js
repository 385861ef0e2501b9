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
  // What waits on the device is drawn where it was touched, dashed.
  function waiting() {
    const box = window.outbox;
    const form = document.getElementById("touching");
    const over = document.getElementById("touched");
    if (!box || !box.state || !over) return;
    for (const old of document.querySelectorAll("svg.waits")) old.remove();
    const all = box.state.items.filter((item) => item.page === location.pathname && item.user === box.me && !item.refused);
    const drawn = over.cloneNode(false);
    drawn.removeAttribute("id");
    drawn.setAttribute("class", "over drawn waits");
    drawn.setAttribute("aria-hidden", "true");
    for (const item of all.filter((one) => one.url === form.getAttribute("hx-post"))) drawn.append(...shapes(item, over.viewBox.baseVal));
    over.before(drawn);
  }

  function shapes(item, { width, height }) {
    const given = new Map(item.fields);
    const place = (name) => [(given.get(name + "_x") / 100) * width, (given.get(name + "_y") / 100) * height];
    const chalk = given.get("kind") === "chalk";
    const ends = chalk ? [place("chalk_from"), place("chalk_to")] : [place(given.get("kind"))];
    return ["halo", "edge"].map(function (look) {
      const shape = document.createElementNS("http://www.w3.org/2000/svg", chalk ? "polyline" : "circle");
      shape.setAttribute("class", look);
      if (chalk) shape.setAttribute("points", ends.join(" "));
      else for (const [name, value] of [["cx", ends[0][0]], ["cy", ends[0][1]], ["r", 0.016 * Math.max(width, height)]]) shape.setAttribute(name, value);
      return shape;
    });
  }

  listen();
  document.addEventListener("outbox:changed", waiting);
  document.addEventListener("htmx:afterSwap", waiting);
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
