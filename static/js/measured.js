// What the touches on a photograph show, said at once: angles in number and words.
// The noise is worked out where it is kept.
(function () {
  "use strict";
  // Degrees of a line that runs down, positive to the picture's right.
  const off = (from, to) => (Math.atan2(to[0] - from[0], to[1] - from[1]) * 180) / Math.PI;
  const say = (degrees, words) => Math.abs(degrees).toFixed(1) + "° " + words[degrees < 0 ? 1 : 0];

  function start() {
    const form = document.getElementById("touching");
    if (!form || form.dataset.read) return;
    form.dataset.read = "yes";
    const read = document.getElementById("read");
    const side = read.dataset.view === "side";
    const way = Number(form.dataset.way);
    const PLUMB = side ? ["forward of plumb", "behind plumb"] : ["out from the body", "in toward the body"];
    const SLEEVE = side ? ["forward of the sleeve", "behind the sleeve"] : ["further out than the sleeve", "further in than the sleeve"];
    const BENT = side ? ["forward", "back"] : ["out from the body", "in toward the body"];

    form.addEventListener("touched", function (event) {
      const { touches, isSet, place } = event.detail;
      const at = (name) => {
        const touch = touches.find((one) => one.name === name);
        return isSet(touch) ? place(touch) : null;
      };
      const rule = document.getElementById("rule");
      rule.hidden = !at("rule_one") && !at("rule_other") && !rule.querySelector("input").value && !rule.querySelector(".errorlist");
      const told = [];
      const ends = [at("plumb_upper"), at("plumb_lower")];
      ends.sort((one, other) => (one && other ? one[1] - other[1] : 0));
      const plumb = ends[0] && ends[1] ? off(ends[0], ends[1]) : 0;
      const hangs = {};
      for (const limb of ["arm", "sleeve"]) {
        const [top, elbow, end] = ["top", "elbow", "end"].map((part) => at(limb + "_" + part));
        if (!top || !elbow || !end) continue;
        hangs[limb] = way * (off(top, end) - plumb);
        const bend = way * (off(elbow, end) - off(top, elbow));
        const name = limb === "arm" ? "Arm " : "Sleeve ";
        told.push(name + say(hangs[limb], PLUMB) + ", bent " + say(bend, BENT));
      }
      if (hangs.arm !== undefined && hangs.sleeve !== undefined)
        told.unshift("The arm hangs " + say(hangs.arm - hangs.sleeve, SLEEVE));
      if (told.length && !(ends[0] && ends[1])) told.push("Against the picture's own upright: touch a plumb line if there is one");
      if (!told.length) return;
      read.replaceChildren(
        ...told.map(function (words) {
          const line = document.createElement("li");
          line.textContent = words + ".";
          return line;
        }),
      );
      if (hangs.arm !== undefined && hangs.sleeve !== undefined) read.firstChild.className = "foremost";
    });
  }

  const touched = (form) => JSON.stringify(Array.from(form.querySelectorAll("input:not([type=hidden])"), (one) => one.value));
  let kept = "";

  // What waited on the device has arrived: look anew, unless something was touched since.
  function anew() {
    const form = document.getElementById("touching");
    const untouched = Array.from(form.querySelectorAll("input:not([type=hidden])")).every((one) => one.value === one.defaultValue);
    if (!untouched && touched(form) !== kept) return;
    htmx.ajax("GET", location.pathname + location.search, { target: "#measuring", select: "#measuring", swap: "outerHTML settle:0ms" });
  }

  start();
  document.addEventListener("submit", (event) => event.target.id === "touching" && (kept = touched(event.target)));
  document.addEventListener("fitting:moved", anew);
  document.addEventListener("htmx:afterSwap", start);
})();
