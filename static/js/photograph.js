// The photograph's page: points set, moved and taken away by touch, mouse and keyboard.
(function () {
  "use strict";
  const NAMESPACE = "http://www.w3.org/2000/svg";
  const TOUCH = 24; // half of what a finger needs, in screen pixels
  const WAYS = { left: [-1, 0], right: [1, 0], up: [0, -1], down: [0, 1] };
  const KEYS = { ArrowLeft: "left", ArrowRight: "right", ArrowUp: "up", ArrowDown: "down",
    Delete: "delete", Backspace: "delete", Enter: "add", n: "next", p: "before" };

  const frame = document.getElementById("frame");
  const picture = document.getElementById("picture");
  const drawn = document.getElementById("drawn");
  const line = document.getElementById("line");
  const by = document.getElementById("by");
  const kept = document.getElementById("points");
  const said = document.getElementById("said");
  const box = picture.viewBox.baseVal;
  const points = JSON.parse(kept.value || "{}");
  let chosen = -1;
  let zoom = 100;
  let dragged = false;

  const here = () => points[line.value] || (points[line.value] = []);
  const option = () => line.selectedOptions[0];
  const most = () => Number(option().dataset.most);
  const scale = () => picture.getScreenCTM().a; // screen pixels for one of the picture

  function within(x, y) {
    const round = (value) => Math.round(value * 100) / 100;
    return [round(Math.min(Math.max(x, 0), box.width)), round(Math.min(Math.max(y, 0), box.height))];
  }

  function at(event) {
    const spot = new DOMPoint(event.clientX, event.clientY);
    const { x, y } = spot.matrixTransform(picture.getScreenCTM().inverse());
    return within(x, y);
  }

  function element(name, attributes) {
    const made = document.createElementNS(NAMESPACE, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    drawn.append(made);
    return made;
  }

  function draw() {
    drawn.replaceChildren();
    for (const [name, of] of Object.entries(points)) {
      const other = name === line.value ? "" : " other";
      const closed = name === "marks" || name === "armhole" ? of.concat(of.slice(0, 1)) : of;
      const through = closed.map((point) => point.join(",")).join(" ");
      element("polyline", { points: through, class: "under" + other });
      element("polyline", { points: through, class: "ink" + other });
      if (!other) of.forEach(dot);
      else if (of.length === 1) element("circle", { cx: of[0][0], cy: of[0][1], r: 5 / scale(), class: "dot ink" });
    }
    kept.value = JSON.stringify(points);
    tell();
  }

  function dot(point, index) {
    const [cx, cy] = point;
    const size = scale();
    element("circle", { cx, cy, r: 9 / size, class: "dot" });
    element("circle", { cx, cy, r: 9 / size, class: "dot ink" + (index === chosen ? " chosen" : "") });
    const words = element("text", { x: cx + 12 / size, y: cy - 8 / size, "font-size": 16 / size });
    words.textContent = index + 1;
    element("circle", { cx, cy, r: TOUCH / size, "data-index": index });
  }

  function tell() {
    const of = here();
    document.getElementById("asked").textContent = option().dataset.words + ".";
    let words = option().textContent + ": " + of.length + " of at most " + most() + " points set.";
    if (of[chosen])
      words += " Point " + (chosen + 1) + " is chosen, " + Math.round(of[chosen][0]) + " across and " + Math.round(of[chosen][1]) + " down.";
    said.textContent = words;
  }

  function add(point) {
    if (here().length >= most()) {
      said.textContent = "All " + most() + " points of this are set: move one, or delete one first.";
      return;
    }
    chosen = chosen < 0 ? here().length : chosen + 1;
    here().splice(chosen, 0, point);
    draw();
  }

  function middle() {
    const seen = frame.getBoundingClientRect();
    return at({ clientX: seen.left + frame.clientWidth / 2, clientY: seen.top + frame.clientHeight / 2 });
  }

  function move(way, far) {
    const point = here()[chosen];
    if (!point) return;
    here()[chosen] = within(point[0] + way[0] * far, point[1] + way[1] * far);
    draw();
    show();
  }

  // The chosen point inside what is seen of the picture.
  function show() {
    const point = here()[chosen];
    if (!point) return;
    const size = scale();
    const [x, y] = [point[0] * size, point[1] * size];
    if (x < frame.scrollLeft || x > frame.scrollLeft + frame.clientWidth)
      frame.scrollLeft = x - frame.clientWidth / 2;
    if (y < frame.scrollTop || y > frame.scrollTop + frame.clientHeight)
      frame.scrollTop = y - frame.clientHeight / 2;
  }

  function enlarge(to) {
    zoom = Math.min(Math.max(to, 100), 400);
    picture.setAttribute("width", zoom + "%");
    draw();
    show();
  }

  const acts = {
    next: () => choose(chosen + 1),
    before: () => choose(chosen - 1),
    add: () => {
      const point = here()[chosen];
      add(point ? within(point[0] + 20, point[1]) : middle());
      show();
    },
    delete: () => {
      if (!here()[chosen]) return;
      here().splice(chosen, 1);
      chosen = Math.min(chosen, here().length - 1);
      draw();
    },
    larger: () => enlarge(zoom * 2),
    smaller: () => enlarge(zoom / 2),
  };

  function choose(index) {
    const count = here().length;
    chosen = count ? (index + count) % count : -1;
    draw();
    show();
  }

  function act(what, far) {
    if (WAYS[what]) move(WAYS[what], far);
    else acts[what]();
  }

  document.getElementById("photograph").addEventListener("click", function (event) {
    const button = event.target.closest("[data-do]");
    if (button) act(button.dataset.do, Number(by.value));
  });
  frame.addEventListener("keydown", function (event) {
    const what = KEYS[event.key];
    if (!what || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    act(what, event.shiftKey ? 10 : 1);
  });
  line.addEventListener("change", function () {
    chosen = here().length - 1;
    draw();
  });
  picture.addEventListener("click", function (event) {
    if (!dragged && !event.target.dataset.index) add(at(event));
    dragged = false;
  });
  picture.addEventListener("pointerdown", function (event) {
    dragged = false;
    if (!event.target.dataset.index) return;
    chosen = Number(event.target.dataset.index);
    picture.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  picture.addEventListener("pointermove", function (event) {
    if (!picture.hasPointerCapture(event.pointerId)) return;
    dragged = true;
    here()[chosen] = at(event);
    draw();
  });
  picture.addEventListener("pointerup", function (event) {
    if (picture.hasPointerCapture(event.pointerId)) {
      dragged = true;
      picture.releasePointerCapture(event.pointerId);
      draw();
    }
  });
  addEventListener("resize", draw);
  chosen = here().length - 1;
  draw();
})();
