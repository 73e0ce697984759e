#!/bin/sh
# Fetches what has changed among a shop's shortages since the last run, as lines
# of JSON. Needs a token with the scope SHORTAGES_READ; the file remembers where
# the last run ended.
#
#   LAYSHAFT_TOKEN=lay_... sh pull.sh http://127.0.0.1:8480 cursor.txt
set -eu
since=$(cat "$2" 2>/dev/null || true)
head=$(mktemp)
trap 'rm -f "$head"' EXIT
curl -fsS -D "$head" -H "Authorization: Bearer $LAYSHAFT_TOKEN" "$1/feeds/shortages.ndjson?since=$since"
sed -n 's/^[Ll]ayshaft-[Cc]ursor: *\([^[:space:]]*\).*/\1/p' "$head" >"$2"
