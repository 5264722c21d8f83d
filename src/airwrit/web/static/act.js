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
  const held = box.contains(document.activeElement) ? document.activeElement.tagName : "";
  box.replaceChildren(...told.childNodes);
  if (held) box.querySelector(held)?.focus(); // whoever tabbed ahead stays on the same link or button
}

if (form && box) {
  form.addEventListener("change", () => {
    clearTimeout(timer);
    timer = setTimeout(workOut, 150);
  });
}
