// Comforts only: every page works without this file.
//  1. What was tapped or typed at a box is kept on this phone until the book has it.
//  2. "So 4 are left" beside the choice of what is left.
//  3. Minus and plus beside a number field.
//  4. Colours change without loading the page again.
"use strict";

(() => {
  const STORE = "cocoonery-kept:";
  const body = document.body;
  const day = body.dataset.day || "";

  // A phone may forbid its store (private windows): then nothing is kept, and nothing breaks.
  const store = {
    get(key) { try { return localStorage.getItem(key); } catch { return null; } },
    set(key, value) { try { localStorage.setItem(key, value); } catch { /* full or forbidden */ } },
    drop(key) { try { localStorage.removeItem(key); } catch { /* forbidden */ } },
    keys() { try { return Object.keys(localStorage); } catch { return []; } },
  };

  // --- 1. Kept until noted ----------------------------------------------------

  // The book has it: the kept copy goes.
  if (body.dataset.noted) store.drop(STORE + body.dataset.noted);

  // What was kept on another day belongs to another round.
  for (const key of store.keys()) {
    if (!key.startsWith(STORE)) continue;
    let kept = null;
    try { kept = JSON.parse(store.get(key)); } catch { /* smudged */ }
    if (!kept || kept.day !== day) if (day) store.drop(key);
  }

  const filled = (it) => (it.type === "radio" || it.type === "checkbox" ? it.checked : it.value !== "");

  function fields(form) {
    return [...form.elements].filter((it) => it.name && it.type !== "hidden" && it.tagName === "INPUT");
  }

  function keep(form) {
    const values = fields(form).filter(filled).map((it) => [it.name, it.value]);
    store.set(STORE + form.dataset.keep, JSON.stringify({ day, values }));
  }

  function bringBack(form, values) {
    for (const it of fields(form)) {
      const said = values.filter(([name]) => name === it.name).map(([, value]) => value);
      if (it.type === "radio") { if (said.length) it.checked = said.includes(it.value); }
      else if (it.type === "checkbox") it.checked = said.includes(it.value);
      else if (said.length) it.value = said[0];
    }
    for (const folded of form.querySelectorAll("details")) {
      if ([...folded.querySelectorAll("input")].some((it) => filled(it) && it.value !== "")) folded.open = true;
    }
  }

  function sayBack(form) {
    const line = document.createElement("p");
    line.className = "notice";
    line.setAttribute("role", "status");
    line.textContent = "What you tapped here before was not noted yet. It is back in its place.";
    form.before(line);
  }

  // --- 2. So many are left --------------------------------------------------------

  function number(form, name) {
    const written = form.elements[name + "_or"];
    if (written && written.value.trim() !== "") return parseInt(written.value, 10) || 0;
    const chosen = form.querySelector(`input[name="${name}"]:checked`);
    return chosen ? parseInt(chosen.value, 10) || 0 : 0;
  }

  function countLeft(form) {
    const line = form.querySelector(".left-line");
    if (!line) return;
    const away = form.querySelector('input[name="moved_into"]:checked');
    const moved = away && away.value !== "stay" ? number(form, "moved_n") : 0;
    const gone = moved + number(form, "dead_n") + number(form, "failed_n") + number(form, "short_n");
    const left = Number(line.dataset.all) - gone + number(form, "found_n");
    const book = form.querySelector('input[name="left"][value="expected"]');
    line.hidden = !(book && book.checked) || left < 0 || left === Number(line.dataset.all);
    line.textContent = left === 1 ? "Then 1 is left." : `Then ${left} are left.`;
  }

  for (const form of document.querySelectorAll("form[data-keep]")) {
    // A page with a complaint already holds what was typed: the server sent it back.
    const complained = document.querySelector("[role=alert].alert");
    const kept = store.get(STORE + form.dataset.keep);
    if (kept && !complained) {
      try {
        const before = JSON.parse(kept);
        if (before.day === day) { bringBack(form, before.values); sayBack(form); }
      } catch { store.drop(STORE + form.dataset.keep); }
    }
    for (const what of ["change", "input"]) form.addEventListener(what, () => { keep(form); countLeft(form); });
    // Emptied by hand or because the note waits in the outbox: nothing is kept here any more.
    form.addEventListener("reset", () => { store.drop(STORE + form.dataset.keep); setTimeout(() => countLeft(form)); });
    countLeft(form);
  }

  // --- 3. Minus and plus ------------------------------------------------------------

  function step(field, by) {
    const now = parseInt(field.value, 10) || 0;
    field.value = String(Math.max(0, now + by));
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }

  for (const label of document.querySelectorAll("label.or")) {
    const field = label.querySelector("input");
    const around = document.createElement("div");
    around.className = "stepper";
    const button = (sign, words, by) => {
      const it = document.createElement("button");
      it.type = "button";
      it.textContent = sign;
      it.setAttribute("aria-label", words);
      it.addEventListener("click", () => step(field, by));
      return it;
    };
    label.before(around);
    around.append(button("\u2212", "one fewer", -1), label, button("+", "one more", 1));
  }

  // --- 4. Colours -------------------------------------------------------------------

  const themes = document.querySelector("form.themes");
  if (themes) {
    themes.addEventListener("submit", (event) => {
      const chosen = event.submitter;
      if (!chosen || !window.fetch) return;
      event.preventDefault();
      const back = themes.elements.back.value;
      fetch("/theme", {
        method: "POST",
        headers: { "content-type": "application/x-www-form-urlencoded" },
        body: new URLSearchParams({ theme: chosen.value, back }),
        redirect: "manual",
      }).then(() => {
        const root = document.documentElement;
        if (chosen.value === "device") delete root.dataset.theme; else root.dataset.theme = chosen.value;
        for (const it of themes.querySelectorAll("button")) it.setAttribute("aria-pressed", String(it === chosen));
      }).catch(() => location.reload());
    });
  }

  // A page that comes out of the browser's memory after "back" may show an old count.
  window.addEventListener("pageshow", (event) => { if (event.persisted) location.reload(); });
})();
