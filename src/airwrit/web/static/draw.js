// Draws an area on the map with the mouse or with keys and puts its corners into the field; without it they are typed.
const figure = document.querySelector("figure.site");
const map = figure?.querySelector("svg");
const field = document.getElementById("f-place");
if (map && field) {
  const [latitude, longitude] = map.dataset.middle.split(",").map(Number);
  const [along, across] = map.dataset.degree.split(",").map(Number);
  const scale = Number(map.dataset.scale);
  const { width, height } = map.viewBox.baseVal;
  const made = (name, kind) => {
    const one = document.createElementNS("http://www.w3.org/2000/svg", name);
    one.setAttribute("class", kind);
    return map.appendChild(one);
  };
  const button = (text, act) => {
    const one = document.createElement("button");
    one.type = "button";
    one.className = "plain";
    one.textContent = text;
    one.addEventListener("click", act);
    return one;
  };
  let corners = [];
  let cross = [width / 2, height / 2];
  let path, mark;

  const place = ([x, y]) => [latitude - (y - height / 2) / scale / along, longitude + (x - width / 2) / scale / across];
  const typed = (point) => place(point).map((one) => one.toFixed(6)).join(", ");

  function show() {
    path.setAttribute("d", corners.length ? `M${corners.map((one) => one.join(" ")).join("L")}${corners.length > 2 ? "Z" : ""}` : "");
    mark.setAttribute("d", `M${cross[0] - 9} ${cross[1]}h18M${cross[0]} ${cross[1] - 9}v18`);
    use.disabled = corners.length < 3;
    const many = corners.length === 1 ? "1 corner" : `${corners.length} corners`;
    said.textContent = `${many}. Cross at ${typed(cross)}. Arrows move it, Enter sets a corner, Backspace takes the last one back.`;
  }

  function begin() {
    path ??= made("path", "flight drawn-area");
    mark ??= made("path", "north");
    corners = [];
    cross = [width / 2, height / 2];
    map.setAttribute("tabindex", "0");
    map.setAttribute("aria-describedby", "draw-said");
    tools.hidden = false;
    show();
    map.focus();
  }

  const said = document.createElement("p");
  said.id = "draw-said";
  said.className = "soft";
  said.setAttribute("aria-live", "polite");
  const use = button("Use this area", () => {
    field.value = corners.map(typed).join("; ");
    const radius = document.getElementById("f-radius");
    if (radius) radius.value = "";
    const site = document.getElementById("f-site");
    if (site) site.value = "";
    field.closest("details").open = true;
    field.focus();
  });
  const tools = document.createElement("div");
  tools.hidden = true;
  tools.append(said, use, " ", button("Start over", begin));
  const start = document.createElement("p");
  start.className = "no-print";
  start.append(button("Draw another area", begin));
  figure.append(start, tools);

  map.addEventListener("pointerdown", (event) => {
    if (tools.hidden) return;
    const box = map.getBoundingClientRect();
    cross = [(event.clientX - box.left) * (width / box.width), (event.clientY - box.top) * (height / box.height)];
    corners.push(cross.map((one) => Math.round(one * 10) / 10));
    show();
  });
  map.addEventListener("keydown", (event) => {
    const step = event.shiftKey ? 30 : 6;
    const moves = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] };
    if (tools.hidden) return;
    if (moves[event.key]) {
      const [x, y] = moves[event.key];
      cross = [Math.min(width, Math.max(0, cross[0] + x)), Math.min(height, Math.max(0, cross[1] + y))];
    } else if (event.key === "Enter" || event.key === " ") corners.push([...cross]);
    else if (event.key === "Backspace") corners.pop();
    else return;
    event.preventDefault();
    event.stopPropagation();
    show();
  });
}
