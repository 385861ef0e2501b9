// The line in the bar, what needs somebody, the question at sign-out, and what must wait for it.
(function () {
  "use strict";
  const place = document.getElementById("outbox");
  const box = window.outbox;
  if (!place || !box || !box.state) return; // without a store the name is the element of this id
  const line = place.querySelector(".outbox-state");
  const needs = place.querySelector(".outbox-needs");
  const dialog = place.querySelector(".outbox-leaving");
  const WHY = {
    offline: "no connection",
    away: "the shop's computer does not answer",
    "signed-out": "sign in again to send",
    "somebody-else": "somebody else is signed in now",
    store: "this device has no room to keep more",
  };

  function count(items) {
    return items.length === 1 ? "1 entry" : items.length + " entries";
  }

  function sorted() {
    const mine = box.state.items.filter((item) => item.user === box.me);
    return {
      waiting: mine.filter((item) => !item.refused),
      refused: mine.filter((item) => item.refused),
      others: box.state.items.filter((item) => item.user !== box.me),
    };
  }

  function sentence({ waiting, refused, others }) {
    if (!box.state.known) return "";
    const parts = [];
    const wait = waiting.length === 1 ? " waits" : " wait";
    if (waiting.length && box.state.why)
      parts.push(count(waiting) + wait + " on this device: " + WHY[box.state.why]);
    else if (waiting.length) parts.push("Sending: " + count(waiting));
    if (refused.length) parts.push(count(refused) + (refused.length === 1 ? " needs" : " need") + " you: see below");
    const names = new Set(others.map((item) => item.name));
    for (const name of names) {
      const theirs = others.filter((item) => item.name === name);
      parts.push(count(theirs) + " of " + name + (theirs.length === 1 ? " waits" : " wait") + " on this device until " + name + " signs in");
    }
    if (parts.length) return parts.join(". ");
    if (box.state.offline) return "No connection: what you tap is kept on this device";
    return box.me ? "Everything is saved" : "";
  }

  function kind({ waiting, refused, others }) {
    if (refused.length) return "needs";
    if (waiting.length) return box.state.why ? "waits" : "sends";
    return others.length || box.state.offline ? "waits" : "saved";
  }

  let due = 0;
  function show() {
    const all = sorted();
    const words = sentence(all);
    clearTimeout(due);
    // What goes through at once is not told as being sent.
    due = setTimeout(() => write(kind(all), words), kind(all) === "sends" ? 400 : 0);
    list(all.refused);
    hold(all);
  }

  function write(state, words) {
    line.hidden = !words;
    line.dataset.state = state;
    if (line.textContent === words) return;
    line.textContent = words;
    if (state === "waits" || state === "needs") beside(words);
    else if (state === "saved") cleared();
  }

  // What waited has gone: the line above what is entered says so no longer.
  function cleared() {
    const shown = document.querySelector("#said > [aria-hidden]");
    if (shown) shown.remove();
  }

  // Where the bar is scrolled out of sight, the line above what is entered says it too; to be seen
  // only, as it was heard already.
  function beside(words) {
    const said = document.getElementById("said");
    if (!said) return;
    const shown = made("strong", words);
    shown.setAttribute("aria-hidden", "true");
    said.replaceChildren(shown);
  }

  function made(tag, words, act) {
    const element = document.createElement(tag);
    element.textContent = words;
    if (!act) return element;
    element.type = "button";
    element.className = "quiet";
    element.addEventListener("click", act);
    return element;
  }

  let listed = "";
  function list(refused) {
    const now = refused.map((item) => item.place).join();
    if (now === listed) return;
    listed = now;
    needs.hidden = !refused.length;
    needs.replaceChildren(...refused.map(card));
  }

  function card(item) {
    const one = document.createElement("div");
    one.className = "stack tight";
    const when = new Date(item.made_at).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    const row = document.createElement("div");
    row.className = "row";
    if (item.kind === "form") row.append(made("button", "Mend it", () => mend(item)));
    row.append(made("button", "Send it again", () => box.again(item)));
    const away = made("button", "Throw it away", function () {
      if (away.dataset.sure) return void box.drop([item.place]);
      away.dataset.sure = "1";
      away.textContent = "Yes, throw it away";
    });
    row.append(away);
    one.append(made("p", "Not kept, entered " + when + ": " + item.words), made("p", item.refused), row);
    return one;
  }

  // Back into the form it came from, with all that was typed; kept until it is saved from there.
  function mend(item) {
    const search = item.search || "";
    if (item.page !== location.pathname || search !== location.search) {
      sessionStorage.setItem("mend", item.place);
      location.href = item.page + search;
      return;
    }
    const given = new Map(item.fields.filter(([, value]) => typeof value === "string"));
    const same = ["what", "side", "check", "key", "verdict", "finding", "consent"];
    const form = Array.from(document.querySelectorAll("form[data-kept]")).find(
      (one) =>
        new URL(one.action).pathname === new URL(item.url, location.href).pathname &&
        same.every((name) => {
          const field = one.querySelector('[type=hidden][name="' + name + '"]');
          return !field || field.value === (given.get(name) || "");
        }),
    );
    if (!form) return;
    for (const field of form.elements) {
      if (!field.name || field.type === "hidden" || !given.has(field.name)) continue;
      if (field.type === "radio") field.checked = field.value === given.get(field.name);
      else if (field.type !== "submit") field.value = given.get(field.name);
    }
    form.dataset.mends = item.place;
    for (let up = form.closest("details"); up; up = up.parentElement.closest("details")) up.open = true;
    const part = form.closest("[id]");
    if (part) location.hash = part.id;
    form.dispatchEvent(new Event("change", { bubbles: true }));
    const first = form.querySelector("input:not([type=hidden]), button");
    if (first) setTimeout(() => first.focus(), 0);
  }

  // Signing and issuing want everything in the record, and the connection.
  function hold({ waiting, refused }) {
    let why = "";
    if (waiting.length) why = count(waiting) + (waiting.length === 1 ? " waits" : " wait") + " on this device: this is possible when all is sent.";
    else if (refused.length) why = "Something was not kept: mend it or throw it away first, at the top of the page.";
    else if (box.state.offline) why = "No connection: this is possible when it is back.";
    for (const form of document.querySelectorAll("form[data-needs-all]")) {
      const key = form.querySelector("button");
      let told = form.querySelector(".outbox-why");
      if (!why) {
        if (told) key.disabled = false;
        if (told) told.remove();
        continue;
      }
      if (key.disabled && !told) continue;
      if (!told) {
        told = made("p", "");
        told.className = "outbox-why note told";
        told.id = "outbox-why";
        key.setAttribute("aria-describedby", "outbox-why");
        form.append(told);
      }
      told.textContent = why;
      key.disabled = true;
    }
  }

  document.addEventListener("submit", function (event) {
    if (!event.target.matches("form[data-signs-out]") || dialog.dataset.sure) return;
    const { waiting, refused, others } = sorted();
    event.target.elements.keep.value = others.length ? "others" : "";
    if (!waiting.length && !refused.length) return;
    event.preventDefault();
    dialog.querySelector("ul").replaceChildren(...[...waiting, ...refused].map((item) => made("li", item.words)));
    dialog.showModal();
  });
  place.querySelector("[data-stays]").addEventListener("click", () => dialog.close());
  place.querySelector("[data-loses]").addEventListener("click", async function () {
    const { waiting, refused } = sorted();
    await box.drop([...waiting, ...refused].map((item) => item.place));
    dialog.dataset.sure = "1";
    document.querySelector("form[data-signs-out]").requestSubmit();
  });

  // Another page cannot be opened without connection, and this one would be gone.
  document.addEventListener("click", function (event) {
    const link = event.target.closest("main.fitting a[href]");
    if (!link || !box.state.offline || event.defaultPrevented) return;
    if (link.pathname === location.pathname && link.hash) return;
    event.preventDefault();
    const said = document.getElementById("said") || document.getElementById("asked");
    if (said) said.textContent = "No connection: this page opens when it is back. You are still where you were.";
  });

  document.addEventListener("outbox:changed", function () {
    show();
    const wanted = Number(sessionStorage.getItem("mend"));
    const item = wanted && box.state.items.find((one) => one.place === wanted);
    if (!item || item.page !== location.pathname) return;
    sessionStorage.removeItem("mend");
    mend(item);
  });
  document.addEventListener("htmx:afterSwap", () => hold(sorted()));
  show();
})();
