// Ranks lines with MiniSearch, the JavaScript text search of the yardstick.
// stdin: one JSON {parts: [{id, text}], lines: [text], variants: [[id]]}, where
// variants[i] are the parts of the variant of line i.
// stdout: one JSON {top: [id], seconds}.
import { readFileSync } from "node:fs";
import MiniSearch from "minisearch";

const { parts, lines, variants } = JSON.parse(readFileSync(0, "utf8"));
const search = new MiniSearch({ fields: ["text"] });
search.addAll(parts);
const sets = new Map();
const top = [];
const start = performance.now();
for (let i = 0; i < lines.length; i++) {
  const key = variants[i].join(" ");
  if (!sets.has(key)) sets.set(key, new Set(variants[i]));
  const inside = sets.get(key);
  const hits = search.search(lines[i], { prefix: true, fuzzy: 0.2, boostDocument: (id) => (inside.has(id) ? 20 : 1) });
  top.push(hits.length > 0 ? hits[0].id : "");
}
process.stdout.write(JSON.stringify({ top, seconds: (performance.now() - start) / 1000 }));
