// Notices on this device. Without this script, or in a browser that cannot, the page's own sentence stays: letters come all the same.
(async () => {
  "use strict";
  const part = document.querySelector("[data-notices]");
  if (!part) return;
  const form = part.querySelector("form[data-device]");
  const told = part.querySelector("[data-told]");
  if (!form || !("serviceWorker" in navigator && "PushManager" in window && "Notification" in window)) return;

  const show = (state, button) => {
    told.textContent = part.dataset[state];
    for (const each of form.querySelectorAll("button")) each.hidden = each.value !== button;
    form.hidden = !button;
  };
  const known = async () => {
    const registration = await navigator.serviceWorker.getRegistration(part.dataset.scope);
    return registration ? registration.pushManager.getSubscription() : null;
  };
  const key = () => {
    const base64 = part.dataset.key.replaceAll("-", "+").replaceAll("_", "/");
    return Uint8Array.from(atob(base64), sign => sign.charCodeAt(0));
  };
  const send = (what, subscription) => {
    const { endpoint, keys = {} } = subscription.toJSON();
    for (const [name, value] of Object.entries({ endpoint, ...keys, do: what })) {
      const field = form.elements.namedItem(name);
      if (field) field.value = value;
    }
    form.submit();
  };
  const begin = async () => {
    if (await Notification.requestPermission() !== "granted") return show("blocked", "");
    await navigator.serviceWorker.register(part.dataset.worker, { scope: part.dataset.scope, updateViaCache: "none" });
    const registration = await navigator.serviceWorker.ready;
    const old = await registration.pushManager.getSubscription();
    if (old) await old.unsubscribe();  // one that was made with another key would never hear of us
    send("on", await registration.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key() }));
  };
  const end = async () => {
    const subscription = await known();
    if (!subscription) return show("can", "on");
    await subscription.unsubscribe();
    send("off", subscription);
  };

  let busy = false;
  form.addEventListener("click", async ({ target }) => {
    if (busy || !target.matches("button")) return;
    busy = true;
    await (target.value === "off" ? end() : begin()).catch(() => show("failed", "on"));
    busy = false;
  });
  const here = await known().catch(() => null);
  if (Notification.permission === "denied") show("blocked", "");
  else if (here && part.dataset.here === "yes") show("on", "off");
  else show("can", "on");
})();
