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

// show puts a fetched page in place. The same page renewed keeps the eye and the
// hand where they were; another page begins at its top. What a form has made, or
// where it leads, is shown and held; an answer's address comes without its fragment.
function show(x, push, lands) {
  const url = new URL(x.responseURL || location.href);
  const doc = x.response;
  const height = scrollY;
  const opened = new Set([...document.querySelectorAll("details[open][id]")].map((d) => d.id));
  const held = holding();
  const known = new Set([...main().querySelectorAll("[id]")].map((e) => e.id));
  const other = heading(document) !== heading(doc);
  main().replaceWith(document.importNode(doc.getElementById("main"), true));
  document.querySelector(".block").replaceWith(document.importNode(doc.querySelector(".block"), true));
  document.title = doc.title;
  for (const id of opened) document.getElementById(id)?.setAttribute("open", "");
  if (push && url.href !== location.href) history.pushState(null, "", url);
  scrollTo(0, other ? 0 : height);
  settle();
  const made = [lands && document.getElementById(lands), ...main().querySelectorAll("section[id]")];
  const news = x.status >= 400 ? main().querySelector("[role=alert]") : push && made.find((e) => e && !known.has(e.id));
  if (news) grasp(news, true);
  else if (other) grasp(main());
  else if (held) grasp(found(held));
}
const heading = (doc) => doc.querySelector("main h1")?.textContent;

// What a person held: the control like it is found again after the page was
// renewed, else the one that came to its place.
const controls = () => [...main().querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]")].filter((e) => e.checkVisibility());
const likeness = (e) => e.id || [e.tagName, e.name, e.value ?? e.textContent, e.getAttribute("href"), e.form?.getAttribute("action"), e.form?.elements.position?.value].join(" ");
function holding() {
  const e = document.activeElement;
  if (!e || e === main() || !main().contains(e)) return null;
  const all = controls();
  return { like: likeness(e), nth: all.filter((o) => likeness(o) === likeness(e)).indexOf(e), at: all.indexOf(e) };
}
function found(held) {
  const all = controls();
  const alike = all.filter((e) => likeness(e) === held.like);
  return alike[Math.min(held.nth, alike.length - 1)] || all[Math.min(held.at, all.length - 1)] || main();
}
function grasp(e, look) {
  if (e.tabIndex < 0) e.tabIndex = -1;
  e.focus({ preventScroll: true });
  if (look) e.scrollIntoView({ block: "nearest" });
}

// work says that something takes its time, after half a second, and marks what was
// pressed; it returns what ends it.
function work(pressed) {
  const slow = setTimeout(() => {
    tell(words("busy"));
    pressed?.setAttribute("aria-busy", "true");
  }, 500);
  return () => {
    clearTimeout(slow);
    pressed?.removeAttribute("aria-busy");
    if (document.getElementById("say")?.textContent === words("busy")) tell("");
  };
}

let busy = false;
const pressed = []; // keys of rows that came while the last one was on its way
async function send(form, button) {
  if (busy) return;
  busy = true;
  const end = work(button);
  const data = new FormData(form, button);
  const walked = document.activeElement?.closest(kindsHere());
  const rows = walked ? walkable() : [];
  const at = rows.indexOf(walked);
  try {
    const plain = form.enctype !== "multipart/form-data";
    const x = await load("POST", form.action, plain ? new URLSearchParams(data) : data);
    if (x.status < 400) forget(form);
    else pressed.length = 0;
    show(x, x.status < 400 && x.responseURL !== form.action, form.elements.back?.value.split("#")[1]);
    if (at >= 0 && x.status < 400) focusRow(walkable()[Math.min(at + (walked.matches("[data-position]") ? 1 : 0), walkable().length - 1)]);
  } catch {
    pressed.length = 0;
    tell(words("lost"));
  } finally {
    end();
    busy = false;
  }
  while (pressed.length && !busy) press(pressed.shift());
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
  if (!posts || form.closest("header.strip")) {
    leave(e.submitter);
    return;
  }
  e.preventDefault();
  send(form, e.submitter);
});

