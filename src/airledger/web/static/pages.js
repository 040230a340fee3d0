// What the pages need beyond plain forms: the course of long work, edits kept until they are saved, a banner when they are not.

const banner = document.getElementById("banner");

function say(words) {
  banner.textContent = words;
}

// Long work tells its course; when it is over the page is loaded anew, at the same place.
for (const box of document.querySelectorAll("[data-events]")) {
  const source = new EventSource(box.dataset.events);
  const doing = box.querySelector("[data-doing]");
  const left = box.querySelector("[data-left]");
  source.addEventListener("course", (event) => {
    const told = JSON.parse(event.data);
    if (told.doing) doing.textContent = told.doing;
    left.textContent = told.left_s === null ? "" : `, about ${Math.max(1, Math.round(told.left_s))} s left`;
  });
  source.addEventListener("over", () => {
    source.close();
    location.reload();
  });
  box.querySelector("[data-call-off]").addEventListener("submit", (event) => {
    event.preventDefault();
    fetch(event.target.action, { method: "POST", headers: { "X-Airledger": "page" } });
  });
}

// An edit that the server does not acknowledge stays in this browser and is sent again.
const KEPT = "airledger kept edits";
const kept = () => JSON.parse(localStorage.getItem(KEPT) || "[]");
const keep = (edits) => localStorage.setItem(KEPT, JSON.stringify(edits));
const key = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");

document.addEventListener("htmx:config:request", (event) => {
  const { request } = event.detail.ctx;
  request.headers["X-Airledger"] = "page";
  const body = request.body;
  if (body && typeof body.set === "function" && body.has("base") && !body.has("edit_key")) body.set("edit_key", key());
});

document.addEventListener("htmx:error", (event) => {
  const { request } = event.detail.ctx || {};
  if (!request || !request.body || !request.body.has || !request.body.has("edit_key")) {
    say("The server does not answer. What you see may be old.");
    return;
  }
  keep([...kept(), { action: request.action, body: new URLSearchParams(request.body).toString() }]);
  say("Not saved yet: the server does not answer. Your edit is kept in this browser and sent again.");
});

async function sendKept() {
  for (const edit of kept()) {
    try {
      const answer = await fetch(edit.action, {
        method: "POST",
        headers: { "X-Airledger": "page", "Content-Type": "application/x-www-form-urlencoded" },
        body: edit.body,
      });
      if (answer.status >= 500) return;
      keep(kept().slice(1));
      say(answer.ok ? "An edit that was kept in this browser is saved now. Load the page to see it."
        : "An edit that was kept in this browser does not fit any more; it was not saved.");
    } catch {
      return; // still away: the next turn tries again
    }
  }
}
setInterval(sendKept, 3000);
sendKept();
