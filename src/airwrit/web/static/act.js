// Shows again what a form would save or cause whenever a field changes; without this script its button does the same.
for (const form of document.querySelectorAll("form.live")) {
  const box = form.querySelector(".causes");
  const preview = form.querySelector('button[name="way"][value="show"]');
  let turn = 0;
  let timer;

  async function workOut() {
    const mine = ++turn;
    const data = new URLSearchParams(new FormData(form));
    data.set("way", "show");
    if (form.classList.contains("asked") && !data.get("value") && !data.get("other")) return; // not answered yet
    let source;
    try {
      const answer = await fetch(form.action, { method: "POST", body: data });
      source = await answer.text();
    } catch {
      return; // no server: the button still says so
    }
    if (mine !== turn) return;
    const page = new DOMParser().parseFromString(source, "text/html");
    const told = page.getElementById("causes");
    if (!told) return;
    const held = box.contains(document.activeElement) ? document.activeElement.tagName : "";
    if (box.id === "causes") {
      box.replaceChildren(...told.childNodes);
    } else {
      const wrong = page.querySelector("#wrongs p");
      const parts = wrong ? [wrong] : [...told.querySelectorAll(".writes, .turns, .note, button, :scope > p:not(.submit)")];
      box.replaceChildren(...parts); // a question among others: what would be saved, whose status changes, its button
      preview.hidden = Boolean(box.querySelector("button"));
    }
    if (held) box.querySelector(held)?.focus(); // whoever tabbed ahead stays on the same link or button
  }

  form.addEventListener("change", () => {
    clearTimeout(timer);
    timer = setTimeout(workOut, 150);
  });
}
