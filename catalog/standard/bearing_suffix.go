package standard

import "strings"

// affixes gives, for each family's short name, the suffixes it knows.
var affixes = onceTable(func() map[string]map[string]Suffix {
	all := []string{"ball", "taper", "cylindrical", "cup", "needle", "cage", "thrustball", "thrustneedle"}
	table := map[string]map[string]Suffix{}
	for _, family := range all {
		table[family] = map[string]Suffix{}
	}
	for _, r := range readTable("bearing_affixes") {
		families := strings.Fields(r.text("families"))
		if r.text("families") == "*" {
			families = all
		}
		for _, family := range families {
			table[family][r.text("affix")] = Suffix{
				Text: r.text("affix"), Canonical: r.text("canonical"), Group: SuffixGroup(r.text("group")),
				Meaning: r.text("meaning"), ChangesEnvelope: r.text("changes_envelope") == "yes", Basis: r.text("basis"),
			}
		}
	}
	return table
})

// longestAffix is the length of the longest suffix in the table.
const longestAffix = 4

// segment cuts an upper-case run into known suffixes, longest first with a step
// back where that leads nowhere: "2RSC3NR", "ZNR", "EC3".
func segment(known map[string]Suffix, run string) ([]Suffix, bool) {
	if run == "" {
		return nil, true
	}
	for n := min(longestAffix, len(run)); n > 0; n-- {
		s, ok := known[run[:n]]
		if !ok {
			continue
		}
		if rest, ok := segment(known, run[n:]); ok {
			return append([]Suffix{s}, rest...), true
		}
	}
	return nil, false
}
