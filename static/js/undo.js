// Undo while something waits on the device: what never left it is simply taken out; what the record
// may have is taken back by an undo that is sent after it, under the mark of the tap.
(function () {
  "use strict";
  const box = window.outbox;
  if (!box || !box.me) return;
  const form = () => document.querySelector("form.undo");
  const path = (url) => new URL(url, location.href).pathname;
  const isUndo = (item) => Boolean(form()) && path(item.url) === path(form().action);
  const isStep = (item) => Boolean(form()) && form().dataset.steps.split(" ").includes(path(item.url));

  // What waits of this page, oldest first.
  function here() {
    return box.state.items.filter(
      (item) => item.page === location.pathname && item.user === box.me && item.kind === "form" && !item.refused,
    );
  }

  const undone = (item) => here().some((one) => one.undoes === item.identity);
  const may = (item) => !item.posted || (isStep(item) && !undone(item));

  async function take(item) {
    const gone = await box.recall(item);
    if (!gone && isStep(item) && !undone(item)) await after(item);
    say("Undone: " + item.words);
  }

  // After the line about what waits, which is told in the same place.
  function say(words) {
    setTimeout(function () {
      const said = document.getElementById("said");
      if (said) said.textContent = words;
    }, 50);
  }

  function after(item) {
    return box.put({
      identity: box.identity(),
      url: form().getAttribute("action"),
      fields: [["tap", item.identity]],
      words: "Taken back: " + item.words,
      kind: "form",
      undoes: item.identity,
      target: "#room",
      swap: "outerHTML",
      where: item.where,
    });
  }

  // The last thing tapped that waits; a thing and its undo are nothing together.
  function last() {
    return here()
      .filter((item) => !item.undoes && !undone(item) && (item.tries || box.state.why))
      .pop();
  }

  function show() {
    const now = form();
    if (!now) return;
    const item = last();
    const stuck = item && (isUndo(item) || !may(item));
    const key = now.querySelector("button");
    const words = !item ? now.dataset.said : stuck ? "What came before is known when this is sent: " + item.words : item.words;
    now.hidden = !item && !now.elements.step.value;
    // It can still be tapped, and then says why it does nothing: on a phone there is no room beside it.
    key.setAttribute("aria-disabled", String(Boolean(stuck)));
    const what = now.querySelector("#undo-what");
    if (what.textContent !== words) what.textContent = words;
  }

  // Before htmx hears of it.
  document.addEventListener(
    "submit",
    function (event) {
      const item = event.target.matches("form.undo") && last();
      if (!item) return;
      event.preventDefault();
      event.stopImmediatePropagation();
      if (!isUndo(item) && may(item)) take(item);
      else say(document.getElementById("undo-what").textContent);
    },
    true,
  );
  // What is refused need not be mended when it was taken back already.
  document.addEventListener("outbox:refused", function (event) {
    const { item } = event.detail;
    const undo = here().find((one) => one.undoes === item.identity);
    if (!undo) return;
    event.detail.taken = true;
    box.recall(undo);
  });
  document.addEventListener("outbox:changed", show);
  document.addEventListener("htmx:afterSwap", show);
  box.back = { may, take };
})();
