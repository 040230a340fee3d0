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
const NO_ANSWER = "The server does not answer. What you see may be old.";
const kept = () => JSON.parse(localStorage.getItem(KEPT) || "[]");
const keep = (edits) => localStorage.setItem(KEPT, JSON.stringify(edits));
const key = () => Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, "0")).join("");
const isEdit = (request) => Boolean(request?.body?.has?.("edit_key"));
const beside = (context, words) => {
  const place = context.sourceElement?.querySelector?.(".told");
  if (place) place.textContent = words;
};

document.addEventListener("htmx:config:request", (event) => {
  const { request } = event.detail.ctx;
  request.headers["X-Airledger"] = "page";
  const body = request.body;
  if (body && typeof body.set === "function" && body.has("base") && !body.has("edit_key")) body.set("edit_key", key());
});

document.addEventListener("htmx:after:request", (event) => {
  const { ctx } = event.detail;
  if (ctx.response.status < 400 && banner.textContent === NO_ANSWER) say("");
  if (ctx.response.status < 400 && isEdit(ctx.request)) beside(ctx, "Saved.");
});

document.addEventListener("htmx:error", (event) => {
  const context = event.detail.ctx || {};
  const { request } = context;
  if (!isEdit(request)) {
    say(NO_ANSWER);
    return;
  }
  keep([...kept(), { action: request.action, body: new URLSearchParams(request.body).toString() }]);
  beside(context, "Not saved yet.");
  say("Not saved yet: the server does not answer. Your edit is kept in this browser and sent again.");
});

// What is switched stands in the address, so that a reload, a bookmark and the switch of units keep it.
document.addEventListener("htmx:after:request", (event) => {
  const form = event.detail.ctx.sourceElement;
  if (form?.matches?.(".switches")) history.replaceState(null, "", `?${new URLSearchParams(new FormData(form))}`);
});
document.querySelector(".units")?.addEventListener("submit", (event) => {
  event.target.elements.back.value = location.pathname + location.search;
});

let sending = false;
async function sendKept() {
  if (sending || kept().length === 0) return;
  sending = true;
  try {
    for (const edit of kept()) {
      const answer = await fetch(edit.action, {
        method: "POST",
        headers: { "X-Airledger": "page", "Content-Type": "application/x-www-form-urlencoded" },
        body: edit.body,
      });
      if (answer.status >= 500) return;
      keep(kept().filter((one) => one.body !== edit.body)); // each has a key of its own; another tab may have sent it too
      for (const place of document.querySelectorAll(".told")) if (place.textContent === "Not saved yet.") place.textContent = "";
      say(answer.ok ? "An edit that was kept in this browser is saved now. Load the page to see it."
        : "An edit that was kept in this browser does not fit any more; it was not saved.");
    }
  } catch {
    // still away: the next turn tries again
  } finally {
    sending = false;
  }
}
setInterval(sendKept, 3000);
sendKept();
