// Reading a sleeve by hand: what is dragged, tapped or moved by keys turns the figure and fills the form.
//
// A figure for the wearer's left is the mirrored one of the right, and a touch is taken back through
// that mirror before it is measured: so positive is forward, or outward, on both sides.
(function () {
  "use strict";
  const PIECE = 0.5;
  const DROP_MM = 600;
  const UPPER = 108;
  const FOREARM = 104;
  const LOOSE = 14;
  const HALF_SLEEVE = 20;
  const STICK = 80;
  const PER = { mm: 1, cm: 10, in: 25.4 };
  const NO_CONNECTION = "What would be proposed will come with the connection.";
  let held = null;

  const byId = (id) => document.getElementById(id);
  const snap = (degrees) => Math.round(degrees / PIECE) * PIECE;
  const rad = (degrees) => (degrees * Math.PI) / 180;
  const deg = (radians) => (radians * 180) / Math.PI;

  // The way of an amount: radio buttons of the fitting page, a list of the customer's.
  function ways(input) {
    const name = input.name.replace(/_deg$/, "") + "_way";
    const named = input.form.elements.namedItem(name);
    if (!named) return null;
    const minus = named.tagName === "SELECT" ? "-1" : "minus";
    return { named, plus: minus === "-1" ? "1" : "plus", minus };
  }

  function read(input) {
    const size = Number(String(input.value).replace(",", ".")) || 0;
    const way = ways(input);
    return way && way.named.value === way.minus ? -size : size;
  }

  function write(input, degrees) {
    input.value = String(Math.round(Math.abs(degrees) * 100) / 100);
    const way = ways(input);
    if (way && degrees) way.named.value = degrees < 0 ? way.minus : way.plus;
  }

  function limits(input) {
    const handle = document.querySelector('[data-handle="' + input.id + '"], [data-slide="' + input.id + '"]');
    const low = handle.getAttribute("aria-valuemin") || handle.min;
    const high = handle.getAttribute("aria-valuemax") || handle.max;
    return [Number(low), Number(high)];
  }

  function worded(node, degrees) {
    const words = node.dataset;
    if (!degrees) return words.none;
    const amount = Math.abs(degrees) + "°";
    const said = degrees > 0 ? words.plus : words.minus;
    return said.includes("#") ? said.replace("#", amount) : amount + " " + said;
  }

  function length(mm, unit) {
    const size = Math.abs(mm) / PER[unit];
    if (unit !== "in") {
      const shown = (Math.round(size * 10) / 10).toFixed(1);
      return (unit === "mm" ? shown.replace(/\.0$/, "") : shown) + " " + unit;
    }
    const eighths = Math.round(size * 8);
    const rest = eighths % 8;
    const shared = rest === 4 ? 4 : rest % 2 === 0 ? 2 : 1;
    const part = rest ? rest / shared + "/" + 8 / shared : "";
    const whole = (eighths - rest) / 8;
    return [whole || !part ? whole : "", part].filter(String).join(" ") + " in";
  }

  function turned(node, degrees) {
    node.setAttribute("transform", "rotate(" + -degrees + " " + node.dataset.about + ")");
    for (const word of node.querySelectorAll("[data-upright]")) {
      const [x, y, flip] = word.dataset.upright.split(" ");
      word.setAttribute("transform", "translate(" + x + " " + y + ") rotate(" + degrees + ") scale(" + flip + " 1)");
    }
  }

  // A loose arm is drawn a little bent until somebody has seen how much it is.
  function drawn(input) {
    const bends = input.form.querySelector('[data-bends="' + input.id + '"]');
    return bends && input.value.trim() === "" ? LOOSE : read(input);
  }

  function bent(form, input) {
    const bend = rad(drawn(input));
    const behind = Math.atan2(FOREARM * Math.sin(bend), UPPER + FOREARM * Math.cos(bend));
    for (const part of form.querySelectorAll('[data-upper="' + input.id + '"]'))
      part.setAttribute("transform", "rotate(" + deg(behind) + " 180 146)");
    for (const part of form.querySelectorAll('[data-forearm="' + input.id + '"]'))
      part.setAttribute("transform", "rotate(" + -deg(bend) + " 180 254)");
    for (const part of form.querySelectorAll('[data-bends="' + input.id + '"]'))
      part.setAttribute("transform", "translate(" + -UPPER * Math.sin(behind) + " " + UPPER * (Math.cos(behind) - 1) + ")");
  }

  // From behind: how far aside the elbow shows, and the end of the stick that points out of it.
  function aside(form, input) {
    const sine = Math.sin(rad(read(input)));
    const to = (name, draw) => form.querySelectorAll("[data-" + name + '="' + input.id + '"]').forEach(draw);
    to("elbow", (node) => node.setAttribute("transform", "translate(" + HALF_SLEEVE * sine + " 0)"));
    to("points", (node) => node.setAttribute("transform", "translate(" + STICK * sine + " 0)"));
    to("stick", (node) => node.setAttribute("d", "M" + HALF_SLEEVE * sine + " 0 L" + STICK * sine + " " + 44 * node.dataset.up));
  }

  // The figure of one field, and what says how it stands, as the field stands now.
  function show(input) {
    const form = input.form;
    const degrees = read(input);
    const empty = input.value.trim() === "";
    for (const node of form.querySelectorAll('[data-turn="' + input.id + '"]')) turned(node, degrees);
    aside(form, input);
    bent(form, input);
    const slide = form.querySelector('[data-slide="' + input.id + '"]');
    if (slide) slide.value = drawn(input);
    const said = form.querySelector('[data-said="' + input.id + '"]');
    const words = (node) => (empty && node.dataset.unseen ? node.dataset.unseen : worded(node, degrees));
    if (said) said.textContent = words(said);
    for (const handle of form.querySelectorAll('[data-handle="' + input.id + '"]')) {
      handle.setAttribute("aria-valuenow", degrees);
      handle.setAttribute("aria-valuetext", said ? said.textContent : words(handle));
    }
  }

  function compare(form) {
    const number = form.querySelector("[data-number]");
    if (!number) return;
    const stands = (name) => read(form.elements.namedItem(name));
    const degrees = Math.round((stands("arm") - stands("sleeve")) * 100) / 100;
    number.textContent = Math.abs(Math.round(degrees * 10) / 10) + "°";
    const words = form.querySelector("[data-compared]");
    words.textContent = worded(words, Math.round(degrees * 10) / 10);
    form.dataset.words = words.textContent;
    const cuff = form.querySelector("[data-cuff]");
    if (!cuff) return;
    const offset = form.elements.namedItem("offset_mm").value;
    const mm = offset === "" ? DROP_MM * Math.tan(rad(degrees)) : Number(offset);
    cuff.querySelector("[data-mm]").textContent = length(mm, cuff.dataset.unit);
    cuff.querySelector("[data-how]").textContent = offset === "" ? "judged on the figure" : "as measured";
  }

  function moved(form) {
    compare(form);
    form.dispatchEvent(new CustomEvent("hand:moved", { bubbles: true }));
  }

  function judged(form) {
    const offset = form.elements.namedItem("offset_mm");
    if (offset) offset.value = "";
  }

  function move(input, degrees) {
    const [low, high] = limits(input);
    const to = Math.min(high, Math.max(low, snap(degrees)));
    if (to === read(input) && input.value.trim() !== "") return;
    judged(input.form);
    write(input, to);
    show(input);
    moved(input.form);
  }

  // Measured in mm at the cuff: the arm is brought to where that is; the sleeve stays.
  function measure(form, byMm) {
    const [arm, sleeve, offset] = ["arm", "sleeve", "offset_mm"].map((name) => form.elements.namedItem(name));
    const now = offset.value === "" ? DROP_MM * Math.tan(rad(read(arm) - read(sleeve))) : Number(offset.value);
    const step = Math.abs(byMm);
    const mm = Math.round(Math.round(now / step + Math.sign(byMm)) * step * 100) / 100;
    const degrees = read(sleeve) + deg(Math.atan(mm / DROP_MM));
    const [low, high] = limits(arm);
    if (degrees < low || degrees > high) return;
    offset.value = mm;
    write(arm, degrees);
    show(arm);
    moved(form);
  }

  function showAll(form) {
    const ids = [...form.querySelectorAll("[data-said], [data-handle]")].map((node) => node.dataset.said || node.dataset.handle);
    for (const id of new Set(ids)) show(byId(id));
    compare(form);
  }

  // Where the finger is in the drawing that `node` stands in, through whatever mirrors and turns it.
  function at(event, node) {
    return new DOMPoint(event.clientX, event.clientY).matrixTransform(node.parentNode.getScreenCTM().inverse());
  }

  const UNDER = {
    // The end of a stick that points out of the elbow, seen from behind.
    point(event, handle) {
      const aside = (at(event, handle.closest("[data-points]")).x - 205) / STICK;
      return deg(Math.asin(Math.min(1, Math.max(-1, aside))));
    },
    // The elbow behind the line from shoulder to wrist: two sides of a triangle and an angle.
    bend(event, handle) {
      const finger = at(event, handle.closest("[data-bends]"));
      const behind = Math.atan2(180 - finger.x, Math.max(1, finger.y - 146));
      const other = (UPPER * Math.sin(behind)) / FOREARM;
      return deg(behind + Math.asin(Math.min(1, Math.max(-1, other))));
    },
    turn(event, handle) {
      const turning = handle.closest("[data-turn]");
      const [x, y] = turning.dataset.about.split(" ").map(Number);
      const finger = at(event, turning);
      return deg(Math.atan2(finger.x - x, finger.y - y));
    },
  };

  function under(event, handle) {
    return UNDER[handle.dataset.how || "turn"](event, handle);
  }

  document.addEventListener("pointerdown", function (event) {
    const handle = event.target.closest && event.target.closest("[data-handle]");
    if (!handle || event.button) return;
    event.preventDefault();
    const input = byId(handle.dataset.handle);
    handle.focus();
    handle.setPointerCapture(event.pointerId);
    held = { input, handle, off: drawn(input) - under(event, handle) };
  });
  document.addEventListener("pointermove", function (event) {
    if (held) move(held.input, under(event, held.handle) + held.off);
  });
  for (const end of ["pointerup", "pointercancel"])
    document.addEventListener(end, function () {
      held = null;
    });

  // Left and right move a ring to the left and right of the picture; up is forward, outward or more
  // bent, which takes the elbow back.
  document.addEventListener("keydown", function (event) {
    const handle = event.target.closest && event.target.closest("[data-handle]");
    if (!handle) return;
    const input = byId(handle.dataset.handle);
    const flip = Number(handle.querySelector("[data-upright]").dataset.upright.split(" ")[2]);
    const toRight = handle.dataset.how === "bend" ? -flip : flip;
    const [low, high] = limits(input);
    const now = drawn(input);
    const to = {
      ArrowRight: now + PIECE * toRight,
      ArrowLeft: now - PIECE * toRight,
      ArrowUp: now + PIECE,
      ArrowDown: now - PIECE,
      PageUp: now + 5,
      PageDown: now - 5,
      Home: low,
      End: high,
    }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    move(input, to);
  });

  // A key that fills a depth writes it without a hand on the field.
  document.addEventListener("change", function (event) {
    const form = event.target.form;
    if (event.isTrusted || !form || !form.classList.contains("hand-form")) return;
    moved(form);
  });

  document.addEventListener("click", function (event) {
    const key = event.target.closest("[data-turn-by], [data-cuff-by]");
    if (!key) return;
    if (key.dataset.cuffBy) return measure(key.form, Number(key.dataset.cuffBy));
    const input = byId(key.dataset.field);
    move(input, drawn(input) + Number(key.dataset.turnBy));
  });

  document.addEventListener("input", function (event) {
    const slide = event.target.dataset && event.target.dataset.slide;
    if (slide) return move(byId(slide), Number(event.target.value));
    const form = event.target.form;
    if (!form || !form.classList.contains("hand-form")) return;
    judged(form);
    showAll(form);
    moved(form);
  });

  // Emptied for the next reading, once the fields stand anew; what is hidden does not empty itself.
  document.addEventListener("reset", function (event) {
    const form = event.target;
    if (!form.classList.contains("hand-form")) return;
    setTimeout(function () {
      judged(form);
      showAll(form);
    });
  });

  // What is asked of the shop's computer while dragging is not an entry: nothing of it is "not saved".
  for (const failing of ["htmx:sendError", "htmx:responseError"])
    document.addEventListener(
      failing,
      function (event) {
        const place = event.target.closest && event.target.closest("[data-predicts]");
        if (!place) return;
        event.stopImmediatePropagation();
        place.textContent = NO_CONNECTION;
      },
      true,
    );
})();
