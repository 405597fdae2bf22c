// What pages do beyond plain HTML. Everything works without it; nothing here is inline, so the policy stays strict.
(() => {
  "use strict";
  const flash = document.getElementById("flash");
  const status = document.getElementById("status");
  const words = flash ? flash.dataset : {};

  // 0. htmx notes the address in the tab's storage. A shared phone should keep nothing.
  const forget = () => { try { sessionStorage.removeItem("htmx-current-path-for-history"); } catch { /* no storage: nothing kept */ } };
  for (const name of ["pushedIntoHistory", "replacedInHistory", "historyRestore"]) document.addEventListener("htmx:" + name, forget);
  forget();

  // 1. A request that failed says so, in words, with a way on. Regions marked data-quiet (live polling) fail in silence.
  const tell = (sentence, button, act) => {
    if (!flash) return;
    const again = document.createElement("button");
    again.type = "button";
    again.className = "quiet";
    again.textContent = button;
    again.addEventListener("click", () => { flash.replaceChildren(); act(); });
    const text = document.createElement("span");
    text.textContent = sentence;
    flash.replaceChildren(text, again);
  };
  const retry = ({ elt, requestConfig }) => {
    const event = requestConfig && requestConfig.triggeringEvent;
    if (elt.matches("form") && (!event || event.type === "submit")) elt.requestSubmit();
    else htmx.trigger(elt, event ? event.type : "click");
  };
  const failed = sentence => ({ detail }) => {
    if (!detail.elt.closest("[data-quiet]")) tell(sentence, words.retry, () => retry(detail));
  };
  document.addEventListener("htmx:sendError", failed(words.offline));
  document.addEventListener("htmx:timeout", failed(words.slow));
  document.addEventListener("htmx:responseError", event => {
    const code = event.detail.xhr.status;
    const reload = { 401: words.stale, 403: words.stale, 404: words.gone, 409: words.gone, 410: words.gone }[code];
    if (event.detail.elt.closest("[data-quiet]")) return;
    if (reload) tell(reload, words.reload, () => location.reload());
    else failed({ 413: words.large, 429: words.busy }[code] || words.server)(event);
  });
  document.addEventListener("htmx:beforeRequest", ({ detail }) => {
    if (flash && !detail.elt.closest("[data-quiet]")) flash.replaceChildren();
  });
  // The server may send news to be read out: HX-Trigger: {"say": "Saved."}
  document.addEventListener("say", ({ detail }) => { if (status) status.textContent = detail.value; });

  // 2. One press sends once. The button keeps the focus; it is marked, not switched off.
  const sending = (form, on) => {
    form.toggleAttribute("data-sending", on);
    form.setAttribute("aria-busy", String(on));
    form.querySelectorAll("button:not([type=button])").forEach(button => button.setAttribute("aria-disabled", String(on)));
  };
  document.addEventListener("submit", event => {
    if (event.target.hasAttribute("data-sending")) {
      event.preventDefault();
      event.stopImmediatePropagation();
    } else if (!event.defaultPrevented && event.target.method === "post" && !event.submitter?.formTarget) { // a frame's answer leaves the form here
      sending(event.target, true);
    }
  }, true);
  const sent = ({ detail }) => { if (detail.elt.matches("form[data-sending]")) sending(detail.elt, false); };
  for (const name of ["afterRequest", "validation:halted", "abort"]) document.addEventListener("htmx:" + name, sent);
  window.addEventListener("pageshow", () => document.querySelectorAll("form[data-sending]").forEach(form => sending(form, false)));

  // 3. Photographs on their way: <progress> inside the form, hidden until there is something to show.
  document.addEventListener("htmx:xhr:progress", ({ target, detail }) => {
    const bar = target.querySelector && target.querySelector("progress");
    if (!bar || !detail.lengthComputable) return;
    bar.hidden = false;
    bar.max = detail.total;
    bar.value = detail.loaded;
  });

  // 4. A swap by the user's own act takes the focus to what matters; a live one takes nothing: not the focus, not what is
  //    being typed, not an opened explanation.
  const isDirty = field => field.matches("textarea, input:not([type=hidden], [type=radio], [type=checkbox])") && field.value !== field.defaultValue;
  const nameOf = node => node.id ? "#" + CSS.escape(node.id) : node.matches("details[id] > summary") ? nameOf(node.parentNode) + " > summary"
    : node.matches("a[href]") ? `a[href="${CSS.escape(node.getAttribute("href"))}"]` : "";
  let opened = [], focused = "";
  document.addEventListener("htmx:beforeSwap", ({ detail }) => {
    const fields = [...detail.target.querySelectorAll("input, textarea, select")];
    const busy = fields.some(field => field === document.activeElement || isDirty(field));
    if (busy && detail.elt.closest("[data-quiet]")) detail.shouldSwap = false;
    opened = [...detail.target.querySelectorAll("details[open][id]")].map(each => each.id);
    focused = detail.target.contains(document.activeElement) ? nameOf(document.activeElement) : "";
  });
  document.addEventListener("htmx:afterSettle", ({ detail }) => {
    for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
    if (focused && document.activeElement === document.body) document.querySelector(focused)?.focus({ preventScroll: true });
    const event = detail.requestConfig && detail.requestConfig.triggeringEvent;
    if (!event || !["submit", "click"].includes(event.type)) return;
    const root = document.contains(detail.target) ? detail.target : document;
    const wanted = root.querySelector("[data-autofocus]") || root.querySelector("[aria-invalid=true]");
    if (wanted) wanted.focus();
  });
  document.querySelector("main [data-autofocus]")?.focus();

  // 5. Marks on a photograph at the bench: tap where the ring belongs. [data-marks] holds the img and, for each mark, two
  //    number fields [data-mark=n][data-axis=x|y] in per mille; without a pointer they are filled in by hand.
  const pair = (desk, n) => ["x", "y"].map(axis => desk.querySelector(`[data-mark="${n}"][data-axis="${axis}"]`));
  const numbers = desk => [...desk.querySelectorAll("[data-axis=x]")].map(field => field.dataset.mark);
  const next = desk => numbers(desk).find(n => pair(desk, n).some(field => field.value === ""));
  const spot = (img, event) => {
    const box = img.getBoundingClientRect();
    // The attributes know the shape before the photograph has come.
    const [wide, high] = ["width", "height"].map(side => Number(img.getAttribute(side)));
    const scale = Math.max(box.width / wide, box.height / high);
    return [["width", event.clientX - box.left], ["height", event.clientY - box.top]].map(([side, at]) => {
      const whole = scale * (side === "width" ? wide : high);
      return Math.round(Math.min(1000, Math.max(0, 1000 * (at + (whole - box[side]) / 2) / whole)));
    });
  };
  const shape = (svg, name, attributes, text) => {
    const node = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
    if (text) node.textContent = text;
    svg.append(node);
  };
  const redraw = desk => {
    const svg = desk.querySelector("svg.marks");
    if (!svg) return;
    const high = svg.viewBox.baseVal.height;
    svg.replaceChildren();
    for (const n of numbers(desk)) {
      const [x, y] = pair(desk, n).map(field => field.value);
      if (x === "" || y === "") continue;
      const ring = { cx: x * 1.2, cy: y * high / 1000 };
      for (const kind of ["c", "w"]) shape(svg, "circle", { ...ring, r: 74, class: kind });
      shape(svg, "text", { x: ring.cx, y: ring.cy + 19, class: "on" }, n);
    }
    const hint = desk.querySelector("[data-next]");
    if (hint) hint.textContent = next(desk) || "–";
  };
  document.addEventListener("click", event => {
    const desk = event.target.closest("[data-marks]");
    const back = desk && event.target.closest("[data-unmark]");
    const bed = desk && event.target.closest(".bed");
    if (!back && !bed) return;
    event.preventDefault();
    const n = back ? numbers(desk).filter(each => pair(desk, each)[0].value !== "").pop() : next(desk);
    if (!n) return;
    const values = back ? ["", ""] : spot(bed.querySelector("img"), event);
    pair(desk, n).forEach((field, axis) => { field.value = values[axis]; });
    redraw(desk);
  });
  document.addEventListener("input", event => { if (event.target.dataset.mark) redraw(event.target.closest("[data-marks]")); });
  document.querySelectorAll("[data-marks]").forEach(redraw);
})();
