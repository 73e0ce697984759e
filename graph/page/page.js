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
  if (news) hold(news);
  else if (other) grasp(main());
  else if (held) grasp(found(held));
}
// hold grasps what came; of a list, the first line that asks.
function hold(news) {
  const asks = news.querySelector("[data-line]");
  if (!asks) return grasp(news, true);
  news.scrollIntoView({ block: "nearest" });
  focusRow(asks);
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
  const walked = rowOf(document.activeElement);
  const at = walked ? alike(walked).indexOf(walked) : -1;
  try {
    const plain = form.enctype !== "multipart/form-data";
    const x = await load("POST", form.action, plain ? new URLSearchParams(data) : data);
    const stored = x.status < 400 && x.responseURL !== form.action;
    if (stored || (x.status < 400 && !carries(x.response, form))) forget(form);
    if (x.status >= 400) pressed.length = 0;
    else if (!stored && heading(document) !== heading(x.response)) history.pushState(null, "", location.href); // Back leads to the page with the form
    show(x, stored, form.elements.back?.value.split("#")[1]);
    if (at >= 0 && x.status < 400) focusRow(next(walked, at));
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

// Rows that the keys walk: positions (shapes of the picture not among them), lines
// that ask, and every row of a table or a list.
const kinds = ["[data-position]:not(svg *)", "[data-line]", ":is(.hits, .findings, .plainrows) > li, .each > ul > li", "table.rows:not(.entry) > tbody > tr"];
const rowKinds = kinds.join(", ");
// Keys. Single letters can be switched off, since speech input may type them.
const walkable = () => [...main().querySelectorAll(rowKinds)].filter((row) => row.checkVisibility());
const rowOf = (e) => e?.closest(rowKinds);
const sections = () => [...main().querySelectorAll("section[aria-labelledby]")].filter((s) => s.checkVisibility());
const sectionOf = (e) => e?.closest("section[aria-labelledby]");
// own controls of a row, or of a section that has the focus itself: none of the rows
// inside it, none that is folded away.
const own = (row, css) => [...(row?.querySelectorAll(css) ?? [])].find((e) => (rowOf(e) ?? sectionOf(e)) === row && e.checkVisibility());
function focusRow(row) {
  if (row && !row.hasAttribute("tabindex")) row.tabIndex = -1;
  row?.focus({ preventScroll: true });
  row?.scrollIntoView({ block: "nearest" });
}
// walk goes on from the row or the section in hand, or begins after what has the focus.
function walk(by, rows = walkable(), row = rowOf) {
  const from = document.activeElement;
  const now = rows.indexOf(row(from));
  const after = rows.find((r) => from.compareDocumentPosition(r) & Node.DOCUMENT_POSITION_FOLLOWING);
  focusRow(now < 0 ? after ?? rows[0] : rows[Math.min(Math.max(now + by, 0), rows.length - 1)]);
}
const alike = (row) => walkable().filter((r) => r.matches(kinds.find((css) => row.matches(css))));
// next is the row to hold when one was dealt with: a decided position stays, an
// answered line or an ended finding makes room; after the last question, what blocks.
function next(done, at) {
  const rows = alike(done);
  return rows[Math.min(at + (done.matches("[data-position]") ? 1 : 0), rows.length - 1)] ?? walkable()[0];
}

// press does what a key says at the row in hand, or later when a form is on its way.
function press(key, at = document.activeElement) {
  const walks = "jkJK".includes(key);
  const button = own(rowOf(at) ?? (at?.matches("section") ? at : null), `button[data-key="${CSS.escape(key)}"]`);
  if (!walks && !button) return false;
  if (busy) pressed.push(key);
  else if (walks && key > "Z") walk(key === "j" ? 1 : -1);
  else if (walks) walk(key === "J" ? 1 : -1, sections(), sectionOf);
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
  if (typing && e.key === "Escape") grasp(sectionOf(typing) ?? main());
  if (typing || e.ctrlKey || e.metaKey || e.altKey || lettersOff()) return;
  if (press(e.key, e.target)) {
    e.preventDefault();
  } else if (e.key === "Enter" && e.target.matches(rowKinds)) {
    own(e.target, "a[href], summary")?.click();
  } else if (e.key === "u") {
    document.querySelector("button[data-undo]")?.click();
  } else if (e.key === "/") {
    e.preventDefault();
    toType().focus();
  } else if (e.key === "s") {
    const sheets = [".sheets a", ".strip nav a"].map((css) => document.querySelector(css)).filter(Boolean);
    const sheet = sheets.find((a) => !a.parentElement.contains(document.activeElement)) ?? sheets[0];
    sheet.focus();
    sheet.scrollIntoView({ block: "nearest" });
  } else if (e.key === "e") {
    tableOf(e.target)?.click();
  } else if (e.key === "?") {
    document.getElementById("keys")?.toggleAttribute("open");
    document.getElementById("keys")?.scrollIntoView();
  }
});

// tableOf is the way to the table as a file: of the section in hand, or the page's first.
function tableOf(e) {
  const css = '.export[href*=".csv"]';
  for (let at = rowOf(e) && e.closest("section"); at; at = at.parentElement?.closest("section")) {
    const here = at.querySelector(css);
    if (here) return here;
  }
  return main().querySelector(css);
}

// toType is the field that a page is there for: search, the first of a form that may
// be folded away, a text, any.
function toType() {
  const fields = (css, where = main()) => [...where.querySelectorAll(css)].find((e) => e.checkVisibility());
  const folded = main().querySelector("details.make");
  const search = fields("input[type=search]");
  if (folded && !search) folded.open = true;
  return search || (folded && fields("input:not([type=hidden])", folded)) || fields("textarea") || fields("input:not([type=hidden], [type=checkbox])") || fields("select") || main();
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
// carries tells of a preview that goes on with what was typed.
const carries = (doc, form) => !!form.dataset.keep && !!doc.querySelector(`[data-keep="${CSS.escape(form.dataset.keep)}"]`);
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
