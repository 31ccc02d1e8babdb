// Makes the pages quicker; without it every one of them works by its forms.
"use strict";

// A form with data-live="ADDRESS" sends its fields there shortly after each change. The answer is HTML; each of its elements with an
// id replaces the one of the same id on the page. What takes longer has an address of its own, data-later, and waits until nothing was
// typed for a while. Of each kind one request is on its way at a time; what changed meanwhile goes with the next.
function liveForm(form, address, wait, late) {
  let waiting = 0;
  let busy = false;
  let again = false;
  let changes = 0;
  const look = async () => {
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    again = false;
    const body = new URLSearchParams(new FormData(form));
    const started = performance.now();
    const mine = changes;
    try {
      const answer = await fetch(address, { method: "POST", body });
      const text = await answer.text();
      say("");
      // What takes longer may be out of date when it comes.
      if (answer.ok && !(late && mine !== changes)) {
        const made = new DOMParser().parseFromString(text, "text/html");
        for (const part of made.body.querySelectorAll(":scope > [id]")) {
          document.getElementById(part.id)?.replaceWith(document.adoptNode(part));
        }
        form.dataset[late ? "tookLater" : "took"] = String(Math.round(performance.now() - started));
      }
    } catch {
      say("No connection. What you type stays on this page; it is sent when you press the button.");
    }
    busy = false;
    if (again) look();
  };
  form.addEventListener("input", () => {
    changes += 1;
    clearTimeout(waiting);
    waiting = setTimeout(look, wait);
  });
}

// One line at the foot of the page, read aloud by screen readers.
function say(text) {
  const line = document.getElementById("said");
  line.textContent = text;
  line.hidden = text === "";
}

for (const form of document.querySelectorAll("form[data-live]")) {
  liveForm(form, form.dataset.live, Number(form.dataset.wait ?? 60), false);
  if (form.dataset.later) liveForm(form, form.dataset.later, 500, true);
}

// Readings. Each row is a form[data-reading] of its own, its key the line that is read. A reading is kept in this browser from the
// moment it is typed until the server has answered that it is on its disk; "Saved" is said then, and not before. Without a connection it
// is sent again and again, also after the page was closed and opened again.
const readings = {
  // What is typed and not on the server's disk yet: key of the row to the fields as they were typed.
  waiting: new Map(),
  // One at a time: each answer has all rows, so an answer never shows less than the one before it.
  sending: null,
  // Rows that the server did not take: they are not sent again by themselves.
  refused: new Set(),
  list: document.querySelector("[data-readings]"),
};

const keptName = (key) => `baystencil ${readings.list.dataset.readings} ${key}`;

function keep(key) {
  const fields = readings.waiting.get(key);
  try {
    if (fields) localStorage.setItem(keptName(key), JSON.stringify(fields));
    else localStorage.removeItem(keptName(key));
  } catch {
    // A browser that keeps nothing: what was typed stays on the page.
  }
}

function rowOf(key) {
  const forms = readings.list.querySelectorAll("form.reading[data-reading]");
  return [...forms].find((form) => form.dataset.reading === key);
}

function state(key, words) {
  const line = rowOf(key)?.closest("li").querySelector(".said");
  if (!line) return;
  const said = document.createElement("span");
  said.className = "state";
  said.textContent = words;
  line.replaceChildren(said);
}

// The fields of a row; those of a button that was pressed last.
function typedInto(form, button) {
  const fields = Object.fromEntries(new FormData(form));
  if (button?.name) fields[button.name] = button.value;
  return { ...fields, action: form.getAttribute("action") };
}

// A number beside a string is not sent before its side is chosen.
function isHalf(fields) {
  return fields.side === "" && !/^[0.,\s]*$/.test(fields.text) && !/[-+\u2212]|left|right/i.test(fields.text);
}

function take(key, fields) {
  const before = readings.waiting.get(key);
  if (before && JSON.stringify(before) === JSON.stringify(fields)) return;
  readings.waiting.set(key, fields);
  readings.refused.delete(key);
  keep(key);
  sendNext();
}

async function sendNext() {
  if (readings.sending !== null) return;
  const key = [...readings.waiting.keys()].find((key) => !readings.refused.has(key));
  if (key === undefined) return;
  readings.sending = key;
  const done = await sendReading(key, readings.waiting.get(key));
  readings.sending = null;
  if (done) return sendNext();
  // Behind the others: one that the server cannot take at the moment keeps none of them back.
  const left = readings.waiting.get(key);
  readings.waiting.delete(key);
  readings.waiting.set(key, left);
  for (const other of readings.waiting.keys()) {
    if (other !== key && !readings.refused.has(other)) state(other, notYet);
  }
}

const notYet = "Not saved yet: no connection. It is kept on this device and sent again until it is saved.";

