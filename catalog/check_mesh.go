package catalog

// checkMeshes reports meshes that no gearbox has, and families and meshes
// without a usable centre distance.
func checkMeshes(k *checkup) {
	for _, f := range k.ix.families {
		if f.CentreDistance <= 0 {
			k.severe(f, fault{"centre-distance", "centreDistance", "Measure it between the shaft bores"}, "The centre distance is %v.", f.CentreDistance)
		}
		for _, m := range f.Meshes {
			at := fault{"mesh-shape", "meshes", "Name the wheels in order of power flow"}
			switch {
			case m.Driving == m.Driven:
				k.severe(f, at, "In mesh %s the wheel %s drives itself.", m.ID, m.Driving)
			case len(m.Idler) > 2:
				k.severe(f, at, "Mesh %s has %d idler wheels; one is plain, two are a two-step idler.", m.ID, len(m.Idler))
			case m.CentreDistance < 0 || m.NormalModule < 0:
				k.severe(f, at, "Mesh %s has a size less than nothing.", m.ID)
			case len(m.Idler) > 0 && m.CentreDistance != 0:
				k.hint(f, at, "Mesh %s has an idler between and still a centre distance of its own, which says nothing.", m.ID)
			}
		}
		for _, s := range f.Speeds {
			if s.Reverse && len(s.Meshes) == 0 {
				k.severe(f, fault{"mesh-shape", "speeds", "Name the meshes of the speed"}, "Speed %s is a reverse and has no mesh.", s.Name)
			}
		}
	}
}
