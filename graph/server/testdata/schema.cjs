// Checks an SDL document and compares it with the last released one.
// Usage: node schema.cjs now.graphqls released.graphqls, from a folder that has
// node_modules. Prints {lint: [...], breaking: [...]}.
const { createRequire } = require("node:module");
const { readFileSync } = require("node:fs");
const { spawnSync } = require("node:child_process");
const load = createRequire(process.cwd() + "/");
const { buildSchema } = load("graphql");
const { diff, CriticalityLevel } = load("@graphql-inspector/core");
const [now, released] = process.argv.slice(2);

// Left out: sorting (we order by meaning), capitals (values are quoted as they
// are written), descriptions of single fields and members (counted, not yet
// complete), arguments of connections (a subscription needs none).
const rules = [
  "arguments-have-descriptions", "defined-types-are-used", "deprecations-have-a-reason", "enum-values-all-caps",
  "enum-values-have-descriptions", "fields-are-camel-cased", "input-object-values-are-camel-cased",
  "relay-connection-types-spec", "relay-page-info-spec", "types-are-capitalized", "types-have-descriptions",
];
const linter = load.resolve("graphql-schema-linter/lib/cli.js");
const run = spawnSync(process.execPath, [linter, "-f", "json", "--rules", rules.join(","), now], { encoding: "utf8" });
const lint = JSON.parse(run.stdout).errors.map((e) => `${e.message} (${e.rule})`);
const build = (file) => buildSchema(readFileSync(file, "utf8"));
diff(build(released), build(now)).then((changes) => {
  const breaking = changes.filter((c) => c.criticality.level === CriticalityLevel.Breaking).map((c) => c.message);
  console.log(JSON.stringify({ lint, breaking }));
});
