package identify

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"

	"layshaft/catalog"
)

//go:embed rates.csv
var ratesCSV string

// Range of tooth counts that an unexplained count is spread over, and of dog
// teeth (from memory).
const (
	minTeeth, maxTeeth = 5, 120
	minDog, maxDog     = 30, 42
	maxCount           = 200 // splines, bolts, lugs
)

// rates of error by "kernel/component".
type rates map[string]float64

var table = mustRates(ratesCSV)

// mustRates reads the embedded table; a fault in it is a fault of the program.
func mustRates(text string) rates {
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(fmt.Sprintf("identify: rates.csv: %v", err))
	}
	r := rates{}
	for _, row := range rows[1:] {
		v, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			panic(fmt.Sprintf("identify: rates.csv: %v", err))
		}
		r[row[0]+"/"+row[1]] = v
	}
	return r
}

// scale by which the errors of a kernel are multiplied so that they add up to
// a feature's own error rate; 1 when the feature states none.
func scale(f *catalog.Feature, total float64) float64 {
	if f == nil || f.ErrorRate <= 0 || total <= 0 {
		return 1
	}
	return min(float64(f.ErrorRate)/1000, 0.999) / total
}

// countKernel is the error model of a count.
type countKernel struct{ exact, one, two, neighbour, dog, other float64 }

func (r rates) counting(kernel string, f *catalog.Feature) countKernel {
	k := countKernel{
		one: r[kernel+"/one"], two: r[kernel+"/two"], neighbour: r[kernel+"/neighbour"],
		dog: r[kernel+"/dog"], other: r[kernel+"/other"],
	}
	s := scale(f, k.one+k.two+k.neighbour+k.dog+k.other)
	k.one, k.two, k.neighbour, k.dog, k.other = k.one*s, k.two*s, k.neighbour*s, k.dog*s, k.other*s
	k.exact = 1 - k.one - k.two - k.neighbour - k.dog - k.other
	return k
}

// Components of a count's likelihood, and the cause that each stands for.
const (
	partExact = iota
	partOne
	partTwo
	partNeighbour
	partDog
	partOther
	countParts
)

// weigh splits the chance of counting got when there are truth by cause.
// Neighbours are the counts of wheels that may have been counted instead.
func (k countKernel) weigh(got, truth int, neighbours []int) (p [countParts]float64) {
	switch got - truth {
	case 0:
		p[partExact] = k.exact
	case 1, -1:
		p[partOne] = k.one / 2
	case 2, -2:
		p[partTwo] = k.two / 2
	}
	other := k.other
	if len(neighbours) == 0 {
		other += k.neighbour
	}
	for _, n := range neighbours {
		if got == n {
			p[partNeighbour] += k.neighbour / float64(len(neighbours))
		}
	}
	if k.dog > 0 && got >= minDog && got <= maxDog {
		p[partDog] = k.dog / (maxDog - minDog + 1)
	}
	p[partOther] = other / (maxTeeth - minTeeth + 1)
	return p
}

// chance is the sum of weigh's parts, without laying them out: it is asked for
// every variant.
func (k *countKernel) chance(got, truth int, neighbours []int) float64 {
	p := k.other / (maxTeeth - minTeeth + 1)
	switch got - truth {
	case 0:
		p += k.exact
	case 1, -1:
		p += k.one / 2
	case 2, -2:
		p += k.two / 2
	}
	if got >= minDog && got <= maxDog {
		p += k.dog / (maxDog - minDog + 1)
	}
	if len(neighbours) == 0 {
		return p + k.neighbour/(maxTeeth-minTeeth+1)
	}
	for _, n := range neighbours {
		if got == n {
			p += k.neighbour / float64(len(neighbours))
		}
	}
	return p
}

func total(parts []float64) float64 {
	sum := 0.0
	for _, p := range parts {
		sum += p
	}
	return sum
}
