// The wall: what listeners see of a talk.
"use strict";

(() => {
  const { root, stops, acts, listen, state, go } = Talk;
  const page = document.documentElement;
  const said = document.querySelector("[data-said]");
  const progress = document.querySelector(".progress");
  const dark = document.querySelector(".dark-wall");
  const bar = document.querySelector(".bar");
  page.classList.add("scripted");
  bar.hidden = false;

  // ---- one stop ----
  let shown = -1;
  const afterPaint = (work) => window.requestAnimationFrame(() => window.setTimeout(work));
  // A stop that waits beside the one shown is painted, but neither seen, nor read out, nor reached.
  const beside = (stop, near) => {
    stop.hidden = near;
    stop.inert = near;
    if (near) stop.setAttribute("aria-hidden", "true");
    else stop.removeAttribute("aria-hidden");
    stop.classList.toggle("near", near);
  };
  const prepare = () => {
    const near = [state.at + 1, state.at - 1].map((place) => stops[place]).filter(Boolean);
    document.querySelectorAll(".stop.near").forEach((stop) => { if (!near.includes(stop)) stop.classList.remove("near"); });
    near.forEach((stop) => beside(stop, true));
  };
  const show = (moved) => {
    const stop = stops[state.at];
    if (!stop) return;
    if (shown !== state.at) {
      if (shown < 0) stops.forEach((each) => { each.hidden = true; });
      else { beside(stops[shown], true); stops[shown].classList.remove("moved"); }
      beside(stop, false);
      stop.classList.toggle("moved", moved);
      shown = state.at;
      stop.scrollTop = 0;
      afterPaint(() => { prepare(); keepAddress(stop); });
    }
    const words = `${state.at + 1} / ${stops.length}`;
    progress.querySelector(".done").setAttribute("width", (1000 * (state.at + 1)) / stops.length);
    progress.setAttribute("aria-label", words);
    if (moved) announce(stop, words);
  };
  const keepAddress = (stop) => {
    try { window.history.replaceState(null, "", stop.dataset.address); } catch { /* a file that may not */ }
  };
  const text = (stop, chosen) => [...stop.querySelectorAll(chosen)].map((one) => one.textContent.replace(/\s+/g, " ").trim());
  const announce = (stop, words) => {
    const faces = [...stop.querySelectorAll(".faces .face")].map((face) => face.getAttribute("aria-label"));
    said.textContent = [
      words, ...text(stop, "h2, .under, .lines li, .caption, .changed"), ...faces,
    ].filter(Boolean).join(". ");
  };

  // ---- the one before, faint beside it, and its width drawn round each face ----
  const compare = () => {
    const stop = stops[state.at];
    const ghost = stop?.querySelector(".ghost");
    const before = stops.find((each) => each.dataset.stop === stop?.dataset.before);
    const comparing = Boolean(state.compare && ghost && before);
    page.classList.toggle("comparing", comparing);
    if (ghost) ghost.hidden = !comparing;
    if (!comparing) return;
    if (!ghost.querySelector(".face")) {
      const faces = [...before.querySelectorAll(".faces .face")];
      const copy = faces[faces.length - 1].cloneNode(true);
      copy.setAttribute("viewBox", copy.dataset.closer);
      copy.querySelectorAll(".light, .before-ring").forEach((ring) => ring.remove());
      ghost.prepend(copy);
    }
    const width = before.querySelector(".faces .face").dataset.width;
    stop.querySelectorAll(".faces .before-ring").forEach((ring) => ring.setAttribute("r", width / 2));
  };

  // ---- a light, closer, a dark wall ----
  const lights = () => {
    document.querySelectorAll(".light.lit").forEach((ring) => ring.classList.remove("lit"));
    const rings = [...stops[state.at].querySelectorAll(`.light[data-light="${state.light}"]`)];
    rings.forEach((ring) => ring.classList.add("lit"));
    if (rings.length && rings[0].dataset.words !== said.textContent) said.textContent = rings[0].dataset.words;
  };
  const near = document.createElement("div");
  near.className = "closer";
  near.hidden = true;
  document.body.append(near);
  const closer = () => {
    const face = state.closer && stops[state.at].querySelector(`.faces .face[data-side="${state.closer}"]`);
    near.hidden = !face;
    near.replaceChildren();
    if (!face) return;
    const copy = face.cloneNode(true);
    copy.setAttribute("viewBox", face.dataset.closer);
    copy.querySelector(".before-ring")?.remove();
    near.append(copy);
  };
  const pressed = () => {
    const on = {
      light: state.light >= 0, compare: state.compare, dark: state.dark,
      "closer-obverse": state.closer === "obverse", "closer-reverse": state.closer === "reverse",
    };
    for (const [act, is] of Object.entries(on)) bar.querySelector(`[data-act="${act}"]`).setAttribute("aria-pressed", String(is));
  };
  listen((_state, moved) => {
    show(moved);
    if (!stops.length) return;
    compare();
    lights();
    closer();
    dark.hidden = !state.dark;
    pressed();
  });

  // ---- the screen itself ----
  acts.full = () => {
    if (document.fullscreenElement) document.exitFullscreen();
    else page.requestFullscreen?.();
  };
  acts.hall = () => { page.classList.toggle("light-hall"); page.classList.toggle("dark-hall"); };
  acts.notes = () => page.classList.toggle("with-notes");
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey || !Talk.letters() || event.target.closest("input")) return;
    const act = { f: "full", h: "hall", n: "notes" }[event.key.toLowerCase()];
    if (act) acts[act]();
  });

  // ---- touch, and the pointer ----
  let idle = 0;
  const stir = () => {
    page.classList.add("stirred");
    window.clearTimeout(idle);
    idle = window.setTimeout(() => page.classList.remove("stirred"), 3000);
  };
  document.addEventListener("pointermove", (event) => { if (event.movementX || event.movementY) stir(); });
  let from = null;
  document.addEventListener("pointerdown", (event) => { from = { x: event.clientX, y: event.clientY }; });
  document.addEventListener("pointerup", (event) => {
    const start = from;
    from = null;
    if (!start || event.button || event.target.closest("button, a, label, input, .notes")) return;
    const across = event.clientX - start.x;
    if (Math.abs(across) > 40 && Math.abs(across) > 2 * Math.abs(event.clientY - start.y)) {
      go(state.at + (across < 0 ? 1 : -1));
    } else if (Math.abs(across) < 8) press(event);
  });
  const press = (event) => {
    const face = event.target.closest(".faces .face");
    if (state.closer || state.dark) acts.nearer();
    else if (face) acts[`closer-${face.dataset.side}`]?.();
    else if (event.pointerType === "touch" && event.clientY > 0.88 * window.innerHeight) stir();
    else go(state.at + (event.clientX < window.innerWidth / 3 ? -1 : 1));
  };

  root.focus();
  Talk.fetchAll();
})();
