// What went wrong with a passkey, said on the page.
(function () {
  "use strict";
  document.addEventListener("allauth.error", function (event) {
    event.preventDefault();
    const place = document.getElementById("messages");
    const note = document.createElement("p");
    note.className = "note refusal";
    const given = event.detail.exception && event.detail.exception.name;
    note.textContent =
      given === "NotAllowedError" || given === "AbortError"
        ? "No passkey was used: it was stopped, or this device has none for the shop. Use name and password, or try again."
        : "The passkey did not work here. Use name and password, or try again.";
    if (place) place.replaceChildren(note);
  });
})();
