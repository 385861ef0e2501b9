// Forms marked data-kept go through the outbox; what waits is shown in its place.
(function () {
  "use strict";
  const box = window.outbox;
  if (!box || !box.me || !window.htmx) return;
  const AT_ONCE = 300; // ms until what is being sent is shown as waiting
  // identity -> the form it was entered in and what stood in it, while its first sending runs
  const live = new Map();

  function text(element) {
    return element ? element.textContent.replace(/\s+/g, " ").trim() : "";
  }

  // What was entered, in the words on the screen.
  function words(form, key) {
    const said = key && key.getAttribute("aria-label");
    if (said) return said;
    const details = form.closest("details");
    const side = text(form.closest(".side") && form.closest(".side").querySelector("h2"));
    const card = text(form.closest("article") && form.closest("article").querySelector("h3"));
    const title = form.dataset.words || card || text(details && details.querySelector("summary"));
    const parts = [];
    for (const one of form.elements) {
      if (one === key || one.type === "hidden" || one.type === "submit" || one.disabled) continue;
      if (!one.name || !one.value || one.matches(".place")) continue;
      const label = text(one.labels && one.labels[0]);
      if (one.type === "radio" || one.type === "checkbox") {
        if (one.checked) parts.push(label);
      } else if (one.selectedOptions) {
        parts.push(text(one.selectedOptions[0]));
      } else if (one.value !== one.defaultValue) {
        const [what, unit] = label.split(/, (?=(?:mm|cm|in|°)$)/);
        parts.push(what + " " + one.value + (unit ? " " + unit : ""));
      }
    }
    const act = key && key.value ? text(key) : "";
    const told = [parts.join(", "), act].filter(Boolean).join(", ");
    return [side, title, told].filter(Boolean).join(": ");
  }

  function fields(form, key) {
    const sent = Array.from(new FormData(form), ([name, value]) =>
      value instanceof File ? [name, value, value.name] : [name, value],
    ).filter(([name]) => name !== "csrfmiddlewaretoken");
    if (key && key.name) sent.push([key.name, key.value]);
    return sent;
  }

  // What stands in the form now; another tap on the same while it is being sent is the same entry.
  function typed(form, key) {
    const own = ["identity", "made_at"];
    return JSON.stringify(fields(form, key).filter(([name]) => !own.includes(name)));
  }

  function take(form, key) {
    const before = live.get(form.dataset.sending);
    if (before && before.tapped === typed(form, key)) return Promise.resolve();
    const hidden = form.elements.namedItem("identity");
    const identity = (!before && hidden && hidden.value) || box.identity();
    const target = form.getAttribute("hx-target");
    const holder = form.closest("[id]");
    form.dataset.sending = identity;
    live.set(identity, { form, typed: typed(form), tapped: typed(form, key) });
    return box.put({
      identity,
      url: form.getAttribute("hx-post") || form.action,
      fields: fields(form, key),
      words: words(form, key),
      kind: "form",
      target,
      swap: form.getAttribute("hx-swap") || "innerHTML",
      select: form.getAttribute("hx-select"),
      selectOOB: form.getAttribute("hx-select-oob"),
      where: form.dataset.where || (holder ? holder.id : ""),
      ahead: Boolean(key && key.dataset.ahead !== undefined),
      mends: Number(form.dataset.mends) || null,
    });
  }

  document.addEventListener("htmx:confirm", function (event) {
    const form = event.detail.elt;
    if (!form.matches("form[data-kept]") || !box.state.ready) return;
    event.preventDefault();
    if (!form.noValidate && !form.reportValidity()) return;
    const trigger = event.detail.triggeringEvent;
    take(form, trigger && trigger.submitter).catch(function () {
      // No room on the device: as without an outbox, it is sent now or said to be not saved.
      delete form.dataset.sending;
      event.detail.issueRequest(true);
    });
  });

  // The first sending did not get through: it waits, and the form is free for the next entry.
  function free(identity) {
    const sent = live.get(identity);
    if (!sent) return;
    live.delete(identity);
    const form = sent.form;
    delete form.dataset.sending;
    delete form.dataset.mends;
    // What was begun meanwhile is left as it stands; so are places touched on a photograph.
    if (typed(form) === sent.typed && form.dataset.rests === undefined) form.reset();
    const hidden = form.elements.namedItem("identity");
    if (hidden) hidden.value = box.identity();
  }

  function mine(item) {
    return item.page === location.pathname && item.user === box.me;
  }

  function markers() {
    for (const old of document.querySelectorAll(".waits-here")) old.remove();
    const now = Date.now();
    for (const item of box.state.items) {
      if (!mine(item) || item.kind !== "form" || item.refused) continue;
      const late = item.tries || box.state.why || now - new Date(item.made_at) > AT_ONCE;
      if (!late) continue;
      const place = document.getElementById(item.where) || document.getElementById("room");
      if (place) marker(item, place);
    }
  }

  function marker(item, place) {
    const list = place.querySelector(":scope > .lines, :scope > div > .lines");
    const row = document.createElement(list ? "li" : "p");
    row.className = "waits-here";
    const told = document.createElement("span");
    told.textContent = place.matches(".side, .side *") ? item.words.replace(/^Wearer's (left|right): /, "") : item.words;
    const badge = document.createElement("span");
    badge.className = "badge";
    badge.textContent = "waiting on this device";
    row.append(told, " ", badge);
    if (back().may(item)) row.append(" ", taker(item));
    (list || place).append(row);
  }

  // How what waits is taken back: on the fitting page by undo.js, elsewhere only what never left.
  function back() {
    return box.back || { may: (item) => !item.posted, take: (item) => box.recall(item) };
  }

  function taker(item) {
    const away = document.createElement("button");
    away.type = "button";
    away.className = "quiet";
    away.textContent = "Take back";
    away.setAttribute("aria-label", "Take back: " + item.words);
    away.addEventListener("click", () => back().take(item));
    return away;
  }

  let due = 0;
  document.addEventListener("outbox:changed", function () {
    for (const item of box.state.items) if (item.tries || item.refused) free(item.identity);
    if (box.state.why) for (const identity of Array.from(live.keys())) free(identity);
    markers();
    clearTimeout(due);
    due = setTimeout(markers, AT_ONCE + 50);
  });
  document.addEventListener("htmx:afterSwap", markers);
  document.addEventListener("outbox:recalled", (event) => free(event.detail.item.identity));

  // The answer to what was just entered goes where htmx would put it; to what waited, the page is
  // looked at anew, so that nothing being entered meanwhile is taken from under the hand.
  document.addEventListener("outbox:arrived", function (event) {
    const { item, answer } = event.detail;
    if (item.kind !== "form") return;
    const sent = live.get(item.identity);
    live.delete(item.identity);
    if (sent && settled(sent) && swap(sent.form, item, answer)) return;
    tellMoved();
  });
  document.addEventListener("outbox:refused", function (event) {
    const { item, answer } = event.detail;
    const sent = live.get(item.identity);
    live.delete(item.identity);
    if (!sent || !settled(sent) || ![409, 422].includes(answer.status)) return;
    event.detail.taken = swap(sent.form, item, answer);
  });

  // The form is there as it was sent: its answer may take its place.
  function settled({ form, typed: then }) {
    delete form.dataset.sending;
    return form.isConnected && typed(form) === then;
  }

  function tellMoved() {
    document.dispatchEvent(new CustomEvent("fitting:moved"));
  }

  function swap(form, item, answer) {
    const wanted = answer.retarget || item.target;
    const target = !wanted || wanted === "this" ? form : document.querySelector(wanted);
    if (!target) return false;
    const style = (answer.reswap || item.swap).split(" ")[0];
    const said = document.getElementById("said");
    if (said) said.classList.remove("failed");
    const how = { swapStyle: style, swapDelay: 0, settleDelay: 0 };
    const taken = { contextElement: target, select: item.select, selectOOB: item.selectOOB };
    htmx.swap(target, answer.html, how, taken);
    return true;
  }
})();
