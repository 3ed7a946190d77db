// The speaker's window: notes, what is next, and the time used and left against the plan.
"use strict";

(() => {
  const { root, stops, state, acts, listen, change, begin, pause, spent } = Talk;
  const said = document.querySelector("[data-said]");
  document.documentElement.classList.add("scripted");

  // ---- one stop ----
  let shown = -1;
  const faces = (place, into) => {
    const copies = [...stops[place].querySelectorAll(".small-wall:not(.next) > *")].map((one) => one.cloneNode(true));
    copies.forEach((copy) => copy.querySelectorAll(".light").forEach((ring) => ring.remove()));
    into.replaceChildren(...copies);
    into.hidden = false;
  };
  const fit = (notes) => {
    notes.scrollTop = 0;
    for (const size of ["", ".9", ".8", ".7"]) {
      notes.style.fontSize = size && `calc(${size} * var(--notes))`;
      if (notes.scrollHeight <= notes.clientHeight) return;
    }
  };
  window.addEventListener("resize", () => { if (stops.length) fit(stops[state.at].querySelector(".notes")); });
  const show = (moved) => {
    const stop = stops[state.at];
    if (!stop) return;
    if (shown === state.at) return;
    stops.forEach((each, place) => { each.hidden = place !== state.at; });
    shown = state.at;
    const next = stop.querySelector(".next");
    if (next && !next.childElementCount) faces(state.at + 1, next);
    fit(stop.querySelector(".notes"));
    window.history.replaceState(null, "", stop.dataset.address);
    if (moved) said.textContent = stop.querySelector("h2").textContent.replace(/\s+/g, " ").trim();
  };
  const lights = () => {
    document.querySelectorAll(".lit").forEach((one) => one.classList.remove("lit"));
    document.querySelectorAll("[data-light][aria-pressed]").forEach((one) => one.setAttribute("aria-pressed", "false"));
    if (!stops.length) return;
    for (const one of stops[state.at].querySelectorAll(`[data-light="${state.light}"]`)) {
      one.classList.add("lit");
      if (one.hasAttribute("aria-pressed")) one.setAttribute("aria-pressed", "true");
    }
  };
  const light = (one) => { const at = Number(one.dataset.light); change({ light: state.light === at ? -1 : at }); };
  for (const one of document.querySelectorAll(".spot, .light-of")) {
    one.setAttribute("aria-pressed", "false");
    one.disabled = false;
    if (one.matches(".spot")) { one.setAttribute("role", "button"); one.tabIndex = 0; }
    one.addEventListener("click", () => light(one));
    one.addEventListener("keydown", (event) => {
      if (one.matches(".spot") && (event.key === "Enter" || event.key === " ")) { event.preventDefault(); light(one); }
    });
  }

  // ---- the clock ----
  const used = document.querySelector("[data-used]");
  const pacing = document.querySelector("[data-pacing]");
  const start = document.querySelector("[data-act=begin]");
  const planned = Number(root.dataset.planned);
  const seconds = stops.map((stop) => Number(stop.dataset.seconds) || 0);
  const written = (all) => `${Math.floor(all / 60)}:${String(all % 60).padStart(2, "0")}`;
  const inWords = (all) => [all >= 60 ? `${Math.floor(all / 60)} min` : "", all % 60 ? `${all % 60} s` : ""].filter(Boolean).join(" ");
  acts.begin = begin;

  // Seconds over the time there is, if from here on all goes as planned.
  const over = (now) => {
    const taken = spent(now).map((ms) => ms / 1000);
    const left = seconds.slice(state.at).reduce((sum, one) => sum + one, 0) - Math.min(taken[state.at], seconds[state.at]);
    return Math.round(taken.reduce((sum, one) => sum + one, 0) + left - planned);
  };
  // The stop to come that saves enough and costs least time; else the longest ones together.
  const toLeaveOut = (behind) => {
    const able = stops.map((stop, place) => ({ place, seconds: seconds[place], chapter: "chapter" in stop.dataset }))
      .filter((one) => one.place > state.at && one.seconds && !one.chapter)
      .sort((a, b) => a.seconds - b.seconds || b.place - a.place);
    const one = able.find((each) => each.seconds >= behind);
    if (one) return [one.place + 1];
    const found = [];
    for (let saved = 0; able.length && saved < behind && found.length < 4;) { const each = able.pop(); saved += each.seconds; found.push(each.place + 1); }
    return found.sort((a, b) => a - b);
  };
  const advice = (behind) => {
    const words = pacing.dataset;
    if (Math.abs(behind) < 15) return words.onTime;
    if (behind < 0) return `${inWords(-behind)} ${words.ahead}`;
    const out = toLeaveOut(behind);
    const which = out.length > 1 ? `${words.leaveMore} ${out.slice(0, -1).join(", ")} ${words.and} ${out[out.length - 1]}` : `${words.leave} ${out[0]}`;
    return `${inWords(behind)} ${words.behind}${out.length ? `: ${which}` : ""}`;
  };
  const tell = (element, words) => { if (element.textContent !== words) element.textContent = words; };
  const tick = () => {
    const now = Date.now();
    const all = spent(now).reduce((sum, ms) => sum + ms, 0);
    tell(used, written(Math.floor(all / 1000)));
    start.hidden = Boolean(state.began);
    const behind = state.began && planned ? over(now) : 0;
    const late = behind >= 15;
    pacing.classList.toggle("late", late);
    // In steps of five seconds, so that nobody reads a number that never stands still.
    tell(pacing, state.began ? (planned ? advice(5 * Math.round(behind / 5)) : "") : pacing.dataset.unbegun);
  };
  window.setInterval(tick, 500);
  listen((_state, moved) => { show(moved); lights(); tick(); });

  // ---- a rehearsal ----
  const form = document.querySelector("[data-rehearsal]");
  if (form) {
    const kept = form.querySelector("[data-kept]");
    const button = form.querySelector("button");
    form.querySelector("[data-by-script]").hidden = false;
    form.querySelector("[data-by-hand]").hidden = true;
    form.noValidate = true; // its field is filled in below
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (state.arrived) pause();
      form.elements.seconds.value = state.taken.map((ms) => Math.round(ms / 1000)).join(" ");
      button.disabled = true;
      try {
        const answer = await fetch(form.action, { method: "POST", body: new FormData(form) });
        if (answer.ok && answer.redirected && !answer.url.includes("sign-in")) { window.location.assign(answer.url); return; }
        kept.textContent = kept.dataset.refused;
      } catch {
        kept.textContent = kept.dataset.lost;
      }
      button.disabled = false;
      button.textContent = kept.dataset.again;
    });
  }

  root.focus();
  Talk.fetchAll();
})();
