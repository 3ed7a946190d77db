// A talk while it is given: where it is, the two windows kept together, and its pictures fetched.
"use strict";

const Talk = (() => {
  const root = document.querySelector("[data-talk]");
  const stops = [...document.querySelectorAll("[data-stop]")];
  const last = stops.length - 1;
  const within = (place) => Math.min(Math.max(place, 0), Math.max(last, 0));

  // ---- where it is ----
  // Times are milliseconds of the machine's clock; ``taken`` is how long each stop has taken so far.
  // ``turn`` counts the changes, so that the newest state is told from an older one.
  const named = stops.findIndex((stop) => `#${stop.id}` === window.location.hash);
  const state = {
    at: within(named < 0 ? Number(root.dataset.at) : named), light: -1, compare: false, dark: false, closer: "",
    began: 0, arrived: 0, taken: stops.map(() => 0), turn: 0,
  };
  const listeners = [];
  const told = (moved) => listeners.forEach((listener) => listener(state, moved));
  const listen = (listener) => { listeners.push(listener); listener(state, false); };

  const adopt = (news) => {
    if (news.turn <= state.turn || news.taken.length !== stops.length) return;
    const moved = news.at !== state.at;
    Object.assign(state, news);
    told(moved);
  };

  let remembering = 0;
  const change = (news) => {
    const moved = "at" in news && news.at !== state.at;
    Object.assign(state, news, { turn: state.turn + 1 });
    told(moved);
    channel?.postMessage({ state });
    window.clearTimeout(remembering);
    remembering = window.setTimeout(remember, 200);
  };

  // ---- the two windows ----
  const name = root.dataset.talk;
  const channel = name && "BroadcastChannel" in window ? new BroadcastChannel(name) : null;
  channel?.addEventListener("message", ({ data }) => {
    if (data.hello && state.turn) channel.postMessage({ state });
    else if (data.state) adopt(data.state);
  });

  // A window that is loaded again goes on where it was.
  const remember = () => {
    try { if (name) sessionStorage.setItem(name, JSON.stringify(state)); } catch { /* it is not needed */ }
  };
  const remembered = () => {
    try { return JSON.parse(sessionStorage.getItem(name) || "null"); } catch { return null; }
  };
  window.addEventListener("pagehide", () => remember());
  const before = name ? remembered() : null;
  if (before && performance.getEntriesByType("navigation")[0]?.type === "reload") adopt(before);
  channel?.postMessage({ hello: true });

  // ---- what can be done ----
  const spent = (now) => state.taken.map((ms, place) => (place === state.at && state.arrived ? ms + now - state.arrived : ms));
  const begin = () => { const now = Date.now(); change({ began: now, arrived: now, taken: stops.map(() => 0) }); };
  const go = (place) => {
    const to = within(place);
    if (to === state.at) { if (state.dark || state.closer) change({ dark: false, closer: "" }); return; }
    const now = Date.now();
    change({ at: to, light: -1, dark: false, closer: "", taken: spent(now), began: state.began || now, arrived: now });
  };
  const pause = () => change({ taken: spent(Date.now()), arrived: 0 });
  const lightsOf = (place) => new Set([...stops[place].querySelectorAll(".light")].map((ring) => Number(ring.dataset.light)));
  const nextLight = () => {
    const lights = [...lightsOf(state.at)].sort((a, b) => a - b);
    const after = lights.filter((light) => light > state.light);
    change({ light: after.length ? after[0] : -1 });
  };
  const acts = {
    on: () => go(state.at + 1),
    back: () => go(state.at - 1),
    first: () => go(0),
    last: () => go(last),
    light: nextLight,
    compare: () => change({ compare: !state.compare }),
    dark: () => change({ dark: !state.dark }),
    "closer-obverse": () => change({ closer: state.closer === "obverse" ? "" : "obverse" }),
    "closer-reverse": () => change({ closer: state.closer === "reverse" ? "" : "reverse" }),
    nearer: () => change({ closer: "", dark: false }),
  };

  // ---- keys ----
  const KEYS = {
    ArrowRight: "on", ArrowDown: "on", PageDown: "on", " ": "on", ArrowLeft: "back", ArrowUp: "back",
    PageUp: "back", Backspace: "back", Home: "first", End: "last", Escape: "nearer",
  };
  const LETTERS = { l: "light", c: "compare", b: "dark", ".": "dark", o: "closer-obverse", r: "closer-reverse" };
  const letterBox = document.querySelector("[data-letters]");
  const letters = () => !letterBox || letterBox.checked;
  const jump = document.querySelector(".jump");
  let digits = "";
  const showDigits = () => { if (jump) { jump.hidden = !digits; jump.textContent = digits; } };
  const typesHere = (target) => target.closest("input:not([type=checkbox]), textarea, select");

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || typesHere(event.target)) return;
    const pressable = event.target.closest("button, a, summary, [role=button], input");
    if (pressable && (event.key === " " || event.key === "Enter")) return;
    if (/^[0-9]$/.test(event.key)) { digits = (digits + event.key).slice(-4); showDigits(); return; }
    const asked = digits;
    digits = "";
    showDigits();
    if (event.key === "Enter") { event.preventDefault(); go(asked ? Number(asked) - 1 : state.at + 1); return; }
    let act = event.key === " " && event.shiftKey ? "back" : KEYS[event.key];
    if (!act && letters()) act = LETTERS[event.key.toLowerCase()];
    if (!act || !acts[act]) return;
    event.preventDefault();
    acts[act]();
  });
  document.addEventListener("click", (event) => {
    const pressed = event.target.closest("[data-act]");
    if (pressed && acts[pressed.dataset.act]) acts[pressed.dataset.act]();
  });

  // ---- pictures: each is fetched before it is needed, and decoded before its stop is shown ----
  const pictures = new Map();
  const ready = document.querySelector("[data-ready]");
  const again = document.querySelector("[data-act=fetch]");
  const hrefs = (element) => [...element.querySelectorAll("image")].map((image) => image.getAttribute("href"));
  const fetched = (href) => new Promise((done) => {
    const picture = new Image();
    picture.onload = () => done(true);
    picture.onerror = () => { pictures.delete(href); done(false); };
    pictures.set(href, picture);
    picture.src = href;
  });
  const say = (words) => { if (ready) ready.textContent = words; };
  // What it is written in is fetched too: a style that first comes at a later stop is not asked for yet.
  const FONTS = ["400 1em 'Source Serif Pro'", "italic 400 1em 'Source Serif Pro'", "600 1em 'Source Serif Pro'",
    "400 1em 'Source Sans Pro'", "600 1em 'Source Sans Pro'"];
  const fetchAll = async () => {
    const all = [...new Set(stops.flatMap(hrefs))].filter((href) => !pictures.has(href));
    const failed = [];
    if (again) again.hidden = true;
    let done = 0;
    const fetchNext = async () => {
      while (done + failed.length < all.length && queue.length) {
        const href = queue.shift();
        if (await fetched(href)) done += 1; else failed.push(href);
        if (ready) say(`${ready.dataset.fetching} ${done} ${ready.dataset.of} ${all.length}`);
      }
    };
    const queue = [...all];
    const fonts = FONTS.map((font) => document.fonts.load(font, root.textContent));
    await Promise.all([1, 2, 3, 4].map(fetchNext));
    for (const font of await Promise.allSettled(fonts)) if (font.status === "rejected") failed.push("a font");
    document.documentElement.dataset.state = failed.length ? "lacking" : "ready";
    if (ready) say(failed.length ? `${ready.dataset.failed} ${failed.length}` : ready.dataset.done);
    if (again) again.hidden = !failed.length;
    nearby();
  };
  acts.fetch = () => {
    for (const image of document.querySelectorAll("image")) {
      const href = image.getAttribute("href");
      if (!pictures.has(href)) image.setAttribute("href", href);
    }
    fetchAll();
  };
  const nearby = () => {
    for (const place of [state.at + 1, state.at - 1, state.at + 2]) {
      if (stops[place]) hrefs(stops[place]).forEach((href) => pictures.get(href)?.decode().catch(() => {}));
    }
  };
  listeners.push((_state, moved) => { if (moved) window.requestAnimationFrame(() => window.setTimeout(nearby)); });

  return { root, stops, last, state, listen, change, go, begin, pause, spent, acts, lightsOf, fetchAll, letters };
})();