// What the browser fetches itself ends with the page; a page that is come back to
// by the back key is still.
let still = () => {};
function leave(pressed) {
  still();
  still = work(pressed);
}
addEventListener("pageshow", () => still());
addEventListener("click", (e) => {
  const a = e.target.closest("a[href]");
  if (!a || e.button || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey || a.matches(".export, [target], [download]")) return;
  const to = new URL(a.href.baseVal ?? a.href, location.href);
  if (to.origin === location.origin && (to.pathname !== location.pathname || to.search !== location.search)) leave(a);
});
addEventListener("popstate", async () => {
  const end = work();
  try {
    show(await load("GET", location.href), false);
  } catch {
    location.reload();
  } finally {
    end();
  }
});

// Rows that the keys walk: what waits for a decision or an answer, shapes of the
// picture not among it; on other pages every row of a table or a list.
const rowKinds = "[data-position]:not(svg *), [data-line]";
const listKinds = "table.rows:not(.entry) > tbody > tr, :is(.hits, .findings, .plainrows) > li";
const kindsHere = () => (main().querySelector(rowKinds) ? rowKinds : listKinds);
// Keys. Single letters can be switched off, since speech input may type them.
const walkable = () => [...main().querySelectorAll(kindsHere())].filter((row) => row.checkVisibility());
function focusRow(row) {
  if (row && !row.hasAttribute("tabindex")) row.tabIndex = -1;
  row?.focus({ preventScroll: true });
  row?.scrollIntoView({ block: "nearest" });
}
function walk(by) {
  const rows = walkable();
  const now = rows.indexOf(document.activeElement?.closest(kindsHere()));
  focusRow(rows[now < 0 ? 0 : Math.min(Math.max(now + by, 0), rows.length - 1)]);
}

// press does what a key says at the row in hand, or later when a form is on its way.
function press(key, at = document.activeElement) {
  const walks = key === "j" || key === "k";
  const button = at?.closest(kindsHere())?.querySelector(`button[data-key="${CSS.escape(key)}"]`);
  if (!walks && !button) return false;
  if (busy) pressed.push(key);
  else if (walks) walk(key === "j" ? 1 : -1);
  else button.click();
  return true;
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
  if (press(e.key, e.target)) {
    e.preventDefault();
  } else if (e.key === "Enter" && e.target.matches(kindsHere())) {
    e.target.querySelector("a[href]")?.click();
  } else if (e.key === "u") {
    document.querySelector("button[data-undo]")?.click();
  } else if (e.key === "/") {
    e.preventDefault();
    toType().focus();
  } else if (e.key === "s") {
    const sheet = document.querySelector(".sheets a, .strip nav a");
    sheet.focus();
    sheet.scrollIntoView({ block: "nearest" });
  } else if (e.key === "?") {
    document.getElementById("keys")?.toggleAttribute("open");
    document.getElementById("keys")?.scrollIntoView();
  }
});

// toType is the field that a page is there for: search, the first of a form that may
// be folded away, a text, any.
function toType() {
  const fields = (css, where = main()) => [...where.querySelectorAll(css)].find((e) => e.checkVisibility());
  const folded = main().querySelector("details.make");
  const search = fields("input[type=search]");
  if (folded && !search) folded.open = true;
  return search || (folded && fields("input:not([type=hidden])", folded)) || fields("textarea") || fields("input:not([type=hidden])") || main();
}

// A text pasted with nothing in hand goes where texts are pasted.
addEventListener("paste", (e) => {
  const text = e.clipboardData?.getData("text/plain");
  const field = main().querySelector("textarea[name=text]");
  if (!text || !field || field.value || e.target.closest?.("input, textarea, select")) return;
  e.preventDefault();
  field.value = text;
  field.focus();
  field.dispatchEvent(new Event("input", { bubbles: true }));
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
