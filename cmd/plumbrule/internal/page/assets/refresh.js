// Replaces what the page says when there is something newer. Without this script the page is complete; a reader then reloads it.
"use strict";
(() => {
  const live = document.getElementById("live");
  if (!window.EventSource || !live) return;
  let shown = document.documentElement.dataset.view;
  let wanted = shown;
  let busy = false;

  const replace = (fresh) => {
    const focused = document.activeElement;
    const address = focused && focused.closest("main, nav") ? focused.getAttribute("href") : null;
    const x = window.scrollX, y = window.scrollY;
    for (const id of ["main", "pages", "asof"]) {
      const from = fresh.getElementById(id), to = document.getElementById(id);
      if (from && to) to.replaceWith(document.adoptNode(from));
    }
    document.title = fresh.title;
    if (address) {
      for (const link of document.querySelectorAll("main a, nav a")) {
        if (link.getAttribute("href") === address) { link.focus({ preventScroll: true }); break; }
      }
    }
    window.scrollTo(x, y);
  };

  const update = async () => {
    if (busy || wanted === shown || document.hidden) return;
    busy = true;
    const heard = wanted;
    try {
      const answer = await fetch(location.pathname, { cache: "no-cache" });
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
      const view = fresh.documentElement.dataset.view;
      if (view) {
        replace(fresh);
        shown = view;
        if (wanted === heard) wanted = view; // otherwise something newer came meanwhile
        live.textContent = "· live";
      } else {
        live.textContent = answer.status === 404 ? "· this page is not there any more" : "· cannot be read anew";
      }
    } catch {
      live.textContent = "· not connected";
    } finally {
      busy = false;
    }
    if (wanted !== heard) update();
  };

  const source = new EventSource("/events");
  source.addEventListener("open", () => { live.textContent = "· live"; });
  source.addEventListener("error", () => { live.textContent = "· not connected, may be out of date"; });
  source.addEventListener("view", (event) => { wanted = event.lastEventId; update(); });
  document.addEventListener("visibilitychange", update);
})();
