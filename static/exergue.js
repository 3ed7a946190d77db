// Small conveniences; every page works without them.
"use strict";

// A field marked data-submit sends its form when it changes.
document.addEventListener("change", (event) => {
  const field = event.target.closest("[data-submit]");
  if (field && field.form) field.form.requestSubmit();
});
