// Makes the pages smoother; every page works without it.
// Forms and sheets are fetched and their <main> is put in place of ours. Replies
// become nodes by XMLHttpRequest, since the policy of the pages lets no script
// turn text into markup.

const main = () => document.getElementById("main");

function load(method, url, body) {
  return new Promise((done, failed) => {
    const x = new XMLHttpRequest();
    x.open(method, url);
    x.responseType = "document";
    x.onload = () => (x.response && x.response.getElementById("main") ? done(x) : failed(new Error("no page")));
    x.onerror = () => failed(new Error("no connection"));
    x.send(body);
  });
}

// show puts a fetched page in place and keeps the eye where it was: at what the
// address names, or at the same height.
function show(x, push) {
  const url = new URL(x.responseURL || location.href);
  const doc = x.response;
  const height = scrollY;
  const opened = new Set([...document.querySelectorAll("details[open][id]")].map((d) => d.id));
  main().replaceWith(document.importNode(doc.getElementById("main"), true));
  document.querySelector(".block").replaceWith(document.importNode(doc.querySelector(".block"), true));
  document.title = doc.title;
  for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
  if (push && url.href !== location.href) history.pushState(null, "", url);
  scrollTo(0, height);
  settle();
}

let busy = false;
async function send(form, button) {
  if (busy) return;
  busy = true;
  const slow = setTimeout(() => tell(words("busy")), 500);
  const data = new FormData(form, button);
  const walked = document.activeElement?.closest(rowKinds);
  const rows = walked ? walkable() : [];
  const at = rows.indexOf(walked);
  try {
    const plain = form.enctype !== "multipart/form-data";
    const x = await load("POST", form.action, plain ? new URLSearchParams(data) : data);
    forget(form);
    show(x, true);
    if (at >= 0) focusRow(walkable()[Math.min(at + (walked.matches("[data-position]") ? 1 : 0), walkable().length - 1)]);
  } catch {
    tell(words("lost"));
  } finally {
    clearTimeout(slow);
    if (document.getElementById("say")?.textContent === words("busy")) tell("");
    busy = false;
  }
}

// words of the page's own: the catalogue of words puts them on the root.
const words = (name) => document.documentElement.dataset[name] || "";

function tell(text) {
  const line = document.getElementById("say");
  if (line) line.textContent = text;
}

// News of somebody else's edit is on the slip until the next act.
for (const act of ["pointerdown", "keydown"]) addEventListener(act, () => document.getElementById("say")?.textContent === words("fresh") && tell(""));

addEventListener("submit", (e) => {
  const form = e.target;
  const posts = (e.submitter?.getAttribute("formmethod") || form.method) === "post";
  if ("live" in form.dataset) {
    e.preventDefault();
    if (posts) keep(form, e.submitter);
    else live(form);
    return;
  }
  if (!posts || form.closest("header.strip")) return;
  e.preventDefault();
  send(form, e.submitter);
});
addEventListener("popstate", async () => {
  try {
    show(await load("GET", location.href), false);
  } catch {
    location.reload();
  }
});

// Rows that the keys walk; shapes of the picture are not among them.
const rowKinds = "[data-position]:not(svg *), [data-line]";
// Keys. Single letters can be switched off, since speech input may type them.
const walkable = () => [...document.querySelectorAll(rowKinds)];
function focusRow(row) {
  row?.focus({ preventScroll: true });
  row?.scrollIntoView({ block: "nearest" });
}
function walk(by) {
  const rows = walkable();
  const now = rows.indexOf(document.activeElement?.closest(rowKinds));
  focusRow(rows[now < 0 ? 0 : Math.min(Math.max(now + by, 0), rows.length - 1)]);
}
const lettersOff = () => localStorage.getItem("letters") === "off";

addEventListener("keydown", (e) => {
  const typing = e.target.closest("input, textarea, select");
  if (e.key === "Enter" && (e.ctrlKey || e.metaKey) && e.target.form) {
    e.preventDefault();
    e.target.form.requestSubmit(e.target.form.querySelector("[data-send]"));
    return;
  }
  if (typing || e.ctrlKey || e.metaKey || e.altKey || lettersOff()) return;
  const row = e.target.closest(rowKinds);
  const key = row && row.querySelector(`button[data-key="${CSS.escape(e.key)}"]`);
  if (key) {
    e.preventDefault();
    key.click();
  } else if (e.key === "j" || e.key === "k") {
    e.preventDefault();
    walk(e.key === "j" ? 1 : -1);
  } else if (e.key === "u") {
    document.querySelector("button[data-undo]")?.click();
  } else if (e.key === "/") {
    e.preventDefault();
    (document.querySelector("main input[type=search], main textarea") || main()).focus();
  } else if (e.key === "?") {
    document.getElementById("keys")?.toggleAttribute("open");
    document.getElementById("keys")?.scrollIntoView();
  }
});

// What was typed survives a reload.
const kept = (form) => "kept:" + form.dataset.keep;
addEventListener("input", (e) => {
  const form = e.target.form;
  if (!form?.dataset.keep || e.target.type === "file") return;
  sessionStorage.setItem(kept(form), JSON.stringify([...new FormData(form)].filter(([k, v]) => typeof v === "string" && k !== "request" && k !== "back")));
});
function forget(form) {
  if (form.dataset.keep) sessionStorage.removeItem(kept(form));
}

// Someone else's edit: fetched at once, or offered while a form is being filled.
let events;
function listen() {
  events?.close();
  events = undefined;
  const top = document.querySelector("[data-job]");
  if (!top) return;
  events = new EventSource("/jobs/" + encodeURIComponent(top.dataset.job) + "/events");
  events.addEventListener("rev", async (e) => {
    const now = document.querySelector("[data-job]");
    if (busy || !now || e.data === now.dataset.rev) return;
    if (document.activeElement?.closest("main input, main textarea, main select")) {
      tell(words("moved"));
      return;
    }
    try {
      show(await load("GET", location.href), false);
      tell(words("fresh"));
    } catch {
      tell(words("lost"));
    }
  });
}

// settle prepares a page that has just come.
function settle() {
  for (const form of document.querySelectorAll("form[data-live]")) readings(form);
  for (const form of document.querySelectorAll("form[data-keep]")) {
    const old = sessionStorage.getItem(kept(form));
    for (const [name, value] of old ? JSON.parse(old) : []) if (form.elements[name] && !form.elements[name].value) form.elements[name].value = value;
  }
  const box = document.getElementById("letters");
  if (box) {
    box.hidden = false;
    const input = box.querySelector("input");
    input.checked = !lettersOff();
    input.onchange = () => localStorage.setItem("letters", input.checked ? "on" : "off");
  }
  const now = document.querySelector("[data-job]")?.dataset.job;
  if (now !== settle.job) {
    settle.job = now;
    listen();
  }
}
settle();
