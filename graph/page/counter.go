package page

import (
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
)

// turns is how often the input is turned when a ratio is read.
const turns = "10"

// counterView is the counter: what was seen, and which variant it is.
type counterView struct {
	Families []CounterFamiliesFamiliesFamily
	Family   *CounterFamilyFamily
	Seen     url.Values // as typed
	Result   *WhichIdentifyIdentification
	Picture  *pictureView
}

func (p *Pages) counter(w http.ResponseWriter, r *http.Request) error {
	fams, err := CounterFamilies(r.Context(), p.api)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	cv := &counterView{Families: fams.Families, Seen: q}
	if key := q.Get("family"); key != "" {
		data, err := CounterFamily(r.Context(), p.api, key)
		if err != nil {
			return err
		}
		if data.Family == nil {
			return notFound(say("error.family", key))
		}
		cv.Family = data.Family
		if cv.Picture, err = p.whereToCount(r, data.Family); err != nil {
			return err
		}
		if seen := cv.observations(); len(seen) > 0 {
			which, err := Which(r.Context(), p.api, IdentifyInput{Family: &key, Observations: seen})
			if err != nil {
				return err
			}
			cv.Result = &which.Identify
		}
	}
	return p.render(w, r, http.StatusOK, p.view(r, say("counter.title"), "counter", fams.Shop.CatalogueRevision), counterSheet(cv))
}

// observations are what the form says, as the API reads them: wheel=count,
// feature=value, feature turns 10 = reading. Fields come in a fixed order.
func (v *counterView) observations() []ObservationInput {
	var out []ObservationInput
	for _, name := range slices.Sorted(maps.Keys(v.Seen)) {
		text := strings.TrimSpace(v.Seen.Get(name))
		kind, place, ok := strings.Cut(name, ".")
		switch {
		case !ok || text == "":
		case kind == "o":
			out = append(out, ObservationInput{place + "=" + text})
		case kind == "t":
			out = append(out, ObservationInput{place + " turns " + turns + " = " + text})
		}
	}
	return out
}

// seen is what was typed for a wheel or feature.
func (v *counterView) seen(kind, place string) string { return v.Seen.Get(kind + "." + place) }

// pair is a mesh with its wheels, the way people count: a gear and its partner.
type pair struct {
	Driving, Driven *CounterFamilyFamilyWheelsWheel
}

// pairs are the meshes, and at the end wheels of no mesh by themselves.
func (v *counterView) pairs() []pair {
	wheel := func(key string) *CounterFamilyFamilyWheelsWheel {
		for i := range v.Family.Wheels {
			if v.Family.Wheels[i].Key == key {
				return &v.Family.Wheels[i]
			}
		}
		return nil
	}
	var out []pair
	shown := map[string]bool{}
	for _, m := range v.Family.Meshes {
		p := pair{wheel(m.Driving), wheel(m.Driven)}
		if p.Driving == nil || p.Driven == nil || shown[m.Driving] && shown[m.Driven] {
			continue
		}
		if shown[m.Driving] {
			p.Driving = nil
		}
		if shown[m.Driven] {
			p.Driven = nil
		}
		shown[m.Driving], shown[m.Driven] = true, true
		out = append(out, p)
	}
	for i := range v.Family.Wheels {
		if w := &v.Family.Wheels[i]; !shown[w.Key] {
			out = append(out, pair{Driving: w})
		}
	}
	return out
}

// texts are the values that a feature shows on the variants, each once.
func (f *CounterFamilyFamilyFeaturesFeature) texts() []string {
	var out []string
	for _, v := range f.Values {
		out = append(out, v.Text)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// variantName finds a variant's name.
func (v *counterView) variantName(key string) string {
	for _, x := range v.Family.Variants {
		if x.Key == key {
			return x.Name
		}
	}
	return key
}

// leading are the variants worth showing: those with some probability, at most six.
func (v *counterView) leading() []WhichIdentifyIdentificationRankedRankedVariant {
	n := 0
	for n < len(v.Result.Ranked) && n < 6 && (n == 0 || v.Result.Ranked[n].Permille > 0) {
		n++
	}
	return v.Result.Ranked[:n]
}

// ratio of a variant at a speed, when it is known.
func ratio(r *WhichIdentifyIdentificationRankedRankedVariant, speed string) (exact, decimal string) {
	for _, x := range r.Variant.Ratios {
		if x.Speed == speed {
			return x.Exact, x.Decimal
		}
	}
	return "", say("none")
}

// needsView is what an overhaul of a variant asks for.
type needsView struct {
	*WhatItNeedsResponse
	Short []ShortageRow
	names map[string]string
}

// readNeeds runs a what-if: full strip, everything that wears is replaced.
func (p *Pages) readNeeds(r *http.Request) (*needsView, error) {
	key := r.PathValue("key")
	data, err := WhatItNeeds(r.Context(), p.api, key)
	if err != nil {
		return nil, err
	}
	if data.Variant == nil {
		return nil, notFound(say("error.variant", key))
	}
	in := WhatIfInput{Family: data.Variant.Family.Key, Variant: key, FullStrip: true, Decisions: []DecisionInput{},
		KitLists: []KitTextInput{}, Goods: []GoodsInput{}}
	nv := &needsView{WhatItNeedsResponse: data, names: map[string]string{}}
	for _, pos := range data.Variant.Family.Positions {
		nv.names[pos.Name] = pos.Label
		if pos.Life == LifeWear && !slices.Contains(data.Variant.Without, pos.Name) {
			in.Decisions = append(in.Decisions, DecisionInput{Position: pos.Name, Choice: ChoiceReplace, Sizes: []SizeInput{}})
		}
	}
	report, err := Overhaul(r.Context(), p.api, in)
	if err != nil {
		return nil, err
	}
	nv.Short = report.Reconcile.Shortages
	return nv, nil
}

func (p *Pages) needs(w http.ResponseWriter, r *http.Request) error {
	nv, err := p.readNeeds(r)
	if err != nil {
		return err
	}
	v := p.view(r, say("needs.title", nv.Variant.Name), "counter", nv.Shop.CatalogueRevision)
	v.Block.Variant = nv.Variant.Name
	return p.render(w, r, http.StatusOK, v, needsSheet(nv))
}