// Sends one reading; true where the server answered it.
async function sendReading(key, fields) {
  state(key, "Saving …");
  let answer;
  let text;
  try {
    const { action, ...rest } = fields;
    const body = new URLSearchParams({ ...rest, live: "1" });
    answer = await fetch(action, { method: "POST", body, signal: AbortSignal.timeout(20000) });
    text = await answer.text();
  } catch {
    state(key, notYet);
    return false;
  }
  if (![200, 409, 422].includes(answer.status)) {
    const why = new DOMParser().parseFromString(text, "text/html").querySelector("h1 + p")?.textContent ?? "";
    const ends = answer.status === 410;
    if (ends) readings.refused.add(key);
    state(key, `Not saved. ${why} It is kept on this device${ends ? "." : " and sent again until it is saved."}`);
    return ends;
  }
  const made = new DOMParser().parseFromString(text, "text/html");
  const own = [...made.querySelectorAll("form.reading")].find((form) => form.dataset.reading === key);
  const newer = readings.waiting.get(key);
  if (newer !== fields) {
    // Typed again while the first was on its way: it stands on what is saved now.
    if (answer.status === 200 && own) newer.before = own.elements.before.value;
  } else if (answer.status === 200) {
    readings.waiting.delete(key);
  } else {
    readings.refused.add(key);
  }
  keep(key);
  show(made, key);
  hear(key);
  return true;
}

// Has a screen reader say what became of a row.
function hear(key) {
  const row = rowOf(key)?.closest("li");
  const heard = document.getElementById("heard");
  if (row && heard) heard.textContent = `${row.querySelector(".mark").textContent}: ${row.querySelector(".said").textContent}`;
}

// Puts the rows and the verdict of an answer on the page. Rows that somebody types into keep what is typed.
function show(made, key) {
  for (const part of made.body.querySelectorAll(":scope > [id]")) {
    const old = document.getElementById(part.id);
    if (!old) continue;
    const [form, from] = [old.querySelector("form.reading"), part.querySelector("form.reading")];
    if (!form || !from) {
      old.replaceWith(document.adoptNode(part));
      continue;
    }
    const [name, field] = [form.dataset.reading, form.elements.text];
    const input = field.length ? field[0] : field;
    const isSent = name === key && (!readings.waiting.has(key) || readings.refused.has(key));
    if (!isSent && (readings.waiting.has(name) || input.value !== input.defaultValue)) continue;
    if (!isSent && old.contains(document.activeElement)) {
      const now = from.querySelector("[name=text]").value;
      form.elements.before.value = from.elements.before.value;
      input.defaultValue = now;
      input.value = now;
      old.querySelector(".said").replaceWith(document.adoptNode(part.querySelector(".said")));
      continue;
    }
    const focus = old.contains(document.activeElement);
    old.replaceWith(document.adoptNode(part));
    if (focus) document.getElementById(input.id)?.focus();
  }
}

function nextBlank(form) {
  const inputs = [...readings.list.querySelectorAll("form.reading input[name=text]")];
  const here = inputs.findIndex((input) => input.form === form);
  return inputs.slice(here + 1).find((input) => input.value === "");
}

// What was typed before the page was closed, and did not get through.
function takeUp() {
  const start = keptName("");
  for (const name of Object.keys(localStorage).filter((name) => name.startsWith(start))) {
    const key = name.slice(start.length);
    const fields = JSON.parse(localStorage.getItem(name));
    const form = rowOf(key);
    if (!form) {
      offerToForget(name, key, fields.text);
      continue;
    }
    form.querySelector("[name=text]").value = fields.text;
    if (form.elements.side) form.elements.side.value = fields.side;
    fields.row = form.elements.row.value;
    readings.waiting.set(key, fields);
    state(key, "Not saved yet.");
  }
  sendNext();
}

function offerToForget(name, key, text) {
  const line = document.createElement("p");
  const button = document.createElement("button");
  line.className = "warning";
  line.textContent = `${key}: ${text} was typed on this device and not saved, and its row is not here any more. `;
  button.textContent = `Forget ${key}`;
  button.addEventListener("click", () => {
    localStorage.removeItem(name);
    line.remove();
  });
  line.append(button);
  document.getElementById("kept-readings").append(line);
}

if (readings.list) {
  readings.list.addEventListener("input", (event) => {
    const form = event.target.form;
    if (!form?.matches("form.reading")) return;
    state(form.dataset.reading, event.target.value === "" ? "" : "Not saved yet.");
  });
  readings.list.addEventListener("change", (event) => {
    const form = event.target.form;
    if (!form?.matches("form.reading")) return;
    const fields = typedInto(form);
    const nothing = fields.text === "" && fields.before === "" && !readings.waiting.has(form.dataset.reading);
    // A side is often chosen before the number is typed.
    if (nothing) return;
    if (isHalf(fields)) state(form.dataset.reading, "Not saved yet: left or right of the string?");
    else take(form.dataset.reading, fields);
  });
  readings.list.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form[data-reading]")) return;
    event.preventDefault();
    const [key, fields] = [form.dataset.reading, typedInto(form, event.submitter)];
    if (form.dataset.decides) readings.waiting.delete(key);
    else if (isHalf(fields)) {
      form.elements.side.focus();
      return state(key, "Not saved yet: left or right of the string?");
    }
    const next = nextBlank(form);
    if (event.submitter?.name) form.querySelector("[name=text]").value = fields.text;
    take(key, fields);
    if (!form.dataset.decides) next?.focus();
  });
  setInterval(sendNext, 3000);
  window.addEventListener("online", sendNext);
  takeUp();
}
