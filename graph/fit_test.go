package graph_test

import (
	"strings"
	"testing"

	"layshaft/catalog"
)

func TestFitOverTheAPI(t *testing.T) {
	s := openShop(t)
	for _, tt := range []struct{ name, query, want string }{
		{"yes, if", `{ a: fitQuestion(input: {variant: "bw76-ec2", position: "input-shaft", part: "bw-input-late-24"}) { verdict standing changes { position toKey part { name } price { text } reasons { text expected found } } cost { text } unpriced cheapest measure { text } because { text } smallest together { key } } }`, `"verdict":"YES_IF","standing":"STATED"`},
		{"no", `{ a: fitQuestion(input: {variant: "bw76-ec2", position: "input-bearing", part: "bw-brg-6307n"}) { verdict standing changes { toKey } cost { text } because { code expected found mate { key } } } }`, `"because":[{"code":"mate","expected":"72 mm","found":"80 mm","mate":{"key":"input-bearing-case"}}]`},
		{"on a job", `{ a: fitQuestion(input: {job: "7206", position: "input-bearing", part: "bw-brg-6207n"}) { verdict changes { toKey } } }`, `"verdict":"YES","changes":[]`},
		{"side by side", `{ a: compareParts(a: "bw-brg-6306n", b: "bw-brg-6207n") { key label a b known same by } }`, `"a":"30 mm","b":"35 mm","known":true,"same":false,"by":"5"`},
		{"where", `{ a: whereFits(part: "bw-brg-6306n") { stated { variantKey position standing stated } bySize { position } near { position against { text } open { text } } left } }`, `"stated":true`},
		{"two kits", `{ a: compareWhatIf(
			a: {family: "bw76", variant: "bw76-lw2", decisions: [{position: "input-bearing", choice: REPLACE}], kitLists: [{name: "one", text: "2 x B76-10-1370"}]},
			b: {family: "bw76", variant: "bw76-lw2", decisions: [{position: "input-bearing", choice: REPLACE}], kitLists: [{name: "two", text: "1 x B76-10-1296"}]}) {
			gone { code position } new { code } same { code position } shortages { position a { quantity } b { quantity } } surplus { partKey part { name } a b } costA { text } costB { text } unpricedA unpricedB a { blocking } b { blocking } } }`,
			`{"position":"input-bearing","a":{"quantity":1},"b":null}`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if raw := rawOf(t, s, tt.query); !strings.Contains(raw, tt.want) {
				t.Errorf("the answer does not hold %s:\n%s", tt.want, raw)
			}
		})
	}
	for _, tt := range []struct{ query, want string }{
		{`{ fitQuestion(input: {position: "input-bearing", part: "bw-brg-6307n"}) { verdict } }`, "either a variant or a job"},
		{`{ fitQuestion(input: {job: "7201", position: "input-bearing", part: "bw-brg-6307n"}) { verdict } }`, "variant"},
		{`{ compareParts(a: "bw-brg-6306n", b: "nothing") { key } }`, "nothing"},
		{`{ whereFits(part: "nothing") { left } }`, "nothing"},
	} {
		if _, err := ask[rawJSON](t, s, tt.query); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v does not name %q", tt.query, err, tt.want)
		}
	}
	if _, err := ask[rawJSON](t, s, `{ fitQuestion(input: {job: "7206", position: "input-bearing", part: "bw-brg-6207n"}) { verdict } }`, catalog.ScopeCatalogueRead); err == nil || !strings.Contains(err.Error(), "JOBS_READ") {
		t.Errorf("a job's box is shown without its scope: %v", err)
	}
}
