// Readings: the result comes while typing, steps are as big as a thumb, and what
// was typed stays on this device until the server says that it has it. Served
// in one module with page.js, before it.

const fieldsOf = (form) => [...form.querySelectorAll("input[name^='r.'], input[name=gauge], select[name=unit]")];

// draft is what was typed on a form: by name, in order; with the readings that
// the job kept then, and the request while it is on its way to the server.
const draftOf = (form) => JSON.parse(localStorage.getItem(form.dataset.live) || "null");
function draft(form, sending) {
  const values = {};
  for (const f of fieldsOf(form)) (values[f.name] ||= []).push(f.value);
  localStorage.setItem(form.dataset.live, JSON.stringify({ base: form.dataset.base, values, sending }));
}

let pause;
addEventListener("input", (e) => {
  const form = e.target.closest?.("form[data-live]");
  if (!form) return;
  draft(form);
  clearTimeout(pause);
  pause = setTimeout(() => live(form), 300);
});

// live asks what the readings come to; only the latest answer is shown.
let asked = 0;
async function live(form) {
  const mine = ++asked;
  unitsOf(form);
  const url = form.action + "?" + new URLSearchParams([...new FormData(form)].filter(([k, v]) => k !== "request" && k !== "base" && v));
  const end = work();
  try {
    const x = await load("GET", url);
    if (mine !== asked || !form.isConnected) return;
    const news = x.response.getElementById("live");
    if (news) document.getElementById("live").replaceWith(document.importNode(news, true));
    for (const series of x.response.querySelectorAll(".series[id]")) {
      for (const cell of [...series.children].slice(document.getElementById(series.id)?.children.length)) {
        document.getElementById(series.id).append(document.importNode(cell, true));
      }
    }
    steppers(form);
    history.replaceState(null, "", url);
    tell("");
  } catch {
    if (mine === asked) tell(form.dataset.unsent);
  } finally {
    end();
  }
}

// keep sends readings. The request keeps its id until it is answered, so that
// sending it again after a lost connection stores it once.
async function keep(form, button) {
  const data = new URLSearchParams(new FormData(form, button));
  draft(form, data.toString());
  const end = work(button);
  await deliver(form.dataset.live, form.action, data);
  end();
}
async function deliver(key, action, data) {
  try {
    const x = await load("POST", action, data);
    if (x.status < 400) localStorage.removeItem(key);
    else if (x.status < 500) {
      const old = JSON.parse(localStorage.getItem(key) || "{}"); // refused: not sent again by itself
      const base = x.response.querySelector("form[data-live]")?.dataset.base ?? old.base;
      localStorage.setItem(key, JSON.stringify({ ...old, base, sending: undefined }));
    }
    show(x, x.status < 400);
  } catch {
    tell(document.querySelector("form[data-live]")?.dataset.unsent || words("lost"));
  }
}
async function again() {
  const form = document.querySelector("form[data-live]");
  if (!form) return;
  const sending = draftOf(form)?.sending;
  if (sending) await deliver(form.dataset.live, form.action, new URLSearchParams(sending));
  else if (draftOf(form)) live(form);
}
addEventListener("online", again);

// readings prepares a form that has just come: what was typed here comes back,
// unless others have kept readings meanwhile; then a person is asked.
function readings(form) {
  steppers(form);
  const old = draftOf(form);
  if (!old) return;
  if (old.sending || old.base === form.dataset.base) { // on its way: the server knows whether it has it
    putBack(form, old);
    return;
  }
  const box = form.querySelector(".unsent");
  box.hidden = false;
  box.querySelector("[data-put]").onclick = () => { box.hidden = true; putBack(form, old); };
  box.querySelector("[data-drop]").onclick = () => { box.hidden = true; localStorage.removeItem(form.dataset.live); };
}
function putBack(form, old) {
  let changed = false;
  for (const [name, values] of Object.entries(old.values)) {
    values.forEach((value, n) => {
      let field = form.querySelectorAll(`[name="${CSS.escape(name)}"]`)[n];
      if (!field && value) field = another(form, name);
      if (!field || field.value === value) return;
      field.value = value;
      changed = true;
    });
  }
  if (old.sending) again();
  else if (changed) live(form);
}
function another(form, name) {
  const last = [...form.querySelectorAll(`[name="${CSS.escape(name)}"]`)].at(-1)?.closest(".reading-cell");
  if (!last) return null;
  const cell = last.cloneNode(true);
  last.after(cell);
  cell.querySelector("input").id = "";
  return cell.querySelector("input");
}

function unitsOf(form) {
  for (const u of form.querySelectorAll("[data-unit]")) u.textContent = form.elements.unit.value;
}

// steppers show the big steps, which need this module.
function steppers(form) {
  for (const b of form.querySelectorAll("button[data-step]")) b.hidden = false;
}
addEventListener("click", (e) => {
  const button = e.target.closest?.("button[data-step]");
  if (!button) return;
  const field = button.parentElement.querySelector("input");
  const before = [...button.closest(".series").querySelectorAll("input")].filter((f) => f.value && f.compareDocumentPosition(field) & Node.DOCUMENT_POSITION_FOLLOWING).at(-1);
  field.value = field.value || !before ? stepped(field.value, Number(button.dataset.step), field.form.elements.unit.value) : before.value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
});

// stepped adds a hundredth of a millimetre, or half a thousandth of an inch, in
// whole numbers: no reading becomes a float. An empty field begins at nought.
function stepped(text, by, unit) {
  const m = /^\s*([+-]?)(\d*)(?:([.,])(\d*))?(\s*[^\d.,+-]*)$/.exec(text);
  if (!m || (!m[2] && !m[4] && m[5].trim())) return text;
  const inch = /^\s*in|"/.test(m[5]) || (!m[5].trim() && unit === "in");
  const digits = Math.max(inch ? 4 : 2, (m[4] || "").length);
  const scale = 10n ** BigInt(digits);
  let n = BigInt(m[2] || "0") * scale + BigInt((m[4] || "").padEnd(digits, "0") || "0");
  if (m[1] === "-") n = -n;
  n += BigInt(by) * (inch ? 5n * 10n ** BigInt(digits - 4) : 10n ** BigInt(digits - 2));
  const size = (n < 0n ? -n : n).toString().padStart(digits + 1, "0");
  return (n < 0n ? "-" : "") + size.slice(0, -digits) + (m[3] || ".") + size.slice(-digits) + m[5];
}

