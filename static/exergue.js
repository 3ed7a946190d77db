// Small conveniences; every page works without them.
"use strict";

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
  const note = document.getElementById(`${field.dataset.list}-note`);
  let waiting = 0;
  let asked = 0;
  let pending = null;
  let entered = false; // whether Up or Down went into the list: Enter takes what is marked either way
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
    list.classList.toggle("entered", entered);
    if (!option || !entered) { field.removeAttribute("aria-activedescendant"); return; }
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
    holder.dispatchEvent(new Event("change", { bubbles: true }));
    note.replaceChildren();
    document.querySelectorAll("[name=picked_type]").forEach((one) => { one.checked = false; });
    close();
    datesOf(option.dataset.id);
    for (const name of ["date_text", "grade"]) {
      const into = field.form.elements[name];
      if (into && option.dataset[name]) into.value = option.dataset[name];
    }
    chosen();
    onward();
  };
  const chosen = () => field.dispatchEvent(new Event("chosen", { bubbles: true }));
  const onward = () => {
    const asked = document.getElementById(field.dataset.onward);
    const fields = [...field.form.elements].filter((one) => one.type !== "hidden" && one.tagName !== "FIELDSET" && one.name !== "picked_type");
    const next = asked || fields[fields.indexOf(field) + 1];
    if (!next) return;
    next.focus();
    if (asked) asked.select();
  };
  const look = async () => {
    const text = field.value.trim();
    const number = (asked += 1);
    if (!text) { close(); return; }
    const answer = await fetch(`${field.dataset.typeahead}?q=${encodeURIComponent(text)}`);
    if (!answer.ok || number !== asked) return;
    const answered = await answer.text();
    const kept = entered ? active()?.dataset.id : ""; // where Up and Down went while the answer came
    list.innerHTML = answered;
    const found = options();
    note.replaceChildren(...[...list.querySelectorAll("template")].map((one) => one.content));
    if (note.textContent.trim()) { // more than that nothing was found: it must not be covered
      close();
      said.textContent = note.textContent;
      return;
    }
    list.hidden = false;
    field.setAttribute("aria-expanded", "true");
    mark(found.find((one) => one.dataset.id === kept) || found[0]);
    const count = !found.length ? said.dataset.none : found.length === 1 ? said.dataset.one : `${found.length} ${said.dataset.many}`;
    said.textContent = found.length ? `${count}. ${said.dataset.takes} ${found[0].dataset.label}` : count;
  };
  field.addEventListener("input", () => {
    if (holder.value) { holder.value = ""; chosen(); }
    entered = false;
    window.clearTimeout(waiting);
    waiting = window.setTimeout(() => { waiting = 0; pending = look(); }, 120);
  });
  field.addEventListener("keydown", async (event) => {
    if (event.isComposing) return;
    const found = options();
    const at = found.indexOf(active());
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (list.hidden && !field.value.trim()) return;
      const down = event.key === "ArrowDown";
      const first = !entered;
      entered = true;
      if (list.hidden) { pending = look(); return; }
      // The first press goes into the list, to what Enter would take already.
      const to = first ? (down ? Math.max(at, 0) : -1) : at + (down ? 1 : -1);
      mark(found[(to + found.length) % found.length]);
    } else if (event.key === "Enter" && field.dataset.onward && holder.value) {
      event.preventDefault();
      onward();
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

// A date chosen from boxes goes into its field, and the box of a date that is typed is marked.
const bare = (text) => text.toLowerCase().replace(/\s+/g, "");
const marked = (field, boxes) => {
  const fits = [...boxes].filter((box) => field.value.trim() && bare(box.dataset.label) === bare(field.value));
  if (fits.some((box) => box.checked)) return;
  boxes.forEach((box) => { box.checked = fits.length === 1 && box === fits[0]; });
};
const dateBoxes = () => document.querySelectorAll("[data-fills] input[data-label]");
document.addEventListener("change", (event) => {
  const box = event.target.closest("[data-fills] input[data-label]");
  if (!box) return;
  const field = document.getElementById(box.closest("[data-fills]").dataset.fills);
  field.value = box.dataset.label;
  field.dispatchEvent(new Event("picked", { bubbles: true }));
});
document.addEventListener("input", (event) => {
  if (event.target.id === "id_date_text") marked(event.target, dateBoxes());
});
for (const moment of ["htmx:afterSettle", "DOMContentLoaded"]) {
  document.addEventListener(moment, () => {
    const field = document.getElementById("id_date_text");
    if (field) marked(field, dateBoxes());
  });
}

// A fold that was opened stays open on the page that comes next.
document.addEventListener("toggle", (event) => {
  if (event.target.matches("details[data-fold]")) event.target.querySelector("[name=fold]").disabled = !event.target.open;
}, true);

// What a new type takes over from another is chosen, so that typing replaces it.
const begun = document.querySelector(".type-form input[autofocus]");
if (begun && begun.value === begun.defaultValue) begun.select();

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
    if (said.querySelector(".errorlist")) field.setAttribute("aria-invalid", "true");
    else field.removeAttribute("aria-invalid");
  }
});

// A whole page where a part of one was asked for: the sign-in has ended. What was asked holds all
// that was put in, so that it is there again after signing in.
document.addEventListener("htmx:beforeSwap", (event) => {
  if (!/^\s*<!doctype/i.test(event.detail.serverResponse)) return;
  event.detail.shouldSwap = false;
  const { xhr, requestConfig, pathInfo } = event.detail;
  window.location.assign(requestConfig.verb === "get" ? pathInfo.finalRequestPath : xhr.responseURL);
});
