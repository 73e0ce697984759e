// Drives the npm client graphql-sse against a server and prints what it saw as
// one JSON object. Usage: node sse.cjs http://host/graphql, from a folder that
// has node_modules.
const { createRequire } = require("node:module");
const load = createRequire(process.cwd() + "/");
const { createClient } = load("graphql-sse");

const client = createClient({ url: process.argv[2], retryAttempts: 0 });

async function collect(query, most) {
  const seen = [];
  try {
    for await (const answer of client.iterate({ query })) {
      seen.push(answer);
      if (seen.length >= most) break;
    }
  } catch (e) {
    return { seen, refused: String(e) };
  }
  return { seen };
}

(async () => {
  console.log(JSON.stringify({
    query: await collect("{shop{families}}", 5),
    invalid: await collect("{nothing}", 5),
    wrong: await collect("{parts(first:0){totalCount}}", 5),
    stream: await collect('subscription{shortages(changedSince:""){edges{node{key}} pageInfo{endCursor}}}', 1),
  }));
  process.exit(0);
})();
