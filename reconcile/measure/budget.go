package measure

import (
	"fmt"
	"math"

	"layshaft/catalog/quantity"
)

// Line is one line of an uncertainty budget. U and Contribution are in mm (N·m
// for turning torque).
type Line struct {
	Name         string
	U            float64 // standard uncertainty of the input
	DoF          float64 // 0 when taken as known
	Sensitivity  float64 // change of the result per change of the input
	Contribution float64 // Sensitivity times U
	Basis        string  // where the figure comes from
	Typical      bool    // a typical value stands in for one not stated
}

// Budget is the uncertainty of the room (the play before a grade is chosen).
type Budget struct {
	Lines []Line
	U     float64 // combined standard uncertainty
	DoF   float64 // effective degrees of freedom (Welch-Satterthwaite); 0: infinitely many
	// Expanded is 2 U. With few degrees of freedom it covers less than 95 %;
	// Coverage95 is the factor that would (JCGM 100:2008, G.6.4).
	Expanded   float64
	Coverage95 float64
}

// Typical values, from a depth gauge of resolution 0.01 mm: certificate
// 0.010 mm at k = 2, standard deviation of one reading 0.012 mm, a shim by
// micrometer 0.003 mm, a gauge block 0.001 mm (common practice and from memory;
// a shop enters its own).
const (
	typicalShim  = 3 * quantity.Micron
	typicalBlock = quantity.Micron
)

type budget struct{ lines []Line }

func (b *budget) add(name string, u, dof, sensitivity float64, basis string, typical bool) {
	b.lines = append(b.lines, Line{Name: name, U: u, DoF: dof, Sensitivity: sensitivity, Basis: basis, Typical: typical})
}

// addSeries adds resolution, repeatability and certificate of one series.
// resolution, certificate and pooled are in whole units of the series.
func (b *budget) addSeries(s *Series, sensitivity float64, g gauge) {
	per := s.Kind.perUnit()
	b.add(s.Name+": resolution", float64(g.resolution)/per/math.Sqrt(12), 0, sensitivity,
		s.show(g.resolution)+" "+g.resolutionFrom+", rectangular", false)
	if n := len(s.amounts); n >= ownRepeatability {
		b.add(s.Name+": repeatability", s.S/math.Sqrt(float64(n)), float64(n-1), sensitivity,
			fmt.Sprintf("standard deviation %.4f of %d readings", s.S, n), false)
	} else {
		b.add(s.Name+": repeatability", float64(g.pooled)/per/math.Sqrt(float64(n)), 0, sensitivity,
			fmt.Sprintf("%s standard deviation %s, %s", g.pooledFrom, s.show(g.pooled), readingCount(n)), g.pooledTypical)
	}
	b.add(s.Name+": certificate", float64(g.certificate)/per/2, 0, sensitivity,
		g.certificateFrom+" "+s.show(g.certificate)+" at k = 2", g.certificateTypical)
}

func readingCount(n int) string {
	if n == 1 {
		return "1 reading"
	}
	return fmt.Sprintf("%d readings", n)
}

// finish propagates the lines.
func (b *budget) finish() Budget {
	inputs := make([]Quantity, len(b.lines))
	for i, l := range b.lines {
		inputs[i] = Quantity{Name: l.Name, U: l.U, DoF: l.DoF}
	}
	p := Propagate(func(x []float64) float64 {
		var sum float64
		for i, v := range x {
			sum += b.lines[i].Sensitivity * v
		}
		return sum
	}, inputs, nil)
	for i := range b.lines {
		b.lines[i].Contribution = p.Contributions[i]
	}
	out := Budget{Lines: b.lines, U: p.U, DoF: p.DoF, Expanded: 2 * p.U}
	out.Coverage95 = studentQuantile(0.975, wholeDoF(p.DoF))
	return out
}

// wholeDoF truncates to an integer of at least 1, as JCGM 100:2008, G.6.4 takes
// it; 0 stays 0.
func wholeDoF(dof float64) float64 {
	if dof <= 0 {
		return 0
	}
	return math.Max(1, math.Floor(dof))
}

// gauge is an instrument with every gap filled, in whole units.
type gauge struct {
	resolution, certificate, pooled int64
	resolutionFrom                  string
	certificateFrom, pooledFrom     string
	certificateTypical              bool
	pooledTypical                   bool
}

func fillGauge(resolution, certificate, pooled, typed int64) gauge {
	g := gauge{resolution, certificate, pooled, "stated", "certificate", "the shop's", false, false}
	if g.resolution <= 0 {
		g.resolution, g.resolutionFrom = typed, "from the digits typed"
	}
	if g.certificate <= 0 {
		g.certificate, g.certificateFrom, g.certificateTypical = g.resolution, "typical", true
	}
	if g.pooled <= 0 {
		g.pooled, g.pooledFrom, g.pooledTypical = exact{g.resolution * 6, 5}.nearest(), "typical", true
	}
	return g
}

func (i Instrument) gauge(typed int64) gauge {
	return fillGauge(int64(i.Resolution), int64(i.Certificate), int64(i.Pooled), typed)
}

func (i TorqueInstrument) gauge(typed int64) gauge {
	return fillGauge(int64(i.Resolution), int64(i.Certificate), int64(i.Pooled), typed)
}
