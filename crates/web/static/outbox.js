// Notes that wait for a signal. Every form marked data-outbox works without this file; with it, a note
// that does not get through is kept on this phone and goes up once, in order, when the house answers again.
"use strict";

(() => {
  const body = document.body;
  // The invented season takes no notes, and must not swallow those of the own book.
  if (body.hasAttribute("data-looking") || !window.indexedDB) return;
  const opened = Date.now();
  const PATIENCE_MS = 8000, AGAIN_MS = 10000, SAVED_KEPT = 200;
  let touched = false;

  const make = (tag, text, more) => Object.assign(document.createElement(tag), { textContent: text }, more);

  // --- The store: one row a note, written through to the disk before it is called kept ---

  const base = new Promise((yes, no) => {
    const asked = indexedDB.open("cocoonery", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("notes", { keyPath: "seq", autoIncrement: true });
    asked.onsuccess = () => yes(asked.result);
    asked.onerror = () => no(asked.error);
  });
  base.catch(() => { /* said when a note is to be kept */ });

  async function store(mode, deed) {
    const work = (await base).transaction("notes", mode, { durability: "strict" });
    return new Promise((yes, no) => {
      const asked = deed(work.objectStore("notes"));
      work.oncomplete = () => yes(asked.result);
      work.onabort = work.onerror = () => no(work.error);
    });
  }
  const all = () => store("readonly", (it) => it.getAll());
  const put = (note) => store("readwrite", (it) => it.put(note));
  const drop = (note) => store("readwrite", (it) => it.delete(note.seq));

  // --- A note: its fields, its id, the moment it happened --------------------------------

  // randomUUID is not there on a plain address in the home network; random bytes are.
  function freshId() {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 15) | 64;
    bytes[8] = (bytes[8] & 63) | 128;
    const hex = [...bytes].map((it) => it.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  }

  // The time on the keeper's wall, which need not be the zone of the phone.
  const wall = document.querySelector(".today time");
  function clockNow() {
    const at = new Date((wall ? Date.parse(`${wall.dateTime}Z`) : opened) + Date.now() - opened);
    return `${at.getUTCHours()}:${String(at.getUTCMinutes()).padStart(2, "0")}`;
  }
  const clock = (note) => {
    const days = Math.floor((Date.now() - note.made) / 86400000);
    return days ? `${note.clock}, ${days === 1 ? "a day" : `${days} days`} ago` : note.clock;
  };

  // What was chosen, in the words of the page.
  function inWords(form, button) {
    const words = [];
    for (const it of form.elements) {
      const tapped = it.type === "radio" || it.type === "checkbox";
      if (!it.name || it.tagName !== "INPUT" || it.type === "hidden") continue;
      if (tapped ? it.checked === it.defaultChecked || !it.checked : it.value === it.defaultValue) continue;
      const legend = it.closest("fieldset") && it.closest("fieldset").querySelector("legend");
      const said = it.closest("label").querySelector("span");
      words.push([legend && legend.textContent.trim(), tapped ? said.firstChild.textContent : it.value].filter(Boolean).join(": "));
    }
    if (button && button.value === "fed") words.push(button.textContent.trim());
    return words.join("; ") || "all as the book expects";
  }

  function noteOf(form, button) {
    const fields = [...new FormData(form)].map(([name, it]) => [name, String(it)]);
    if (button && button.name) fields.push([button.name, button.value]);
    // The clock of the book, carried on from when the page was made.
    const happened = (Number(form.dataset.opened) || opened) + Date.now() - opened;
    return { action: new URL(form.action).pathname, fields, about: form.dataset.outbox, says: inWords(form, button),
      happened, clock: clockNow(), made: Date.now(), state: "waits" };
  }

  // --- Sending: null means nobody answered, and the note waits on --------------------------

  async function send(note) {
    const stop = new AbortController();
    const patience = setTimeout(() => stop.abort(), PATIENCE_MS);
    try {
      const answer = await fetch(note.action, {
        method: "POST", headers: { accept: "application/json" }, body: new URLSearchParams(note.fields), signal: stop.signal,
      });
      // A page from somebody else's wireless is no answer of this house; a broken disk is asked again later.
      const ours = (answer.headers.get("content-type") || "").startsWith("application/json");
      return ours && answer.status < 500 ? await answer.json() : null;
    } catch { return null; } finally { clearTimeout(patience); }
  }

  let going = null;
  function flush() {
    going = going || sendAll().finally(() => { going = null; });
    return going;
  }

  async function sendAll() {
    let up = 0;
    for (const note of (await all()).filter((it) => it.state === "waits")) {
      const answer = await send(note);
      if (!answer) { await show(); return false; }
      note.state = answer.saved ? "saved" : "refused";
      note.answer = answer.says.join("; ");
      await put(note);
      if (answer.saved) up += 1;
      if (up % 10 === 1) await show();
    }
    const saved = (await all()).filter((it) => it.state === "saved");
    for (const old of saved.slice(0, Math.max(0, saved.length - SAVED_KEPT))) await drop(old);
    await show();
    // The page was made before these notes were in the book.
    if (up && !touched && document.querySelector("form[data-outbox]")) location.reload();
    return true;
  }

  // --- The form -----------------------------------------------------------------------------

  document.addEventListener("input", () => { touched = true; });

  document.addEventListener("submit", async (event) => {
    const form = event.target, button = event.submitter;
    if (!form.matches("form[data-outbox]")) return;
    event.preventDefault();
    if (form.dataset.busy) return;
    form.dataset.busy = "yes";
    touched = true;
    try {
      const note = noteOf(form, button);
      // What waits goes first, so that the order stays.
      const free = await flush().catch(() => true);
      const answer = free ? await send(note) : null;
      if (answer && answer.saved) { form.reset(); goTo(answer.go); }
      else if (answer) plain(form, button);
      else await wait(form, button, note);
    } finally { delete form.dataset.busy; }
  });

  function goTo(address) {
    const to = new URL(address, location.href);
    // From one part of the page to another nothing would be loaded, and the numbers would stay old.
    if (to.pathname === location.pathname && to.hash) { location.hash = to.hash; location.reload(); }
    else location.assign(to.href);
  }

  // Refused: the page of the server says why, with all that was typed.
  function plain(form, button) {
    if (button && button.name) form.append(make("input", "", { type: "hidden", name: button.name, value: button.value }));
    form.submit();
  }

  async function wait(form, button, note) {
    note.fields.push(["happened", new Date(note.happened).toISOString()]);
    try { await put(note); } catch {
      tell(form, "There is no signal, and this phone keeps nothing for later (a private window?). Nothing is saved yet: leave this page open, and note it again when there is a signal.");
      return;
    }
    const own = form.elements.own;
    form.reset();
    if (own) own.value = [own.value, form.elements.id.value].filter(Boolean).join(",");
    form.elements.id.value = freshId();
    tell(form, `Kept on this phone at ${clock(note)}: ${note.says}.`);
    await show();
    const part = form.closest("[data-next]");
    const next = part && !(button && button.value === "stay") && document.getElementById(part.dataset.next);
    if (next) { location.hash = next.id; next.scrollIntoView(); }
  }

  function tell(form, words) {
    let line = form.previousElementSibling;
    if (!line || !line.matches(".kept-line")) {
      line = make("p", "", { className: "kept-line notice" });
      line.setAttribute("role", "status");
      form.before(line);
    }
    line.textContent = words;
  }

  // --- What every page says, and the page of the outbox ----------------------------------------

  async function show() {
    const notes = await all();
    const waits = notes.filter((it) => it.state === "waits"), refused = notes.filter((it) => it.state === "refused");
    const box = document.getElementById("waits");
    box.hidden = !waits.length && !refused.length;
    box.replaceChildren();
    const many = (n) => (n === 1 ? "1 note waits" : `${n} notes wait`);
    if (waits.length) box.append(make("p", `${many(waits.length)} for the signal, the oldest from ${clock(waits[0])}.`));
    for (const it of refused) box.append(refusal(it));
    box.append(make("a", "Look at them", { href: "/outbox", className: "pick" }));
    list(notes);
  }

  function refusal(note) {
    const line = make("p", `Not taken, ${note.about} ${clock(note)}: ${note.answer} You had noted: ${note.says}. `);
    line.append(make("a", `Open ${note.action === "/air" ? "" : "the box "}${note.about}`, { href: note.action, className: "pick" }));
    return line;
  }

  function list(notes) {
    const place = document.querySelector("[data-outbox-list]");
    if (!place) return;
    const words = { waits: "waits", saved: "in the book", refused: "not taken" };
    const rows = make("ul", "", { className: "waiting" });
    for (const it of notes.slice().reverse()) {
      const row = make("li", "");
      row.append(make("b", `${it.about}, ${clock(it)}`), make("span", `${it.says} \u2014 ${words[it.state]}${it.answer ? `: ${it.answer}` : ""}`));
      if (it.state !== "waits") row.append(button("Take off this list", async () => { await drop(it); await show(); }));
      rows.append(row);
    }
    const tools = make("div", "", { className: "buttons" });
    if (notes.some((it) => it.state === "waits")) tools.append(button("Send them now", () => flush()), button("Save them as a file", save));
    place.replaceChildren(notes.length ? rows : make("p", "Nothing waits on this phone."), tools);
  }

  const button = (text, deed) => {
    const it = make("button", text, { type: "button" });
    it.addEventListener("click", deed);
    return it;
  };

  async function save() {
    const notes = (await all()).filter((it) => it.state !== "saved");
    const text = JSON.stringify({ form: "cocoonery-outbox", version: 1, notes }, null, 1);
    const link = make("a", "", { download: "notes-that-wait.json", href: URL.createObjectURL(new Blob([text], { type: "application/json" })) });
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), AGAIN_MS);
  }

  const file = document.querySelector("#outbox-file input");
  if (file) {
    document.getElementById("outbox-file").hidden = false;
    file.addEventListener("change", async () => {
      const text = file.form.elements.notes;
      text.value = await file.files[0].text();
      file.form.submit();
    });
  }

  const tryAgain = () => flush().catch(() => { /* no store: nothing waits */ });
  window.addEventListener("online", tryAgain);
  setInterval(async () => { if (!document.getElementById("waits").hidden) tryAgain(); }, AGAIN_MS);
  tryAgain();
})();
