// Serves the schema with graphql-yoga over data in memory: each root field answers
// with what the measured server answered. Usage, from a folder that has
// node_modules: node yoga.cjs schema.graphqls data.json
// Prints the port it listens on.
const { createRequire } = require("node:module");
const { createServer } = require("node:http");
const { readFileSync } = require("node:fs");
const load = createRequire(process.cwd() + "/");
const { buildSchema } = load("graphql");
const { createYoga } = load("graphql-yoga");
const [schema, data] = process.argv.slice(2);

const built = buildSchema(readFileSync(schema, "utf8"));
const root = JSON.parse(readFileSync(data, "utf8"));
for (const [name, field] of Object.entries(built.getQueryType().getFields())) field.resolve = () => root[name];
const yoga = createYoga({ schema: built, logging: false, graphiql: false });
const server = createServer(yoga);
server.listen(0, "127.0.0.1", () => console.log(server.address().port));
