// On a narrow screen the items of a record that have nothing to say against it are folded under their heads.
// Without this script, on paper and on a wide screen all of them stand open.
const narrow = matchMedia("(max-width: 46rem)");
const AGAINST = ".v.not_met, .v.unknown, dd.missing";

function open(item, is) {
  item.classList.toggle("folded", !is);
  item.querySelector("h2 button").setAttribute("aria-expanded", String(is));
}

for (const item of narrow.matches ? document.querySelectorAll("section.item") : []) {
  const head = item.querySelector("h2");
  const press = document.createElement("button");
  press.type = "button";
  press.className = "head";
  press.append(...head.childNodes);
  head.append(press);
  press.addEventListener("click", () => open(item, item.classList.contains("folded")));
  open(item, item.matches(".stays") || item.querySelector(AGAINST) !== null);
}

function openNamed() {
  const item = location.hash && document.querySelector(location.hash)?.closest("section.item");
  if (item && item.classList.contains("folded")) open(item, true);
}

addEventListener("hashchange", openNamed);
narrow.addEventListener("change", () => {
  if (!narrow.matches) for (const item of document.querySelectorAll(".folded")) open(item, true);
});
openNamed();
