// The desk works without this: links stand as text to select, and the browser finds words itself.
"use strict";
const said = document.getElementById("said");
async function copy(button) {
  const link = button.closest("td").querySelector(".link");
  try {
    await navigator.clipboard.writeText(link.textContent);
    said.textContent = `Link of ${button.dataset.order} copied.`;
  } catch {
    getSelection().selectAllChildren(link);
    said.textContent = `Link of ${button.dataset.order} selected: copy it with your keyboard.`;
  }
}
for (const button of document.querySelectorAll("button.copy")) {
  button.hidden = false;
  button.addEventListener("click", () => copy(button));
}
const filter = document.getElementById("filter");
filter.closest("p").hidden = false;
filter.addEventListener("input", () => {
  const words = filter.value.toLowerCase().split(/\s+/).filter(Boolean);
  for (const row of document.querySelectorAll("tbody tr")) {
    const text = row.textContent.toLowerCase();
    row.hidden = !words.every((word) => text.includes(word));
  }
});
