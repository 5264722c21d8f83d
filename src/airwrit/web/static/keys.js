// Keys for turning the day and finding one's way; each does what a link or field of the page does.
// Off while typing, with any modifier held, and where the reader has switched them off (WCAG 2.1.4).

const OFF = "airwrit-keys-off";

const steps = { "[": "a day earlier", "]": "a day later", "{": "a month earlier", "}": "a month later" };

function link(words) {
  return document.querySelector(`.steps a[aria-label="${words}"]`);
}

function typing(target) {
  return target instanceof HTMLElement && target.closest("input, select, textarea, [contenteditable]");
}

function pressed(event) {
  if (event.ctrlKey || event.metaKey || event.altKey || typing(event.target) || localStorage.getItem(OFF)) return;
  if (event.key in steps) link(steps[event.key])?.click();
  else if (event.key === "t") document.querySelector("a.to-today")?.click();
  else if (event.key === "/") document.querySelector('input[type="search"]')?.focus();
  else if (event.key === "?") document.querySelector("#keys")?.scrollIntoView();
  else if (/^[1-9]$/.test(event.key)) document.querySelector(`#s${event.key}`)?.scrollIntoView();
  else return;
  event.preventDefault();
}

document.addEventListener("keydown", pressed);

// a form that came back with trouble: the box that says so takes the focus
document.querySelector("#wrongs")?.focus();

// a form is sent once: a second press before the answer does nothing; one that only saves a file may be sent again
document.addEventListener("submit", (event) => {
  if (event.target.method !== "post" || "saves" in event.target.dataset) return;
  if (event.target.dataset.sent) event.preventDefault();
  else wait(event.submitter ?? event.target.lastElementChild);
  event.target.dataset.sent = "yes";
});
addEventListener("pageshow", () => {
  for (const form of document.forms) delete form.dataset.sent;
  clearInterval(waiting);
  document.querySelector("#waiting")?.remove();
});

// what takes longer than a second says so, and for how long already
let waiting;
function wait(pressed) {
  const note = document.createElement("span");
  note.id = "waiting";
  note.setAttribute("role", "status");
  let seconds = 0;
  clearInterval(waiting);
  waiting = setInterval(() => {
    if (++seconds === 1) pressed.after(note);
    note.textContent = seconds < 2 ? "Being worked on." : `Being worked on, ${seconds} seconds so far.`;
  }, 1000);
}

// the switch for the keys stands where script runs, since without it there are none
const about = document.querySelector("#keys");
if (about) {
  const off = document.createElement("button");
  off.type = "button";
  off.className = "plain";
  const said = () => {
    off.textContent = localStorage.getItem(OFF) ? "Switch the keys on" : "Switch the keys off";
  };
  off.addEventListener("click", () => {
    if (localStorage.getItem(OFF)) localStorage.removeItem(OFF);
    else localStorage.setItem(OFF, "yes");
    said();
  });
  said();
  about.append(" ", off);
  about.hidden = false;
}
