// What is tapped is kept on the device before it is sent, and sent in order until it has arrived.
//
// The store is IndexedDB; nothing here needs HTTPS, a service worker or background sync. What is on
// the page is told by events on the document: "outbox:changed", "outbox:progress", "outbox:arrived",
// "outbox:refused"; the pages' own scripts (kept.js, photographs.js) show it.
(function () {
  "use strict";
  const AGAIN = 15000; // ms between tries while something waits
  const PATIENCE = { form: 20000, file: 120000 }; // ms until an answer counts as lost
  const LATER = [408, 429, 502, 503, 504];
  const place = document.getElementById("outbox");
  if (!place || !window.indexedDB) return;
  const me = place.dataset.user;
  const state = { items: [], why: "", ready: false, known: false, offline: !navigator.onLine };
  let running = false;

  const database = new Promise(function (done, failed) {
    const asked = indexedDB.open("outbox", 1);
    asked.onupgradeneeded = function () {
      asked.result.createObjectStore("items", { keyPath: "place", autoIncrement: true });
      asked.result.createObjectStore("lease", { keyPath: "name" });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
    asked.onblocked = () => failed(new Error("blocked"));
  });

  // One transaction; resolves when it is on the disk, with what `work` asked for.
  async function within(store, mode, work) {
    const transaction = (await database).transaction(store, mode);
    return new Promise(function (done, failed) {
      const asked = work(transaction.objectStore(store));
      transaction.oncomplete = () => done(asked && asked.result);
      transaction.onabort = transaction.onerror = () => failed(transaction.error);
    });
  }

  const other = "BroadcastChannel" in window ? new BroadcastChannel("outbox") : null;
  if (other) other.onmessage = (event) => look(event.data);

  function tell(name, detail) {
    document.dispatchEvent(new CustomEvent("outbox:" + name, { detail }));
  }

  async function look(arrived) {
    state.items = await within("items", "readonly", (items) => items.getAll());
    state.known = true;
    tell("changed", { arrived });
  }

  async function changed(arrived) {
    await look();
    if (other) other.postMessage(arrived || "");
  }

  // crypto.randomUUID is there on HTTPS only; getRandomValues everywhere.
  function identity() {
    if (crypto.randomUUID) return crypto.randomUUID();
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  // Keeps one thing to be sent: { identity, made_at, url, fields: [[name, value, filename]], words,
  // kind, where, mends }. Resolves when it is on the disk.
  async function put(item) {
    const made = {
      ...item,
      user: me,
      name: place.dataset.name,
      page: location.pathname,
      search: location.search,
      made_at: item.made_at || new Date().toISOString(),
      tries: 0,
      posted: false,
      refused: "",
    };
    made.fields = made.fields.filter(([name]) => name !== "made_at" && name !== "identity");
    made.fields.push(["identity", made.identity], ["made_at", made.made_at]);
    made.place = await within("items", "readwrite", function (items) {
      if (item.mends) items.delete(item.mends);
      return items.add(made);
    });
    await changed();
    send();
    return made.place;
  }

  // Takes out what never left this device. False: its sending was begun, and the record may have it.
  async function recall(item) {
    let gone = false;
    await change(item, function (kept, items) {
      gone = !kept.posted;
      if (gone) items.delete(kept.place);
    });
    if (gone) {
      await changed();
      tell("recalled", { item });
    }
    return gone;
  }

  // What is done to an item, if it is still there.
  function change(item, work) {
    return within("items", "readwrite", function (items) {
      const asked = items.get(item.place);
      asked.onsuccess = () => asked.result && work(asked.result, items);
    });
  }

  // From now on the record may have it.
  async function claim(item) {
    let mine = false;
    await change(item, (kept, items) => (mine = true) && items.put({ ...kept, posted: true }));
    return mine;
  }

  async function drop(places) {
    await within("items", "readwrite", (items) => places.forEach((one) => items.delete(one)));
    await changed();
  }

  async function again(item) {
    await change(item, (kept, items) => items.put({ ...kept, refused: "", tries: 1 }));
    await changed();
    send();
  }

  // One tab sends at a time: by the browser's locks, or where these are missing by a lease that
  // runs out when its tab is gone. The server keeps each identity once in any case.
  function alone(work) {
    if (navigator.locks) return navigator.locks.request("outbox", work);
    return leased(work);
  }

  const tab = identity();
  async function take(until) {
    let mine = false;
    await within("lease", "readwrite", function (leases) {
      const asked = leases.get("send");
      asked.onsuccess = function () {
        const lease = asked.result;
        mine = !lease || lease.tab === tab || lease.until < Date.now();
        if (mine) leases.put({ name: "send", tab, until });
      };
    });
    return mine;
  }

  async function leased(work) {
    if (!(await take(Date.now() + 10000))) return void setTimeout(send, 1000);
    const held = setInterval(() => take(Date.now() + 10000), 3000);
    try {
      await work();
    } finally {
      clearInterval(held);
      await take(0);
    }
  }

  async function send() {
    if (!me || running) return;
    running = true;
    try {
      await alone(async function () {
        await look();
        for (let item = first(); item && (await one(item)); ) item = first();
      });
    } catch (fault) {
      state.why = "store";
    } finally {
      running = false;
      tell("changed", {});
    }
  }

  // In order; a consent taken back goes ahead of the photographs that still wait.
  function first() {
    const mine = state.items.filter((item) => item.user === me && !item.refused);
    return mine.find((item) => item.ahead) || mine[0];
  }

  // Sends the first of the row. True: the next one may go.
  async function one(item) {
    if (await offline()) return stop("offline");
    if (!(await claim(item))) return look().then(() => true);
    const answer = await post(item);
    const why = waits(answer, item);
    if (why) {
      await change(item, (kept, items) => items.put({ ...kept, tries: kept.tries + 1 }));
      await look();
      return stop(why);
    }
    state.why = "";
    if (answer.status < 300) return arrived(item, answer);
    return refused(item, answer);
  }

  // The shop's computer may be this one: then it answers without any network.
  async function offline() {
    const look = () => fetch(place.dataset.health, { method: "HEAD", cache: "no-store" });
    state.offline = !navigator.onLine && !(await look().then(() => true, () => false));
    return state.offline;
  }

  function stop(why) {
    state.why = why;
    return false;
  }

  // Why it has to wait, or nothing: then it has arrived, or is refused for good.
  function waits(answer, item) {
    if (!answer.status) return "offline";
    if (answer.address.startsWith(place.dataset.signIn)) return "signed-out";
    if (answer.status === 412) return "somebody-else";
    if (LATER.includes(answer.status)) return "away";
    const fault = answer.status >= 500 || answer.status === 403;
    return fault && item.tries < 2 ? "away" : "";
  }

  function token() {
    const found = /(?:^|; )(?:__Host-)?csrftoken=([^;]+)/.exec(document.cookie);
    return found ? found[1] : place.dataset.token;
  }

  function post(item) {
    const body = new FormData();
    for (const [name, value, filename] of item.fields)
      if (filename) body.append(name, value, filename);
      else body.append(name, value);
    return new Promise(function (done) {
      const request = new XMLHttpRequest();
      request.open("POST", item.url);
      request.timeout = PATIENCE[item.kind] || PATIENCE.form;
      request.setRequestHeader("X-CSRFToken", token());
      request.setRequestHeader("HX-Request", "true");
      request.setRequestHeader("Made-By", item.user);
      request.setRequestHeader("Sent-At", new Date().toISOString());
      request.upload.onprogress = (event) =>
        event.lengthComputable && tell("progress", { item, part: event.loaded / event.total });
      request.onloadend = () =>
        done({
          status: request.status,
          address: request.responseURL ? new URL(request.responseURL).pathname : "",
          html: request.responseText || "",
          retarget: request.getResponseHeader("HX-Retarget"),
          reswap: request.getResponseHeader("HX-Reswap"),
        });
      request.send(body);
    });
  }

  async function arrived(item, answer) {
    await within("items", "readwrite", (items) => items.delete(item.place));
    await changed("arrived");
    tell("arrived", { item, answer });
    return true;
  }

  // Whoever listens may take the refusal up where it was entered; else it stays and needs somebody.
  async function refused(item, answer) {
    const detail = { item, answer, taken: false };
    tell("refused", detail);
    item.refused = detail.taken ? "" : sentence(answer);
    await change(item, (kept, items) =>
      detail.taken ? items.delete(kept.place) : items.put({ ...kept, refused: item.refused }),
    );
    await changed();
    return true;
  }

  function sentence(answer) {
    const page = new DOMParser().parseFromString(answer.html, "text/html");
    const told = page.querySelectorAll(".errorlist li, [role=alert], .refusal");
    const words = new Set(Array.from(told, (one) => one.textContent.trim()).filter(Boolean));
    if (words.size) return Array.from(words).join(" ");
    if (answer.status === 404) return "What this belongs to is no longer there.";
    return "The shop's computer could not keep it (answer " + answer.status + ").";
  }

  for (const name of ["online", "pageshow"]) window.addEventListener(name, send);
  for (const name of ["online", "offline"])
    window.addEventListener(name, async function () {
      if ((await offline()) && first()) state.why = "offline";
      tell("changed", {});
    });
  document.addEventListener("visibilitychange", () => document.hidden || send());
  setInterval(() => first() && send(), AGAIN);
  // A warning only when the shop's pages are left while something waits; it is kept all the same.
  let onward = 0;
  for (const name of ["click", "submit"])
    document.addEventListener(name, function (event) {
      if (name === "submit" || event.target.closest("a[href]")) onward = Date.now();
    });
  window.addEventListener("beforeunload", function (event) {
    if (first() && Date.now() - onward > 1000) event.preventDefault();
  });
  database.then(
    function () {
      state.ready = true;
      offline().then(look).then(send);
    },
    () => {},
  );
  window.outbox = { put, drop, recall, again, send, identity, state, me };
})();
