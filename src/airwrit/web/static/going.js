// While logs are checked, the page looks every two seconds whether more are done, and shows them. Without this script a link does.
const EVERY_MS = 2000;
const shown = Number(document.querySelector(".going").dataset.done);
const twin = location.pathname + ".json" + location.search;

async function look() {
  const answer = await fetch(twin);
  if (!answer.ok) return;
  const told = await answer.json();
  if (told.done || told.checked > shown) location.reload();
  else setTimeout(look, EVERY_MS);
}

setTimeout(look, EVERY_MS);
