// Another device at the same fitting: what it kept is shown, but nothing being entered is touched.
(function () {
  "use strict";
  const EVERY = 12000; // ms
  const PARTS = "#edge, #closing, #photographs-kept, #camera, #agreed, #consents-said, .side[id], [id^=seen-], [id^=work-], [id^=trust-], form.check[id], [data-fresh][id]";
  const holder = document.querySelector("[data-changes]");
  if (!holder) return;
  let mark = holder.dataset.mark;
  let asking = false;
  let wanted = false;
  let answers = 0; // what this device sent and had answered

  function sending() {
    const box = window.outbox;
    if (!box || !box.state || box.state.why) return false;
    return box.state.items.some((item) => item.user === box.me && !item.refused);
  }

  async function ask() {
    if (asking) wanted = true;
    if (asking || document.hidden || window.outbox?.state?.offline) return;
    // What this device has to send goes first; then one look is enough.
    if (sending()) {
      wanted = true;
      return;
    }
    wanted = false;
    asking = true;
    try {
      const seen = { "If-None-Match": '"' + mark + '"' };
      const answer = await fetch(holder.dataset.changes, { headers: seen, cache: "no-store" });
      if (answer.ok && !answer.redirected) await renew();
    } catch {
      // No connection: the next turn asks again.
    } finally {
      asking = false;
    }
    // Something arrived while it was being looked at.
    if (wanted) ask();
  }

  async function renew() {
    const before = answers;
    const answer = await fetch(location.pathname, { cache: "no-store" });
    if (!answer.ok || answer.redirected) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    // An entry of this device was answered meanwhile: its answer is newer than this page.
    if (answers !== before) {
      wanted = true;
      return;
    }
    const there = page.querySelector("[data-changes]");
    if (!there) return;
    let left = 0;
    for (const part of document.querySelectorAll(PARTS)) {
      const fresh = part.isConnected && page.getElementById(part.id);
      if (!fresh || (part.id === "camera" && agreed(part) === agreed(fresh))) continue;
      // A camera goes off at once, whatever was chosen beside it.
      if (part.id !== "camera" && editing(part)) left += part.matches(".side") ? 0 : 1;
      else put(part, fresh);
    }
    // What was left as it is being entered is looked at again at the next turn.
    if (!left) mark = there.dataset.mark;
  }

  const agreed = (part) => part.dataset.agreed !== undefined;

  function put(part, fresh) {
    if (said(part) === said(fresh)) return;
    const now = part.contains(document.activeElement) && document.activeElement;
    const how = { swapStyle: "outerHTML", swapDelay: 0, settleDelay: 0 };
    for (const one of fresh.querySelectorAll("[autofocus]")) one.removeAttribute("autofocus");
    holder.dataset.renewing = "";
    htmx.swap(part, fresh.outerHTML, how);
    delete holder.dataset.renewing;
    if (now && !now.isConnected) find(part.id, now)?.focus({ preventScroll: true });
  }

  // What a part says and shows, and which of its keys are down: forms are made anew each time, alike.
  function said(part) {
    const copy = part.cloneNode(true);
    for (const one of copy.querySelectorAll(".waits-here, .outbox-why, .consent-waits")) one.remove();
    const keys = Array.from(copy.querySelectorAll("[aria-pressed]"), (key) => key.getAttribute("aria-pressed"));
    const pictures = Array.from(copy.querySelectorAll("img"), (one) => one.getAttribute("src"));
    return copy.textContent.replace(/\s+/g, " ") + keys.join() + pictures.join();
  }

  // The key that stands where the focus was.
  function find(id, was) {
    const alike = document.getElementById(id).querySelectorAll(was.tagName);
    const label = (one) => one.getAttribute("aria-label") || one.textContent.trim();
    return Array.from(alike).find((one) => label(one) === label(was));
  }

  // Something typed or chosen and not saved, or a small form standing open.
  function editing(part) {
    if (part.querySelector("details[open] form:not(.lines form), dialog[open], form[data-sending], form[data-mends]")) return true;
    return Array.from(part.querySelectorAll("input, select, textarea")).some(function (one) {
      if (one.type === "hidden") return false;
      if (one.type === "radio" || one.type === "checkbox") return one.checked !== one.defaultChecked;
      if (one.options) return Array.from(one.options).some((o) => o.selected !== o.defaultSelected);
      return one.value !== one.defaultValue;
    });
  }

  setInterval(ask, EVERY);
  document.addEventListener("visibilitychange", ask);
  window.addEventListener("online", ask);
  document.addEventListener("fitting:moved", ask);
  document.addEventListener("outbox:arrived", () => (answers += 1));
  document.addEventListener("outbox:changed", function (event) {
    if (event.detail.arrived || (wanted && !sending())) ask();
  });
})();
