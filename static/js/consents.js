// A consent said without network: the camera follows it at once, and the record as soon as it can.
(function () {
  "use strict";
  const box = window.outbox;
  if (!box || !box.me) return;

  // What waits of the consent to photographs: "agreed", "withdrawn" or "".
  function says() {
    let said = "";
    for (const item of box.state.items) {
      const given = new Map(item.fields);
      if (item.page !== location.pathname || item.user !== box.me || item.refused) continue;
      if (given.get("consent") === "photographs") said = given.get("says");
    }
    return said;
  }

  function stand() {
    const camera = document.getElementById("camera");
    if (!camera) return;
    const said = says();
    const on = said ? said === "agreed" : camera.dataset.agreed !== undefined;
    const ready = document.getElementById("camera-ready");
    const form = document.getElementById("photographs-new");
    if (on && !form && ready) camera.append(ready.content.cloneNode(true));
    if (!on && form && ready) form.remove();
    if (form) form.hidden = !on;
    for (const told of camera.querySelectorAll(".camera-off")) told.hidden = on;
    head(said);
  }

  // The line at the head of the page never says otherwise than what was just said here.
  function head(said) {
    const line = document.getElementById("consents-said");
    if (!line) return;
    const old = line.querySelector(".consent-waits");
    if (old) old.remove();
    if (!said) return;
    const told = document.createElement("strong");
    told.className = "consent-waits";
    told.textContent = " Photographs to fit by: " + (said === "agreed" ? "agreed" : "taken back") + ", waiting on this device.";
    line.append(told);
  }

  document.addEventListener("outbox:changed", stand);
  document.addEventListener("htmx:afterSwap", stand);
  box.consent = says;
})();
