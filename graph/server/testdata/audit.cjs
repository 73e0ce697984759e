// Runs the audits of the npm package graphql-http against a server and prints
// one JSON array of {id, name, status, reason}.
// Usage: node audit.cjs http://host/graphql, from a folder that has node_modules.
const { createRequire } = require("node:module");
const load = createRequire(process.cwd() + "/");
const { auditServer } = load("graphql-http");

auditServer({ url: process.argv[2] }).then((results) => {
  console.log(JSON.stringify(results.map(({ id, name, status, reason }) => ({ id, name, status, reason }))));
});
