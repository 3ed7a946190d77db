// The stops of a talk are put into another order by dragging, or with Alt and an arrow. What is sent
// are the numbers beside them, which can be typed without any script.
"use strict";

for (const form of document.querySelectorAll("form[data-reorder]")) {
  const list = form.querySelector("ol");
  const said = form.querySelector("[data-reordered]");
  const numbered = () => {
    [...list.children].forEach((item, at) => { item.querySelector("input").value = at + 1; });
    said.hidden = false;
    form.classList.add("reordered");
  };
  const move = (item, other, after) => {
    if (!other || other === item) return;
    other[after ? "after" : "before"](item);
    numbered();
  };

  list.addEventListener("keydown", (event) => {
    const up = event.key === "ArrowUp";
    if (!event.altKey || !(up || event.key === "ArrowDown")) return;
    const item = event.target.closest("li");
    event.preventDefault();
    move(item, up ? item.previousElementSibling : item.nextElementSibling, !up);
    event.target.focus();
    item.scrollIntoView({ block: "nearest" });
  });

  // By pointer, so that it works by touch too: the grip takes hold, the item follows.
  list.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest("[data-grip]");
    if (!grip || event.button) return;
    const item = grip.closest("li");
    event.preventDefault();
    grip.setPointerCapture(event.pointerId);
    item.classList.add("held");
    const follow = (moved) => {
      const over = document.elementFromPoint(moved.clientX, moved.clientY)?.closest("li");
      if (!over || over === item || over.parentNode !== list) return;
      const box = over.getBoundingClientRect();
      const after = moved.clientY > box.top + box.height / 2;
      const there = after ? over.nextElementSibling : over.previousElementSibling;
      if (there !== item) move(item, over, after);
    };
    const end = () => {
      item.classList.remove("held");
      grip.removeEventListener("pointermove", follow);
    };
    grip.addEventListener("pointermove", follow);
    for (const name of ["pointerup", "pointercancel"]) grip.addEventListener(name, end, { once: true });
  });
}
