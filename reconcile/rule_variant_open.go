package reconcile

// ruleVariantOpen says that the variant is not known.
func ruleVariantOpen(w *work, r *Rule) {
	if w.job.Variant != "" || len(w.variants) < 2 {
		return
	}
	var names []string
	for _, v := range w.variants {
		if x, ok := w.ix.Variant(v); ok {
			names = append(names, quoted(x.Name))
		}
	}
	n := 0
	for i := range w.spots {
		if s := &w.spots[i]; w.certain(s) && len(s.cands) > 0 && !w.sameForAll(s) {
			n++
		}
	}
	f := r.general()
	f.Blocking = r.Blocks && n > 0
	fact := "the variant is not known; it may be " + either(names)
	if n > 0 {
		fact += "; what is wanted at " + places(n) + " depends on it"
	}
	f.say("the job", fact)
	f.Remedy = &Remedy{Text: "Count teeth or look at what tells them apart, and enter the variant."}
	w.add(f)
}
