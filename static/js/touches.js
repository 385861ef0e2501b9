// Places touched on a photograph: set by tap in order, moved by dragging, by keys and by buttons.
// They are kept in the number inputs of the form, which work without this script.
(function () {
  "use strict";
  const NAMESPACE = "http://www.w3.org/2000/svg";
  const RING = 26; // half of what a finger drags, in screen pixels
  const TAP = 8; // moved less than so many screen pixels, it was a tap
  const STEP = 0.001; // of the longer side
  const WAYS = { left: [-1, 0], right: [1, 0], up: [0, -1], down: [0, 1] };
  const KEYS = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down" };
  const LOUPE = 3;

  document.documentElement.classList.add("js");
  let watching = null;

  function start() {
    const form = document.getElementById("touching");
    if (!form || form.dataset.started) return;
    form.dataset.started = "yes";
    const glass = document.getElementById("glass");
    const frame = document.getElementById("frame");
    const drawn = document.getElementById("touched");
    const loupe = document.getElementById("loupe");
    const asked = document.getElementById("asked");
    const box = drawn.viewBox.baseVal;
    const touches = [...form.querySelectorAll("[data-touch]")].map(function (row) {
      const [x, y] = row.querySelectorAll("input");
      const { touch: name, group, asks, number } = row.dataset;
      return { name, group, asks, number, x, y };
    });
    const groups = [...form.querySelectorAll("button[data-group]")];
    let group = groups[0].dataset.group;
    let chosen = null;
    let drag = null;

    const isSet = (touch) => touch.x.value.trim() !== "" && touch.y.value.trim() !== "";
    const of = (name) => touches.filter((touch) => touch.group === name);
    const scale = () => drawn.getScreenCTM().a; // screen pixels for one of the picture
    const read = (text) => Number(text.replace(",", "."));
    const place = (touch) => [(read(touch.x.value) / 100) * box.width, (read(touch.y.value) / 100) * box.height];
    const titleOf = (name) => groups.find((button) => button.dataset.group === name).firstChild.textContent.trim();
    const isNeeded = (name) => groups.find((button) => button.dataset.group === name).dataset.needed !== undefined;
    const pending = () => of(group).find((touch) => !isSet(touch));

    function put(touch, x, y) {
      const share = (value, size) => Math.min(Math.max((100 * value) / size, 0), 100).toFixed(2);
      touch.x.value = share(x, box.width);
      touch.y.value = share(y, box.height);
    }

    function at(event) {
      const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(drawn.getScreenCTM().inverse());
      return [x, y];
    }

    function element(name, attributes, into) {
      const made = document.createElementNS(NAMESPACE, name);
      for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
      (into || drawn).append(made);
      return made;
    }

    function line(name) {
      const through = of(name).filter(isSet).map((touch) => place(touch).join(",")).join(" ");
      element("polyline", { points: through, class: "halo" });
      element("polyline", { points: through, class: "line " + name });
    }

    function ring(touch) {
      const [x, y] = place(touch);
      const size = scale();
      const r = RING / size;
      const words = touch.asks + ": " + Number(touch.x.value).toFixed(1) + " % across, " + Number(touch.y.value).toFixed(1) + " % down";
      const one = element("g", { tabindex: 0, role: "button", "aria-pressed": touch === chosen, "aria-label": words, "data-ring": touch.name, class: touch === chosen ? "ring chosen" : "ring" });
      const shown = touch === chosen ? r : r / 3;
      const shape = touch.group === "sleeve" ? ["rect", { x: x - shown, y: y - shown, width: 2 * shown, height: 2 * shown }] : ["circle", { cx: x, cy: y, r: shown }];
      element("circle", { cx: x, cy: y, r, class: "hold" }, one);
      element(shape[0], { ...shape[1], class: "halo" }, one);
      element(shape[0], { ...shape[1], class: "edge" }, one);
      const c = (touch === chosen ? 7 : 3) / size;
      const cross = "M" + (x - c) + " " + y + "h" + 2 * c + "M" + x + " " + (y - c) + "v" + 2 * c;
      element("path", { d: cross, class: "halo" }, one);
      element("path", { d: cross, class: "edge" }, one);
      const text = element("text", { x: x + shown + 4 / size, y: y - shown / 2, "font-size": 18 / size }, one);
      text.textContent = touch.number;
    }

    function draw() {
      const focused = document.activeElement && document.activeElement.dataset ? document.activeElement.dataset.ring : undefined;
      drawn.replaceChildren();
      groups.forEach((button) => line(button.dataset.group));
      touches.filter((touch) => isSet(touch) && touch !== chosen).forEach(ring);
      if (chosen && isSet(chosen)) ring(chosen);
      if (focused) focusOn(focused);
      magnify();
      tell();
      form.dispatchEvent(new CustomEvent("touched", { detail: { box, touches, isSet, place } }));
    }

    function focusOn(name) {
      const found = drawn.querySelector('[data-ring="' + name + '"]');
      if (found) found.focus({ preventScroll: true });
    }

    // The loupe stands in the corner that the chosen ring is not in.
    function magnify() {
      loupe.classList.toggle("shown", Boolean(chosen && isSet(chosen)));
      if (!chosen || !isSet(chosen)) return;
      const [x, y] = place(chosen);
      const half = loupe.clientWidth / 2 / (scale() * LOUPE);
      loupe.setAttribute("viewBox", [x - half, y - half, 2 * half, 2 * half].join(" "));
      loupe.querySelector("path").setAttribute("d", "M" + (x - half) + " " + y + "h" + 0.85 * half + "m" + 0.3 * half + " 0h" + 0.85 * half + "M" + x + " " + (y - half) + "v" + 0.85 * half + "m0 " + 0.3 * half + "v" + 0.85 * half);
      loupe.classList.toggle("right", x * scale() - frame.scrollLeft < frame.clientWidth / 2);
    }

    function tell() {
      for (const button of groups) {
        const all = of(button.dataset.group);
        button.setAttribute("aria-pressed", String(button.dataset.group === group));
        if (form.dataset.stays === undefined) button.querySelector("span").textContent = all.filter(isSet).length + " of " + all.length;
      }
      const next = pending();
      const words = next ? "Touch " + next.asks + (isNeeded(group) ? "." : ", or leave it.") : titleOf(group) + " is touched: drag one to mend it.";
      if (asked.textContent !== words) asked.textContent = words;
    }

    function set(x, y) {
      const touch = pending();
      if (!touch) return;
      put(touch, x, y);
      chosen = touch;
      const full = !pending();
      if (full) turnTo(groups.map((button) => button.dataset.group).find((name) => of(name).some((other) => !isSet(other))) || group);
      draw();
      if (full) form.dispatchEvent(new CustomEvent("filled", { detail: touch.group }));
    }

    function turnTo(name) {
      if (form.dataset.stays === undefined) group = name;
    }

    function nudge(way, far) {
      if (!chosen || !isSet(chosen)) return;
      const [x, y] = place(chosen);
      const step = STEP * Math.max(box.width, box.height) * far;
      put(chosen, x + way[0] * step, y + way[1] * step);
      draw();
    }

    const acts = {
      next: function () {
        const placed = touches.filter(isSet);
        chosen = placed[(placed.indexOf(chosen) + 1) % placed.length] || null;
        draw();
      },
      middle: function () {
        const seen = frame.getBoundingClientRect();
        set(...at({ clientX: seen.left + frame.clientWidth / 2, clientY: seen.top + frame.clientHeight / 2 }));
      },
      lift: function () {
        if (!chosen) return;
        chosen.x.value = chosen.y.value = "";
        group = chosen.group;
        chosen = touches.filter(isSet).pop() || null;
        draw();
      },
      larger: function (button) {
        const larger = glass.classList.toggle("larger");
        button.setAttribute("aria-pressed", String(larger));
        if (larger && chosen && isSet(chosen)) {
          const [x, y] = place(chosen);
          frame.scrollTo(x * scale() - frame.clientWidth / 2, y * scale() - frame.clientHeight / 2);
        }
        draw();
      },
    };

    form.addEventListener("click", function (event) {
      const button = event.target.closest("button[type=button]");
      if (!button) return;
      const { group: name, nudge: way, act } = button.dataset;
      if (name) {
        group = name;
        form.dispatchEvent(new CustomEvent("grouped", { detail: name }));
        draw();
      } else if (way) nudge(WAYS[way], 1);
      else if (act) acts[act](button);
    });
    drawn.addEventListener("keydown", function (event) {
      const touch = touches.find((one) => one.name === event.target.dataset.ring);
      const way = WAYS[KEYS[event.key]];
      if (!touch || event.ctrlKey || event.metaKey || event.altKey) return;
      if (!way && !["Enter", " ", "Delete", "Backspace"].includes(event.key)) return;
      event.preventDefault();
      chosen = touch;
      if (way) nudge(way, event.shiftKey ? 10 : 1);
      else if (event.key === "Delete" || event.key === "Backspace") acts.lift();
      else draw();
    });
    drawn.addEventListener("pointerdown", function (event) {
      const hit = event.target.closest("[data-ring]");
      const touch = hit && touches.find((one) => one.name === hit.dataset.ring);
      drag = { touch, from: at(event), start: touch && place(touch), x: event.clientX, y: event.clientY, moved: false };
      if (!touch) return;
      drawn.setPointerCapture(event.pointerId);
      event.preventDefault();
    });
    drawn.addEventListener("pointermove", function (event) {
      if (!drag || !drag.touch) return;
      if (!drag.moved && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) < TAP) return;
      drag.moved = true;
      chosen = drag.touch;
      const [x, y] = at(event);
      put(chosen, drag.start[0] + x - drag.from[0], drag.start[1] + y - drag.from[1]);
      draw();
    });
    // A tap on a ring sets the next place there, since arm and sleeve lie on each other.
    drawn.addEventListener("click", function (event) {
      const was = drag;
      drag = null;
      if (was && was.moved) return;
      // Where the finger went down: a click may be moved by the browser to what it takes to be meant.
      if (pending()) set(...(was ? was.from : at(event)));
      else if (was && was.touch) {
        chosen = was.touch;
        draw();
      }
    });
    drawn.addEventListener("pointercancel", function () {
      drag = null;
    });
    form.addEventListener("change", draw);
    form.addEventListener("reset", () => setTimeout(draw));
    const open = groups.find((button) => of(button.dataset.group).some((touch) => !isSet(touch)));
    if (open) turnTo(open.dataset.group);
    // Drawn again whenever the picture is shown at another size, and once it has come.
    if (watching) watching.disconnect();
    watching = new ResizeObserver(draw);
    watching.observe(glass);
  }

  // What was touched stays on the page until it is kept.
  function failed(why) {
    const asked = document.getElementById("asked");
    if (asked) asked.textContent = "Not kept: " + why + " What you touched is still here; keep it again.";
  }

  start();
  document.addEventListener("htmx:afterSwap", start);
  document.addEventListener("htmx:configRequest", function (event) {
    if ("made_at" in event.detail.parameters) event.detail.parameters.made_at = new Date().toISOString();
  });
  document.addEventListener("htmx:sendError", () => failed("no connection."));
  document.addEventListener("htmx:responseError", (event) => failed("the shop's computer answered " + event.detail.xhr.status + "."));
  document.addEventListener("htmx:beforeSwap", function (event) {
    const from = new URL(event.detail.xhr.responseURL || location.href).pathname;
    if (from.startsWith("/fittings/")) return;
    event.detail.shouldSwap = false;
    failed("you are no longer signed in; sign in again in another tab.");
  });
})();
