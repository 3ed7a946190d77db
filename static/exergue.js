// Small conveniences; every page works without them.
"use strict";

// A field marked data-submit sends its form when it changes.
document.addEventListener("change", (event) => {
  const field = event.target.closest("[data-submit]");
  if (field && field.form) field.form.requestSubmit();
});

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
