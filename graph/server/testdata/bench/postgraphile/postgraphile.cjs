// Puts an answer into PostgreSQL as tables and serves them with PostGraphile.
// Objects in lists become rows of a table of their own with a reference to their
// parent, single objects columns. Usage, from a folder that has node_modules:
//   node postgraphile.cjs postgres://user@host/database data.json
// The database is emptied. Prints one line of JSON: port, the query that gives the
// same data, and the process id of a backend.
const { createRequire } = require("node:module");
const { createServer } = require("node:http");
const { readFileSync } = require("node:fs");
const load = createRequire(process.cwd() + "/");
const { Pool } = load("pg");
const { postgraphile } = load("postgraphile");
const [connection, file] = process.argv.slice(2);
const tables = new Map(); // name -> {columns, children, rows}

const snake = (s) => s.replace(/[A-Z]/g, (c) => "_" + c.toLowerCase());
const camel = (s) => s.replace(/_(.)/g, (_, c) => c.toUpperCase());

function flatten(object, prefix, out) {
  for (const [k, v] of Object.entries(object)) {
    const name = prefix + snake(k);
    if (v !== null && typeof v === "object" && !Array.isArray(v)) flatten(v, name + "_", out);
    else out.push([name, v]);
  }
  return out;
}

// keep stores an object as a row and its lists as rows of tables below.
function keep(table, object, parent) {
  if (!tables.has(table)) tables.set(table, { columns: new Map(), children: new Set(), rows: [], parent: parent?.table });
  const t = tables.get(table);
  const row = { row: t.rows.length + 1, parent: parent?.row ?? null };
  t.rows.push(row);
  for (const [name, v] of flatten(object, "", [])) {
    if (Array.isArray(v) && v.some((x) => x !== null && typeof x === "object")) {
      const child = table.replace(/_rows$/, "") + "_" + name + "_rows";
      t.children.add(child);
      for (const x of v) keep(child, x, { table, row: row.row });
    } else if (!Array.isArray(v)) {
      row["c_" + name] = v;
      const kind = typeof v === "number" ? "int8" : typeof v === "boolean" ? "bool" : "text";
      if (v !== null || !t.columns.has("c_" + name)) t.columns.set("c_" + name, kind);
    }
  }
}

function selection(table) {
  const t = tables.get(table);
  const fields = [...t.columns.keys()].map(camel);
  for (const child of t.children) if (tables.has(child)) fields.push(`${camel(child)}ByParent{nodes{${selection(child)}}}`);
  return fields.join(" ");
}

(async () => {
  const root = JSON.parse(readFileSync(file, "utf8"));
  keep("answer_rows", root);
  const pool = new Pool({ connectionString: connection });
  await pool.query("drop schema if exists measured cascade; create schema measured");
  for (const [name, t] of tables) {
    const columns = [...t.columns].map(([c, kind]) => `"${c}" ${kind}`);
    await pool.query(`create table measured.${name} (${["row int primary key", `parent int${t.parent ? ` references measured.${t.parent}` : ""}`, ...columns].join(", ")})`);
    await pool.query(`create index on measured.${name} (parent)`);
    for (const row of t.rows) {
      const names = Object.keys(row);
      await pool.query(`insert into measured.${name} (${names.map((n) => `"${n}"`).join(",")}) values (${names.map((_, i) => "$" + (i + 1)).join(",")})`,
        names.map((n) => row[n]));
    }
  }
  await pool.query("analyze");
  const backend = (await pool.query("select pg_backend_pid() as pid")).rows[0].pid;
  const handler = postgraphile(pool, "measured", { disableQueryLog: true, graphiql: false, dynamicJson: false, enableQueryBatching: false, disableDefaultMutations: true });
  const server = createServer(handler);
  server.listen(0, "127.0.0.1", () => console.log(JSON.stringify({ port: server.address().port, backend, query: `{allAnswerRows{nodes{${selection("answer_rows")}}}}` })));
})();
