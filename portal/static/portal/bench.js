// Photographs at the bench: sent one by one as soon as they are taken, while the finding is still being written. Each shows
// how far it is, waits for the darkroom, and says why when it fails. Without this script they go with the form.
(() => {
  "use strict";
  document.documentElement.classList.add("scripted");
  const status = document.getElementById("status");
  const words = document.getElementById("flash").dataset;
  const queue = [];
  let sending = 0;
  let afterwards = null;

  const placeholder = (input, file) => {
    const place = document.createElement(input.closest(".shots") ? "div" : "p");
    place.className = input.closest(".shots") ? "shot waits" : "small waits";
    const thumb = document.createElement("p");
    thumb.className = "thumb";
    const bar = document.createElement("progress");
    bar.setAttribute("aria-label", file.name);
    const words = document.createElement("span");
    words.className = "state";
    words.textContent = input.dataset.sending;
    thumb.append(bar, words);
    place.append(...(place.tagName === "P" ? thumb.childNodes : [thumb]));
    input.closest("label").before(place);
    return place;
  };

  const redraw = root => root.querySelector("[data-axis=x]")?.dispatchEvent(new Event("input", { bubbles: true }));

  const put = (place, html) => {
    const template = document.createElement("template");
    template.innerHTML = html;
    const fresh = template.content.firstElementChild;
    if (!fresh) return;
    place.replaceWith(fresh);
    htmx.process(fresh);
    redraw(fresh);
  };

  const lost = (place, input, file, sentence) => {
    const again = document.createElement("button");
    again.type = "button";
    again.className = "quiet";
    again.textContent = input.dataset.again;
    again.addEventListener("click", () => { place.remove(); add(input, [file]); });
    const why = document.createElement(place.tagName === "P" ? "span" : "p");
    why.className = "why";
    why.setAttribute("role", "alert");
    why.append(`${file.name}: ${sentence} `, again);
    place.replaceChildren(why);
    place.classList.replace("waits", "failed");
  };

  const send = ({ input, file, place }) => new Promise(done => {
    const request = new XMLHttpRequest();
    const body = new FormData();
    body.append("photos", file);
    body.append("purpose", input.dataset.purpose);
    body.append("csrfmiddlewaretoken", input.form.elements.csrfmiddlewaretoken.value);
    request.open("POST", input.dataset.upload);
    request.setRequestHeader("HX-Request", "true");
    request.timeout = 120000;
    request.upload.addEventListener("progress", event => {
      const bar = place.querySelector("progress");
      if (!bar || !event.lengthComputable) return;
      bar.max = event.total;
      bar.value = event.loaded;
    });
    request.addEventListener("load", () => {
      const login = request.getResponseHeader("HX-Redirect");
      if (login) location.assign(login);
      else if (request.status === 200 || request.status === 422) put(place, request.responseText);
      else lost(place, input, file, request.status === 413 ? words.large : request.status === 403 ? words.stale : words.server);
    });
    for (const name of ["error", "timeout", "abort"]) request.addEventListener(name, () => lost(place, input, file, input.dataset.slow));
    request.addEventListener("loadend", done);
    request.send(body);
  });

  const work = async () => {
    if (sending) return;
    sending = 1;
    while (queue.length) await send(queue.shift());
    sending = 0;
    if (afterwards) afterwards();
    afterwards = null;
  };

  const add = (input, files) => {
    for (const file of files) queue.push({ input, file, place: placeholder(input, file) });
    document.querySelector(".none-yet")?.remove();
    work();
  };

  document.addEventListener("change", ({ target }) => {
    if (!target.matches("input[data-upload]")) return;
    add(target, [...target.files]);
    target.value = "";
  });

  // A form sent while photographs are on their way waits for them, or they would be left behind. On window, so that it is
  // heard before the guard against a second press.
  window.addEventListener("submit", event => {
    const input = event.target.querySelector("input[data-upload]");
    if (!input || !sending) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const { submitter, target } = event;
    afterwards = () => target.requestSubmit(submitter);
    if (status) status.textContent = input.dataset.wait;
    submitter?.setAttribute("aria-disabled", "true");
  }, true);

  document.addEventListener("click", ({ target }) => {
    const button = target.closest("[data-remove]");
    if (button) button.closest(".shot, .small").remove();
  });

  // The chosen explanation asks for its facts at once; the button is for who has no script.
  document.addEventListener("change", ({ target }) => {
    if (target.id === "id_explanation") target.closest(".row").querySelector("button").click();
  });

  // The search and its list are one thing under the keys: Ctrl+K goes to the search from anywhere, the arrows walk through
  // the list and back, Enter takes what has the focus, or the first. A key pressed before the list is the one for what was
  // typed waits for it. Enter in a field never posts a finding by accident; with Ctrl or Cmd, anywhere on the sheet, it posts.
  let wanted = null;
  const search = () => document.getElementById("look");
  const offered = () => [...document.querySelectorAll("#suggested button")];
  const settle = () => {
    const list = document.getElementById("suggested");
    if (!wanted || !list || list.dataset.looked !== search().value.trim()) return;
    const act = wanted;
    wanted = null;
    if (offered().length) act(offered()[0]);
  };
  const whenListed = act => { wanted = act; settle(); };
  const toSearch = () => {
    search().closest("details").open = true;
    search().focus();
    search().select();
  };

  const inSearch = key => {
    if (key === "Enter") whenListed(first => first.click());
    else if (key === "ArrowDown") whenListed(first => first.focus());
    else return false;
    return true;
  };
  const inList = (key, button) => {
    const buttons = offered(), at = buttons.indexOf(button);
    const to = { ArrowDown: at + 1, ArrowUp: at - 1, Home: 0, End: buttons.length - 1 }[key];
    if (to === undefined && key !== "Escape") {
      if (key.length === 1 && key !== " ") search().focus(); // typing goes on in the search
      return false;
    }
    (buttons[to] || (to === buttons.length ? button : search())).focus();
    return true;
  };

  document.addEventListener("keydown", event => {
    const { target, key } = event;
    const chord = event.ctrlKey || event.metaKey;
    if (chord && key.toLowerCase() === "k" && search()) {
      event.preventDefault();
      toSearch();
    } else if (chord || event.altKey || !target.closest("#sheet")) {
      if (chord && key === "Enter" && target.closest("#sheet")) {
        event.preventDefault();
        document.querySelector("#sheet .post .act").click();
      }
    } else if (target.id === "look" ? inSearch(key) : target.matches("#suggested button") && inList(key, target)) {
      event.preventDefault();
    } else if (key === "Enter" && target.matches("input")) {
      event.preventDefault();
    }
  });
  document.addEventListener("input", ({ target }) => { if (target.id === "look") wanted = null; });
  document.addEventListener("htmx:afterSettle", settle);

  document.addEventListener("htmx:afterSwap", ({ detail }) => {
    const fresh = document.getElementById(detail.elt.id) || detail.elt;
    if (fresh.matches?.("[data-marks]")) redraw(fresh);
  });
})();
