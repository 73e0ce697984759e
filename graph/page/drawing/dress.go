package drawing

import "slices"

// say gives a word of the picture.
func (o *Options) say(key string) string {
	if o.Say != nil {
		if s := o.Say(key); s != "" {
			return s
		}
	}
	return words[key]
}

// idPrefix of element ids.
func (o *Options) idPrefix() string {
	if o.Prefix == "" {
		return "pic-"
	}
	return o.Prefix
}

// dressed is a copy of a laid out picture with states and links.
func (p Picture) dressed(o Options) Picture {
	p.prefix, p.current = o.idPrefix(), o.Current
	p.Items, p.Texts = slices.Clone(p.Items), slices.Clone(p.Texts)
	for i := range p.Items {
		it := &p.Items[i]
		it.State = o.States[it.Position].known()
		it.Label = it.spoken + ": " + o.say("state."+string(it.State))
		it.href = "#position-" + string(it.Position)
		if o.Href != nil {
			it.href = o.Href(it.Position)
		}
	}
	for i := range p.Texts {
		if p.Texts[i].shaft != "" && o.ShaftHref != nil {
			p.Texts[i].Href = o.ShaftHref(p.Texts[i].shaft)
		}
	}
	return p
}
