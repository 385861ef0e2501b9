// Photographs at the fitting: made smaller on the device and sent one at a time, in the order taken.
(function () {
  "use strict";
  const LONGEST = 2048; // px; what the record keeps
  const queue = [];
  let sending = false;

  // crypto.randomUUID is there on HTTPS only; getRandomValues everywhere.
  function identity() {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
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

  function card(item) {
    const row = document.createElement("li");
    row.className = "waiting";
    row.tabIndex = -1;
    const picture = document.createElement("img");
    picture.alt = "";
    picture.src = item.address = URL.createObjectURL(item.file);
    picture.addEventListener("error", () => picture.remove());
    const words = document.createElement("p");
    words.textContent = item.words;
    const bar = document.createElement("progress");
    bar.max = 1;
    bar.value = 0;
    bar.setAttribute("aria-label", "Sending: " + item.words);
    const state = document.createElement("p");
    state.className = "state";
    state.textContent = "waiting on this device";
    row.append(picture, words, bar, state);
    document.getElementById("photographs-sending").append(row);
    return row;
  }

  function chosen(input) {
    const form = input.form;
    const shows = form.querySelector("[name=shows]:checked");
    for (const file of input.files) {
      const item = { file, identity: identity(), url: form.action, shows: shows.value };
      item.words = shows.closest("label").textContent.trim();
      item.made_at = new Date().toISOString();
      item.row = card(item);
      queue.push(item);
    }
    input.value = "";
    next();
  }

  async function next() {
    if (sending || !queue.length) return;
    sending = true;
    const item = queue[0];
    item.blob = item.blob || (await smaller(item.file));
    state(item, "sending");
    send(item);
  }

  function body(item) {
    const data = new FormData();
    for (const name of ["identity", "shows", "made_at"]) data.append(name, item[name]);
    data.append("photograph", item.blob, item.blob === item.file ? item.file.name : "photograph.jpg");
    return data;
  }

  function send(item) {
    const request = new XMLHttpRequest();
    request.open("POST", item.url);
    request.setRequestHeader("X-CSRFToken", document.querySelector("#photographs-new [name=csrfmiddlewaretoken]").value);
    request.setRequestHeader("HX-Request", "true");
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) item.row.querySelector("progress").value = event.loaded / event.total;
    });
    request.addEventListener("load", () => answered(item, request));
    request.addEventListener("error", () => failed(item, "Not sent: no connection.", true));
    request.send(body(item));
  }

  function answered(item, request) {
    const page = new DOMParser().parseFromString(request.responseText, "text/html");
    const kept = page.getElementById("photographs-kept");
    if (request.status === 200 && kept) return done(item, kept, page);
    const sentence = page.querySelector("[role=alert]");
    if (request.status === 422 && sentence) return failed(item, sentence.textContent, false);
    if (request.status === 200) return failed(item, "Not sent: sign in again in another tab.", true);
    failed(item, "Not sent: the shop's computer answered " + request.status + ".", true);
  }

  function done(item, kept, page) {
    drop(item);
    const said = page.getElementById("said");
    if (said) {
      document.getElementById("said").textContent = said.textContent;
      said.remove();
    }
    document.getElementById("photographs-kept").replaceWith(kept);
    htmx.process(kept);
    sending = false;
    next();
  }

  function drop(item) {
    queue.splice(queue.indexOf(item), 1);
    URL.revokeObjectURL(item.address);
    item.row.remove();
  }

  // A refused photograph steps aside for the next; one that did not get through holds its place.
  function failed(item, sentence, again) {
    state(item, sentence, true);
    const row = item.row;
    if (again) button(row, "Send again", () => { clear(row); sending = false; next(); });
    else queue.splice(queue.indexOf(item), 1);
    button(row, "Leave it out", () => { drop(item); if (again) sending = false; next(); });
    if (again) return;
    sending = false;
    next();
  }

  function state(item, words, bad) {
    const line = item.row.querySelector(".state");
    line.textContent = words;
    line.classList.toggle("failed", Boolean(bad));
    if (bad) line.setAttribute("role", "alert");
  }

  function button(row, words, act) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "quiet";
    made.textContent = words;
    made.addEventListener("click", act);
    row.append(made);
  }

  function clear(row) {
    for (const made of row.querySelectorAll("button")) made.remove();
    const line = row.querySelector(".state");
    line.removeAttribute("role");
  }

  // An answer may put the whole page in anew: what still waits is shown there again.
  function stand() {
    const list = document.getElementById("photographs-sending");
    if (list) for (const item of queue) if (!item.row.isConnected) list.append(item.row);
  }

  document.documentElement.classList.add("js");
  document.addEventListener("htmx:afterSwap", stand);
  document.addEventListener("change", (event) => {
    if (event.target.matches("#photographs-new [type=file]")) chosen(event.target);
  });
  window.addEventListener("beforeunload", (event) => {
    if (queue.length) event.preventDefault();
  });
})();
