// Drives the npm client graphql-ws against a server and prints what it saw as
// one JSON object. Usage: node ws.cjs ws://host/graphql, from a folder that has
// node_modules.
const { createRequire } = require("node:module");
const load = createRequire(process.cwd() + "/");
const { createClient } = load("graphql-ws");
const WebSocket = load("ws");

const url = process.argv[2];
const client = createClient({ url, webSocketImpl: WebSocket, lazy: false, retryAttempts: 0 });

async function collect(query, variables, most) {
  const seen = [];
  const it = client.iterate({ query, variables });
  try {
    for await (const answer of it) {
      seen.push(answer);
      if (seen.length >= most) break;
    }
  } catch (e) {
    return { seen, refused: Array.isArray(e) ? e.map((x) => x.message) : String(e) };
  }
  return { seen };
}

// Closes with what a server answers to raw messages.
function closeCode(...messages) {
  return new Promise((done) => {
    const s = new WebSocket(url, "graphql-transport-ws");
    s.on("open", () => messages.forEach((m) => s.send(m)));
    s.on("close", (code) => done(code));
    s.on("error", () => {});
  });
}

(async () => {
  const init = '{"type":"connection_init"}';
  const watch = '{"id":"1","type":"subscribe","payload":{"query":"subscription{shortages{totalCount}}"}}';
  const out = {
    query: await collect("{shop{families}}", {}, 5),
    invalid: await collect("{nothing}", {}, 5),
    wrong: await collect('{parts(first:0){totalCount}}', {}, 5),
    stream: await collect('subscription{shortages(changedSince:""){edges{node{key}} pageInfo{endCursor}}}', {}, 1),
    codes: {
      noInit: await closeCode(watch),
      twoInits: await closeCode(init, init),
      duplicate: await closeCode(init, watch, watch),
      notJSON: await closeCode("{"),
      unknown: await closeCode(init, '{"type":"dance"}'),
      late: await closeCode(),
    },
  };
  const after = await collect("{shop{families}}", {}, 5);
  out.after = after;
  await client.dispose();
  console.log(JSON.stringify(out));
  process.exit(0);
})();
