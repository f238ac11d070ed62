// Says so when the book cannot be reached or has refused without a word; without it a tap would do nothing.
const told = () => document.getElementById("trouble");

function say(text) {
  const place = told();
  if (!place) return;
  place.textContent = text;
  place.hidden = !text;
  if (text) place.scrollIntoView({ block: "nearest" });
}

document.addEventListener("htmx:sendError", () => say("The book cannot be reached. What you typed is still here: try again."));
document.addEventListener("htmx:timeout", () => say("The book does not answer. What you typed is still here: try again."));
document.addEventListener("htmx:responseError", (event) => {
  const status = event.detail.xhr.status;
  say(status === 403
    ? "The book refused this. Open the page again and send it from there."
    : `The book answered with an error (${status}). Nothing was entered; what you typed is still here.`);
});
document.addEventListener("htmx:beforeRequest", (event) => {
  say("");
  // What was told of the last entry would stand beside the refusal of this one.
  if (event.detail.requestConfig?.verb !== "get") document.querySelectorAll("main > .told").forEach((told) => told.remove());
});

// After a refusal the eye and the screen reader go to the first reason.
document.addEventListener("htmx:afterSettle", (event) => {
  const wrong = event.target.querySelector?.("[aria-invalid], p.problem[role=alert]");
  if (!wrong || wrong.id === "trouble") return;
  wrong.scrollIntoView({ block: "center" });
  if (wrong.matches("input, select, textarea")) wrong.focus({ preventScroll: true });
});
