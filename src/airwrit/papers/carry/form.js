// The short form of the carry pack: flights noted with no network, kept by this browser, handed over as a file or as codes.
(() => {
  const pack = JSON.parse(document.getElementById("pack").textContent);
  const FORM = "airwrit flights 1";
  const BASE = "airwrit flights";
  const ROOMY = 520;
  const find = (id) => document.getElementById(id);
  const form = find("flight");
  const field = (name) => form.elements.namedItem(name);
  let flights = [];
  let editing = null;
  let isKept = true;
  const windows = "BroadcastChannel" in window ? new BroadcastChannel(BASE) : null;

  function say(text, id = "said") {
    find(id).textContent = text;
  }

  // Kept in the browser's database: a flight is said to be saved once the browser says it is on the disk, and every window
  // reads the same. One name of the pilot, one list.
  function opened() {
    return new Promise((ready, refused) => {
      const asked = indexedDB.open(BASE, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("flights");
      asked.onsuccess = () => ready(asked.result);
      asked.onerror = () => refused(asked.error);
    });
  }

  async function stored(mode, action) {
    const base = await opened();
    try {
      return await new Promise((done, refused) => {
        const transaction = base.transaction("flights", mode, { durability: "strict" });
        const asked = action(transaction.objectStore("flights"));
        transaction.oncomplete = () => done(asked.result);
        transaction.onabort = () => refused(transaction.error);
      });
    } finally {
      base.close();
    }
  }

  // Nothing is saved while the list is read or written: the one would undo the other.
  function busy(isBusy) {
    form.setAttribute("aria-busy", isBusy);
    find("keep").disabled = isBusy;
  }

  async function load() {
    busy(true);
    try {
      const kept = await stored("readonly", (store) => store.get(pack.pilot));
      flights = Array.isArray(kept) ? kept.filter((one) => one && typeof one.landed === "string") : [];
    } catch (refused) {
      isKept = false;
    }
    find("refused").hidden = isKept;
    busy(false);
  }

  async function keep() {
    if (!isKept) return;
    busy(true);
    try {
      await stored("readwrite", (store) => store.put(flights, pack.pilot));
      if (windows) windows.postMessage(pack.pilot);
    } catch (refused) {
      isKept = false;
      find("refused").hidden = false;
    }
    busy(false);
  }

  // The moment of a local time as this phone's clock has it, with its zone: 2026-11-25T10:20-05:00.
  const two = (number) => String(number).padStart(2, "0");
  function localText(moment) {
    return `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`
      + `T${two(moment.getHours())}:${two(moment.getMinutes())}`;
  }
  function zoned(local) {
    const moment = new Date(local);
    const ahead = -moment.getTimezoneOffset();
    const sign = ahead < 0 ? "-" : "+";
    return `${localText(moment)}${sign}${two(Math.floor(Math.abs(ahead) / 60))}:${two(Math.abs(ahead) % 60)}`;
  }

  function fresh() {
    editing = null;
    field("landed").value = localText(new Date());
    field("minutes").value = "";
    field("landings").value = "1";
    field("defect").value = "";
    find("keep").textContent = "Save this flight";
    find("leave").hidden = true;
  }

  function taken() {
    const flight = { aircraft: field("aircraft").value.trim(), landed: zoned(field("landed").value) };
    const minutes = Number(field("minutes").value);
    if (minutes > 0) flight.minutes = minutes;
    flight.landings = Number(field("landings").value) || 1;
    const packs = field("packs").value.split(",").map((name) => name.trim()).filter(Boolean);
    if (packs.length) flight.packs = packs;
    const defect = field("defect").value.trim();
    if (defect) flight.defect = defect;
    const use = field("use").value;
    if (use) flight.use = use;
    return flight;
  }

  async function submitted(event) {
    event.preventDefault();
    if (!form.reportValidity()) return;
    const flight = taken();
    const again = flights.findIndex((one) => one.aircraft === flight.aircraft && one.landed === flight.landed);
    if (again >= 0 && again !== editing) {
      say("This aircraft already has a flight with this landing time in the list. Correct that one.");
      return;
    }
    if (editing === null) flights.push(flight);
    else flights[editing] = flight;
    const packs = field("packs").value;
    await keep();
    fresh();
    field("packs").value = packs;
    say(isKept ? "Saved on this phone. It isn't in the ledger until you hand it over." : "This phone can't save it. Hand it over now.");
    list();
  }

  function words(flight) {
    const parts = [];
    parts.push(flight.minutes ? `${flight.minutes} min` : "minutes not entered");
    parts.push(`${flight.landings} landing${flight.landings === 1 ? "" : "s"}`);
    if (flight.packs) parts.push(`packs ${flight.packs.join(", ")}`);
    if (flight.use) parts.push(flight.use);
    return parts.join(", ");
  }

  function made(tag, text, name) {
    const element = document.createElement(tag);
    if (text) element.textContent = text;
    if (name) element.className = name;
    return element;
  }

  function button(text, about, action) {
    const element = made("button", text, "plain");
    element.type = "button";
    element.setAttribute("aria-label", `${text} the flight of ${about}`);
    element.addEventListener("click", action);
    return element;
  }

  function list() {
    const shown = find("list");
    shown.replaceChildren();
    flights.forEach((flight, at) => {
      const about = `${flight.aircraft}, landed ${flight.landed.slice(0, 16).replace("T", " ")}`;
      const item = made("li");
      item.append(made("strong", about), made("span", words(flight), "more"));
      if (flight.defect) item.append(made("span", `defect seen: ${flight.defect}`, "more defect"));
      item.append(button("Correct", about, () => correct(at)), button("Remove", about, () => remove(at)));
      shown.append(item);
    });
    find("none").hidden = flights.length > 0;
    find("over").hidden = flights.length === 0;
    find("codes").replaceChildren();
    find("sure").hidden = true;
  }

  function correct(at) {
    const flight = flights[at];
    editing = at;
    field("aircraft").value = flight.aircraft;
    field("landed").value = flight.landed.slice(0, 16);
    field("minutes").value = flight.minutes || "";
    field("landings").value = flight.landings || 1;
    field("packs").value = (flight.packs || []).join(", ");
    field("defect").value = flight.defect || "";
    field("use").value = flight.use || "";
    find("keep").textContent = "Keep the correction";
    find("leave").hidden = false;
    field("landed").focus();
  }

  async function remove(at) {
    flights.splice(at, 1);
    await keep();
    fresh();
    list();
    say("Removed.");
  }

  // Another window of this browser saved: show it, keep what is typed.
  async function changed(event) {
    if (event.data !== pack.pilot) return;
    const open = editing === null ? null : flights[editing];
    await load();
    if (open) {
      const at = flights.findIndex((one) => one.aircraft === open.aircraft && one.landed === open.landed);
      editing = at < 0 ? null : at;
      find("leave").hidden = at < 0;
      if (at < 0) find("keep").textContent = "Save this flight";
    }
    list();
  }

  const handed = (some) => ({ form: FORM, pack: pack.id, pilot: pack.pilot, flights: some });
  // Plain ASCII, so that no reader of codes has to guess how letters are written.
  const ascii = (value) => JSON.stringify(value).replace(
    /[\u007f-\uffff]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );

  function saveFile() {
    const blob = new Blob([`${JSON.stringify(handed(flights), null, 1)}\n`], { type: "application/json" });
    const link = made("a");
    link.href = URL.createObjectURL(blob);
    link.download = `flights-${localText(new Date()).slice(0, 10)}-${pack.id}.json`;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    say("Saved as a file. Send it to whoever keeps the ledger, to import.", "handing");
  }

  // The flights parted so that each code stays easy to read; what fits into no code is told.
  function parted() {
    const parts = [];
    let large = 0;
    let part = [];
    for (const flight of flights) {
      if (ascii(handed([flight])).length > qr.room(qr.LAST, "L")) {
        large++;
        continue;
      }
      if (part.length && ascii(handed([...part, flight])).length > ROOMY) {
        parts.push(part);
        part = [];
      }
      part.push(flight);
    }
    if (part.length) parts.push(part);
    return [parts, large];
  }

  function showCodes() {
    const [parts, large] = parted();
    const shown = find("codes");
    shown.replaceChildren();
    parts.forEach((part, at) => {
      const text = ascii(handed(part));
      const rows = qr.make(text, text.length > qr.room(12, "M") ? "L" : "M");
      const figure = made("figure");
      const flown = `${part.length} flight${part.length === 1 ? "" : "s"}`;
      figure.append(drawn(rows, `QR code of ${flown}`));
      figure.append(made("figcaption", `Code ${at + 1} of ${parts.length}: ${flown}`));
      shown.append(figure);
    });
    const left = large ? ` ${large} with a long text fit into no code: save them as a file.` : "";
    say(`Take a photo of each code and import the photos.${left}`, "handing");
    shown.scrollIntoView({ block: "start" });
  }

  function drawn(rows, title) {
    const SVG = "http://www.w3.org/2000/svg";
    const size = rows.length + 8;
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("viewBox", `0 0 ${size} ${size}`);
    svg.setAttribute("role", "img");
    svg.setAttribute("aria-label", title);
    svg.setAttribute("shape-rendering", "crispEdges");
    const ground = document.createElementNS(SVG, "rect");
    ground.setAttribute("width", size);
    ground.setAttribute("height", size);
    ground.setAttribute("fill", "#fff");
    const dark = document.createElementNS(SVG, "path");
    let path = "";
    rows.forEach((row, y) => row.forEach((isDark, x) => { if (isDark) path += `M${x + 4} ${y + 4}h1v1h-1z`; }));
    dark.setAttribute("d", path);
    dark.setAttribute("fill", "#000");
    svg.append(ground, dark);
    return svg;
  }

  form.addEventListener("submit", submitted);
  find("leave").addEventListener("click", fresh);
  find("file").addEventListener("click", saveFile);
  find("code").addEventListener("click", showCodes);
  find("clear").addEventListener("click", () => { find("sure").hidden = false; find("yes").focus(); });
  find("no").addEventListener("click", () => { find("sure").hidden = true; });
  find("yes").addEventListener("click", async () => {
    flights = [];
    await keep();
    list();
    say("The list is empty.");
  });
  if (windows) windows.addEventListener("message", changed);
  find("short").hidden = false;
  find("written").hidden = true;
  fresh();
  load().then(list);
})();
