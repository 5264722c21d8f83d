// Works out again what an act would cause whenever a field changes; without this script the button does the same.
const form = document.getElementById("act");
const box = document.getElementById("causes");
let turn = 0;
let timer;

async function workOut() {
  const mine = ++turn;
  const data = new URLSearchParams(new FormData(form));
  data.set("way", "show");
  let source;
  try {
    const answer = await fetch(form.action, { method: "POST", body: data });
    source = await answer.text();
  } catch {
    return; // no server: the button still says so
  }
  if (mine !== turn) return;
  const told = new DOMParser().parseFromString(source, "text/html").getElementById("causes");
  if (!told) return;
  const had = box.contains(document.activeElement);
  box.replaceChildren(...told.childNodes);
  if (had) box.querySelector("button, a")?.focus(); // whoever tabbed ahead is not thrown back to the top
}

if (form && box) {
  form.addEventListener("change", () => {
    clearTimeout(timer);
    timer = setTimeout(workOut, 150);
  });
}
