"use strict";
// The query desk: sends what is written, shows the answer and what it cost.
const at = (id) => document.getElementById(id);

at("example").addEventListener("change", (e) => { at("query").value = e.target.value; });

async function run() {
  const answer = at("answer"), cost = at("cost");
  let variables = null;
  try {
    variables = at("variables").value.trim() === "" ? null : JSON.parse(at("variables").value);
  } catch (e) {
    answer.textContent = "The variables are not JSON: " + e.message;
    return;
  }
  const headers = { "Content-Type": "application/json" };
  if (at("token").value !== "") headers.Authorization = "Bearer " + at("token").value.trim();
  cost.textContent = "asking ...";
  try {
    const start = performance.now();
    const resp = await fetch("/graphql", { method: "POST", headers, body: JSON.stringify({ query: at("query").value, variables }) });
    const text = await resp.text();
    cost.textContent = `status ${resp.status}, cost ${resp.headers.get("Layshaft-Cost") ?? "unknown"}, ` +
      `${text.length} characters, ${Math.round(performance.now() - start)} ms`;
    try {
      answer.textContent = JSON.stringify(JSON.parse(text), null, 2);
    } catch {
      answer.textContent = text;
    }
  } catch (e) {
    cost.textContent = "";
    answer.textContent = "No answer: " + e.message;
  }
}

at("run").addEventListener("click", run);
at("query").addEventListener("keydown", (e) => { if (e.key === "Enter" && (e.ctrlKey || e.metaKey)) run(); });
