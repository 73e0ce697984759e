package reconcile

// ruleHubSleeve reports a hub or sleeve that is renewed alone where the
// catalogue has no bond to say so (lapped together at manufacture: common
// practice, several service pages).
func ruleHubSleeve(w *work, r *Rule) {
	w.pairs("synchro hub", "synchro sleeve", func(a, b *spot) {
		kept, renewed := oneSided(w, a, b)
		if kept == nil || w.bonded(a, b) {
			return
		}
		f := r.at(w, kept)
		f.Chain = w.chain(newNode(renewed.index))
		f.say("the "+kept.name(), "the "+renewed.name()+" is renewed and the "+kept.name()+" goes back; hub and sleeve are lapped together")
		f.Remedy = &Remedy{Text: "Renew both, or sign for the pairing after trying it on the bench.", Parts: w.fitting(kept)}
		w.add(f)
	})
}
