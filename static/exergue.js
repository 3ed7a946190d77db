// Small conveniences; every page works without them.
"use strict";

// A field marked data-submit sends its form when it changes.
document.addEventListener("change", (event) => {
  const field = event.target.closest("[data-submit]");
  if (field && field.form) field.form.requestSubmit();
});

// A drawer is read from its head when it opens; one whose value "more" was asked for opens again.
document.addEventListener("toggle", (event) => {
  if (event.target.matches(".drawer") && event.newState === "open") event.target.querySelector("h2").focus();
}, true);
document.querySelector(".drawer[data-open]")?.checkVisibility() === false && document.querySelector(".drawer").showPopover();

// A menu closes by Escape, by a press beside it, and when it is left.
for (const menu of document.querySelectorAll("details.menu")) {
  menu.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !menu.open) return;
    menu.open = false;
    menu.querySelector("summary").focus();
  });
  document.addEventListener("pointerdown", (event) => { if (!menu.contains(event.target)) menu.open = false; });
  menu.addEventListener("focusout", (event) => {
    if (event.relatedTarget && !menu.contains(event.relatedTarget)) menu.open = false;
  });
}

// How many pieces of a list are chosen.
for (const form of document.querySelectorAll("form.choosing")) {
  const count = () => {
    form.querySelector("[data-chosen-count]").textContent = form.querySelectorAll(":checked").length;
  };
  form.addEventListener("change", count);
  count();
}

// On a wide screen a coin of a plate opens beside it; else its link is followed.
document.addEventListener("click", async (event) => {
  const link = event.target.closest("a[data-card]");
  const card = document.getElementById("piece");
  if (!link || !card || event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (!window.matchMedia("(min-width: 70rem)").matches) return;
  event.preventDefault();
  const answer = await fetch(link.dataset.card, { headers: { "HX-Request": "true" } });
  if (!answer.ok) { window.location.assign(link.href); return; }
  card.innerHTML = await answer.text();
  document.querySelectorAll(".plate-coins .chosen").forEach((item) => item.classList.remove("chosen"));
  link.closest("li").classList.add("chosen");
});

// A type is found while it is typed: a combobox over the options the site sends
// (WAI-ARIA Authoring Practices, combobox with list autocomplete).
for (const field of document.querySelectorAll("[data-typeahead]")) {
  const list = document.getElementById(field.dataset.list);
  const holder = document.getElementById(field.dataset.holds);
  const said = document.getElementById(`${field.dataset.list}-said`);
  let waiting = 0;
  let asked = 0;
  let pending = null;
  field.setAttribute("role", "combobox");
  field.setAttribute("aria-autocomplete", "list");
  field.setAttribute("aria-controls", list.id);
  field.setAttribute("aria-expanded", "false");

  const options = () => [...list.querySelectorAll("[data-id]")];
  const active = () => list.querySelector("[aria-selected=true]");
  const close = () => {
    list.hidden = true;
    field.setAttribute("aria-expanded", "false");
    field.removeAttribute("aria-activedescendant");
  };
  const mark = (option) => {
    options().forEach((one) => one.setAttribute("aria-selected", String(one === option)));
    if (!option) { field.removeAttribute("aria-activedescendant"); return; }
    field.setAttribute("aria-activedescendant", option.id);
    option.scrollIntoView({ block: "nearest" });
  };
  const datesOf = async (id) => {
    const into = document.getElementById(field.dataset.dates);
    if (!into) return;
    const text = into.tagName === "DATALIST" ? "?as=text" : "";
    const answer = await fetch(field.dataset.datesFrom.replace("/0/", `/${id}/`) + text);
    if (!answer.ok || holder.value !== id) return;
    into.innerHTML = await answer.text();
    const shown = document.getElementById("id_shown_type");
    if (shown) shown.value = id;
    const variety = document.getElementById("id_variety");
    if (variety) variety.value = "";
  };
  const choose = (option) => {
    window.clearTimeout(waiting);
    asked += 1;
    field.value = option.dataset.label;
    holder.value = option.dataset.id;
    document.querySelectorAll("[name=picked_type]").forEach((one) => { one.checked = false; });
    close();
    datesOf(option.dataset.id);
    const fields = [...field.form.elements].filter((one) => one.type !== "hidden" && one.tagName !== "FIELDSET" && one.name !== "picked_type");
    const next = fields[fields.indexOf(field) + 1];
    if (next) next.focus();
  };
  const look = async () => {
    const text = field.value.trim();
    const number = (asked += 1);
    if (!text) { close(); return; }
    const answer = await fetch(`${field.dataset.typeahead}?q=${encodeURIComponent(text)}`);
    if (!answer.ok || number !== asked) return;
    list.innerHTML = await answer.text();
    list.hidden = false;
    field.setAttribute("aria-expanded", "true");
    const found = options();
    mark(found[0]);
    said.textContent = !found.length ? said.dataset.none : found.length === 1 ? said.dataset.one : `${found.length} ${said.dataset.many}`;
  };
  field.addEventListener("input", () => {
    holder.value = "";
    window.clearTimeout(waiting);
    waiting = window.setTimeout(() => { waiting = 0; pending = look(); }, 120);
  });
  field.addEventListener("keydown", async (event) => {
    if (event.isComposing) return;
    const found = options();
    const at = found.indexOf(active());
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (list.hidden) { if (field.value.trim()) pending = look(); return; }
      const step = event.key === "ArrowDown" ? 1 : -1;
      mark(found[(at + step + found.length) % found.length]);
    } else if (event.key === "Enter" && field.value.trim() && !holder.value) {
      // Typed faster than the answer came: look first, then take the likeliest.
      event.preventDefault();
      if (waiting) { window.clearTimeout(waiting); waiting = 0; pending = look(); }
      await pending;
      if (!list.hidden && active()) choose(active());
      else field.form.requestSubmit();
    } else if (event.key === "Escape" && !list.hidden) {
      event.preventDefault();
      close();
    } else if (event.key === "Tab" && !list.hidden && active()) {
      event.preventDefault();
      choose(active());
    }
  });
  list.addEventListener("pointerdown", (event) => event.preventDefault());
  list.addEventListener("click", (event) => {
    const option = event.target.closest("[data-id]");
    if (option) choose(option);
  });
  field.addEventListener("blur", close);
  if (field.autofocus) { field.focus(); field.select(); }
  if (holder.value && document.getElementById(field.dataset.dates)?.tagName === "DATALIST") datesOf(holder.value);
}

// A date in figures alone is shown in the order of its figures, whatever their script.
document.addEventListener("input", (event) => {
  const field = event.target.closest("[data-figures]");
  if (field) field.classList.toggle("as-figures", !/\p{L}/u.test(field.value));
});

// What is wrong with a field comes with a new answer; the field itself is left alone.
document.addEventListener("htmx:afterSettle", () => {
  for (const said of document.querySelectorAll(".slot")) {
    const field = document.getElementById(`id_${said.id.replace(/-said$/, "")}`);
    if (!field) continue;
    if (said.firstElementChild) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
});

// A whole page where a part of one was asked for: the sign-in has ended. What was asked holds all
// that was put in, so that it is there again after signing in.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (!/^\s*<!doctype/i.test(event.detail.serverResponse)) return;
  event.detail.shouldSwap = false;
  window.location.assign(event.detail.pathInfo.finalRequestPath);
});
