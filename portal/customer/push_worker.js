// Shows a notice that was pushed, and opens the page when it is pressed. Keeps nothing and answers no requests.
"use strict";

const PAGE = /^\/my\/[0-9A-Za-z-]+\/$/;  // where a press may lead: a customer's own page, and nowhere else

self.addEventListener("push", event => {
  let told = {};
  try { told = event.data.json(); } catch { /* unreadable: a notice has to be shown all the same */ }
  const path = PAGE.test(told.path) ? told.path : "/";
  event.waitUntil(self.registration.showNotification(String(told.title || self.location.host), {
    body: String(told.body || ""),
    lang: String(told.lang || ""),
    tag: String(told.tag || path),
    renotify: true,
    data: { path },
  }));
});

self.addEventListener("notificationclick", event => {
  event.notification.close();
  const address = new URL(event.notification.data?.path || "/", self.location.origin).href;
  event.waitUntil((async () => {
    const open = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
    const there = open.find(each => each.url.split("#")[0] === address);
    return there ? there.focus() : self.clients.openWindow(address);
  })());
});
