// Photographs at the fitting: made smaller on the device, shown at once, sent one at a time in the
// order taken. Where there is an outbox (outbox.js) they wait in it; else they are sent from here.
(function () {
  "use strict";
  const LONGEST = 2048; // px; what the record keeps
  const WHY = {
    offline: "waiting on this device: no connection",
    away: "waiting on this device: the shop's computer does not answer",
    "signed-out": "waiting on this device: sign in again",
    "somebody-else": "waiting on this device: somebody else is signed in",
  };
  const rows = new Map(); // identity -> what is shown of a photograph on its way
  const queue = []; // only without an outbox
  let sending = false;
  let prepared = Promise.resolve();

  const box = () => (window.outbox && window.outbox.me && window.outbox.state.ready ? window.outbox : null);

  // crypto.randomUUID is there on HTTPS only; getRandomValues everywhere.
  function identity() {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  // What the browser cannot decode is sent as it is, for the shop's computer to read.
  async function smaller(file) {
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const scale = Math.min(1, LONGEST / Math.max(picture.width, picture.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.max(1, Math.round(picture.width * scale));
      canvas.height = Math.max(1, Math.round(picture.height * scale));
      const pen = canvas.getContext("2d");
      pen.fillStyle = "#fff";
      pen.fillRect(0, 0, canvas.width, canvas.height);
      pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
      picture.close();
      const made = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.9));
      return made || file;
    } catch {
      return file;
    }
  }

  // Rows: what is on its way, each with its picture, its progress and its state in words.

  function show(item) {
    const row = document.createElement("li");
    row.className = "waiting";
    row.tabIndex = -1;
    const picture = document.createElement("img");
    picture.alt = "";
    picture.src = item.address = URL.createObjectURL(item.blob);
    picture.addEventListener("error", () => picture.remove());
    const words = document.createElement("p");
    words.textContent = item.words;
    const bar = document.createElement("progress");
    bar.max = 1;
    bar.value = 0;
    bar.setAttribute("aria-label", "Sending: " + item.words);
    const told = document.createElement("p");
    told.className = "state";
    row.append(picture, words, bar, told);
    item.row = row;
    rows.set(item.identity, item);
    state(item, "waiting on this device");
    stand();
  }

  function state(item, words, bad) {
    const line = item.row.querySelector(".state");
    if (line.textContent !== words) line.textContent = words;
    line.classList.toggle("failed", Boolean(bad));
    if (bad) line.setAttribute("role", "alert");
    else line.removeAttribute("role");
  }

  function button(row, words, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "quiet";
    made.textContent = words;
    made.addEventListener("click", act);
    row.append(made);
  }

  function drop(item) {
    rows.delete(item.identity);
    URL.revokeObjectURL(item.address);
    item.row.remove();
  }

  function progress(item, part) {
    item.row.querySelector("progress").value = part;
    state(item, "sending");
  }

  // The answer holds the photographs of the fitting as they now are.
  function done(item, html) {
    drop(item);
    const page = new DOMParser().parseFromString(html, "text/html");
    const kept = page.getElementById("photographs-kept");
    const old = document.getElementById("photographs-kept");
    const said = page.getElementById("said");
    if (!kept || !old) return;
    if (said) {
      const line = document.getElementById("said");
      if (line) line.textContent = said.textContent;
      said.remove();
    }
    old.replaceWith(kept);
    htmx.process(kept);
  }

  function refused(item, html) {
    const page = new DOMParser().parseFromString(html, "text/html");
    const sentence = page.querySelector("[role=alert]");
    state(item, sentence ? sentence.textContent : "The shop's computer could not keep it.", true);
    button(item.row, "Leave it out", () => drop(item));
  }

  // An answer may put the whole page in anew: what is on its way is shown there again.
  function stand() {
    const list = document.getElementById("photographs-sending");
    if (list) for (const item of rows.values()) if (!item.row.isConnected) list.append(item.row);
  }

  // Chosen: shown at once, then made smaller and sent on, one after another.

  function chosen(input) {
    const form = input.form;
    const shows = form.querySelector("[name=shows]:checked");
    for (const file of input.files) {
      const item = { blob: file, name: file.name, identity: identity(), url: form.action };
      item.shows = shows.value;
      item.words = shows.closest("label").textContent.trim();
      item.made_at = new Date().toISOString();
      show(item);
      prepared = prepared.then(() => pass(item, file));
    }
    input.value = "";
  }

  async function pass(item, file) {
    item.blob = await smaller(file);
    if (item.blob !== file) item.name = "photograph.jpg";
    const outbox = box();
    const fields = [["shows", item.shows], ["photograph", item.blob, item.name]];
    if (outbox) {
      const kept = { identity: item.identity, made_at: item.made_at, url: item.url, fields, kind: "file", where: "photographs" };
      try {
        await outbox.put({ ...kept, words: "Photograph: " + item.words });
        return;
      } catch {
        // No room on the device: it is sent from here.
      }
    }
    queue.push(item);
    next();
  }

  // With an outbox: what it says of the photographs of this page.

  document.addEventListener("outbox:changed", function () {
    const outbox = box();
    if (!outbox) return;
    for (const kept of outbox.state.items) {
      if (kept.kind !== "file" || kept.page !== location.pathname || kept.user !== outbox.me) continue;
      if (!rows.has(kept.identity)) {
        if (kept.refused) continue;
        const blob = kept.fields.find(([name]) => name === "photograph")[1];
        show({ identity: kept.identity, blob, words: kept.words });
      }
      const item = rows.get(kept.identity);
      const no = outbox.consent && outbox.consent() === "withdrawn";
      if (no) state(item, "will not be kept: the consent was taken back");
      else if (outbox.state.why) state(item, WHY[outbox.state.why] || "waiting on this device");
      leaveOut(item, kept, outbox);
    }
  });
  // What never left the device can be left out.
  function leaveOut(item, kept, outbox) {
    const key = item.row.querySelector("button");
    if (kept.posted && key) key.remove();
    if (kept.posted || key || !outbox.state.why) return;
    button(item.row, "Leave it out", async () => (await outbox.recall(kept)) && drop(item));
  }

  document.addEventListener("outbox:progress", function (event) {
    const item = rows.get(event.detail.item.identity);
    if (item) progress(item, event.detail.part);
  });
  document.addEventListener("outbox:arrived", function (event) {
    const item = rows.get(event.detail.item.identity);
    if (item) done(item, event.detail.answer.html);
  });
  document.addEventListener("outbox:refused", function (event) {
    const item = rows.get(event.detail.item.identity);
    if (!item || event.detail.answer.status !== 422) return;
    event.detail.taken = true;
    refused(item, event.detail.answer.html);
  });

  // Without an outbox: one request at a time, held where one does not get through.

  function next() {
    if (sending || !queue.length) return;
    sending = true;
    const item = queue[0];
    const request = new XMLHttpRequest();
    request.open("POST", item.url);
    const token = document.querySelector("#photographs-new [name=csrfmiddlewaretoken]");
    request.setRequestHeader("X-CSRFToken", token.value);
    request.setRequestHeader("HX-Request", "true");
    request.upload.onprogress = (event) =>
      event.lengthComputable && progress(item, event.loaded / event.total);
    request.onloadend = () => answered(item, request);
    const body = new FormData();
    for (const name of ["identity", "shows", "made_at"]) body.append(name, item[name]);
    body.append("photograph", item.blob, item.name);
    request.send(body);
  }

  function answered(item, request) {
    const arrived = request.status === 200 && request.responseText.includes("photographs-kept");
    if (!arrived && request.status !== 422) return held(item, request.status);
    queue.shift();
    if (arrived) done(item, request.responseText);
    else refused(item, request.responseText);
    sending = false;
    next();
  }

  function held(item, status) {
    const away = "Not sent: the shop's computer answered " + status + ".";
    const signIn = "Not sent: sign in again in another tab.";
    state(item, status === 0 ? "Not sent: no connection." : status === 200 ? signIn : away, true);
    const go = function () {
      for (const made of item.row.querySelectorAll("button")) made.remove();
      sending = false;
      next();
    };
    button(item.row, "Send again", () => (state(item, "sending"), go()));
    button(item.row, "Leave it out", () => (queue.shift(), drop(item), go()));
  }

  document.documentElement.classList.add("js");
  document.addEventListener("htmx:afterSwap", stand);
  document.addEventListener("change", function (event) {
    if (event.target.matches("#photographs-new [type=file]")) chosen(event.target);
  });
  window.addEventListener("beforeunload", function (event) {
    if (queue.length) event.preventDefault();
  });
})();
