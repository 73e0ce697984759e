package drawing

import "layshaft/catalog"

// symbols for what lies beside the shafts, in px about the middle of a cell:
// 24 wide, 18 high.
var symbols = map[catalog.PartKind][]Shape{
	"bolt":           {box(Outline, -11, -4, -6, 4), box(Outline, -6, -2, 11, 2), line(Thin, 2, -1, 11, -1), line(Thin, 2, 1, 11, 1)},
	"screw":          {poly(Outline, true, -10, -5, -6, -2, -6, 2, -10, 5), box(Outline, -6, -2, 10, 2), line(Thin, 0, -1, 10, -1), line(Thin, 0, 1, 10, 1)},
	"plug":           {box(Outline, -8, -6, -3, 6), box(Outline, -3, -4, 8, 4), line(Thin, -3, -2.5, 8, -2.5), line(Thin, -3, 2.5, 8, 2.5)},
	"nut":            {poly(Outline, true, -8, 0, -4, -7, 4, -7, 8, 0, 4, 7, -4, 7), ring(Thin, 0, 0, 3.5)},
	"roll pin":       {box(Outline, -11, -2.5, 11, 2.5), line(Thin, -11, -0.6, 11, -0.6), line(Thin, -11, 0.6, 11, 0.6)},
	"dowel":          {poly(Outline, true, -9, -3, 8, -3, 10, -1, 10, 1, 8, 3, -9, 3), line(Chain, -12, 0, 12, 0)},
	"lock plate":     {poly(Outline, true, -10, -4, 4, -4, 4, -7, 8, -7, 8, 4, -10, 4), ring(Thin, -4, 0, 2)},
	"interlock pin":  {poly(Outline, true, -9, -2.5, 9, -2.5, 11, 0, 9, 2.5, -9, 2.5, -11, 0), line(Chain, -12, 0, 12, 0)},
	"detent ball":    {ring(Outline, 0, 0, 6), line(Chain, -9, 0, 9, 0), line(Chain, 0, -9, 0, 9)},
	"sealing washer": {ring(Outline, 0, 0, 7.5), ring(Outline, 0, 0, 4.5)},
	"washer":         {ring(Outline, 0, 0, 7.5), ring(Outline, 0, 0, 3)},
	"thrust washer":  {ring(Outline, 0, 0, 8), ring(Outline, 0, 0, 4), line(Thin, 0, -8, 0, -4)},
	"o-ring":         {ring(Outline, 0, 0, 8), ring(Thin, 0, 0, 6)},
	"o-ring set":     {ring(Outline, -3, 0, 7), ring(Outline, 5, 2, 5)},
	"snap ring":      {line(Outline, 3, -7, -2, -8, -7, -4, -8, 1, -5, 6, 0, 8, 6, 6, 8, 1, 7, -4), ring(Thin, 4, -7, 1), ring(Thin, 7.5, -4, 1)},
	"oil seal":       {box(Outline, -6, -8, 6, 8), line(Thin, -3.5, 5, 3.5, -5)},
	"gasket":         {poly(Full, true, -11, -1, 11, -1, 11, 1, -11, 1), line(Thin, -11, -6, 11, -6), line(Thin, -11, 6, 11, 6), line(Hidden, -8, -9, -8, 9), line(Hidden, 8, -9, 8, 9)},
	"gasket set":     {box(Outline, -10, -7, 5, 5), box(Outline, -6, -4, 9, 8), ring(Thin, 1.5, 2, 3)},
	"sealant":        {poly(Outline, true, -11, -4, 4, -5, 4, 5, -11, 4), poly(Outline, true, 4, -2, 11, 0, 4, 2), line(Thin, -8, -4, -8, 4)},
	"shift fork":     {line(Outline, -10, -7, -2, -7, 4, -4, 6, 0, 4, 4, -2, 7, -10, 7), box(Outline, 6, -4, 12, 4), line(Thin, -10, -4, -3, -4, 1, -2, 2.5, 0, 1, 2, -3, 4, -10, 4)},
	"fork pad":       {poly(Outline, true, -9, -5, 9, -5, 9, -1, 3, -1, 3, 5, -3, 5, -3, -1, -9, -1)},
	"shift rail":     {box(Outline, -12, -2.5, 12, 2.5), poly(Full, true, -7, -2.5, -5, -1, -3, -2.5), poly(Full, true, -1, -2.5, 1, -1, 3, -2.5), line(Chain, -13, 0, 13, 0)},
	"selector shaft": {box(Outline, -12, -2.5, 12, 2.5), box(Outline, 0, -2.5, 5, 9), line(Chain, -13, 0, 13, 0)},
	"detent spring":  {line(Outline, -11, 0, -8, -5, -5, 5, -2, -5, 1, 5, 4, -5, 7, 5, 10, 0)},
	"lever bush":     {box(Outline, -8, -7, 8, -3), box(Outline, -8, 3, 8, 7), line(Chain, -11, 0, 11, 0)},
	"bush":           {box(Outline, -8, -7, 8, -3.5), box(Outline, -8, 3.5, 8, 7), line(Chain, -11, 0, 11, 0)},
	"case":           {poly(Outline, true, -11, -7, 11, -7, 11, 7, -11, 7), poly(Thin, true, -8, -4, 8, -4, 8, 4, -8, 4), ring(Thin, -3, 0, 2.5), ring(Thin, 4, 0, 2)},
	"bell housing":   {poly(Outline, true, -10, -9, 8, -5, 8, 5, -10, 9), line(Thin, -7, -8, -7, 8)},
	"top cover":      {poly(Outline, true, -11, 4, -11, 1, -4, 1, -2, -7, 2, -7, 4, 1, 11, 1, 11, 4), line(Chain, 0, -9, 0, 6)},
	"centre plate":   {box(Outline, -3, -9, 3, 9), line(Thin, -3, -3, 3, -3), line(Thin, -3, 3, 3, 3)},
	"retainer plate": {poly(Outline, true, -9, -6, 9, -6, 9, 6, 4, 6, 0, 2, -4, 6, -9, 6), ring(Thin, -6, -3, 1.5), ring(Thin, 6, -3, 1.5)},
	"breather":       {box(Outline, -3, 0, 3, 8), poly(Outline, true, -7, 0, -7, -4, -4, -7, 4, -7, 7, -4, 7, 0)},
	"oil trough":     {line(Outline, -11, -4, -9, 3, 9, 3, 11, -4), line(Thin, -7, 0, 7, 0), line(Thin, -4, 6, 4, 6)},
	"synchro key":    {poly(Outline, true, -9, 3, -9, -2, -3, -2, 0, -5, 3, -2, 9, -2, 9, 3)},
	"spacer":         {box(Outline, -9, -6, 9, -3), box(Outline, -9, 3, 9, 6), line(Chain, -11, 0, 11, 0)},
	"shim":           {ring(Outline, -3, 0, 7), ring(Outline, -3, 0, 5), poly(Full, true, 8, -7, 9.4, -7, 9.4, 7, 8, 7)},
	"extension housing": {poly(Outline, true, -11, -8, -4, -8, 0, -4, 11, -4, 11, 4, 0, 4, -4, 8, -11, 8),
		line(Thin, -8, -8, -8, 8)},
	"front bearing retainer":    {poly(Outline, true, -11, -3, 5, -3, 5, -8, 9, -8, 9, 8, 5, 8, 5, 3, -11, 3), line(Chain, -13, 0, 12, 0)},
	"reverse inhibitor":         {box(Outline, -10, -4, 0, 4), line(Outline, 0, 0, 2, -4, 4, 4, 6, -4, 8, 4, 10, 0)},
	"reverse lamp switch":       {poly(Outline, true, -10, -4, 0, -4, 0, -7, 4, -7, 4, 7, 0, 7, 0, 4, -10, 4), line(Thin, 4, -3, 9, -3), line(Thin, 4, 3, 9, 3)},
	"selector shaft bush":       {box(Outline, -7, -6, 7, -3), box(Outline, -7, 3, 7, 6), line(Chain, -11, 0, 11, 0)},
	"differential pinion shaft": {box(Outline, -12, -3, 12, 3), ring(Thin, -8, 0, 1.3), line(Chain, -13, 0, 13, 0)},
	"synchro key spring":        {line(Outline, 5, -7, 0, -8, -6, -5, -8, 0, -6, 5, 0, 8, 6, 5, 8, 0, 7, -3)},
}

// classSymbols for kinds without a symbol of their own.
var classSymbols = map[catalog.Class][]Shape{
	catalog.ClassGear:     {ring(Outline, 0, 0, 8), ring(Chain, 0, 0, 6.3), ring(Thin, 0, 0, 2.5)},
	catalog.ClassBearing:  {box(Outline, -7, -8, 7, 8), line(Thin, -4, 0, 4, 0), line(Thin, 0, -4.5, 0, 4.5)},
	catalog.ClassShaft:    {box(Outline, -12, -2, -4, 2), box(Outline, -4, -4, 6, 4), box(Outline, 6, -2, 12, 2), line(Chain, -13, 0, 13, 0)},
	catalog.ClassSynchro:  {poly(Outline, true, -8, -6, -3, -6, -3, -2, 3, -2, 3, -6, 8, -6, 8, 6, -8, 6)},
	catalog.ClassFriction: {ring(Outline, 0, 0, 8), ring(Thin, 0, 0, 5.5)},
	catalog.ClassCase:     {box(Outline, -11, -7, 11, 7), box(Thin, -8, -4, 8, 4)},
	catalog.ClassSpring:   {line(Outline, -11, 0, -8, -5, -5, 5, -2, -5, 1, 5, 4, -5, 7, 5, 10, 0)},
}

func ring(pen Pen, x, y, r float64) Shape { return Shape{Pen: pen, Points: []Point{{x, y}}, R: r} }

func symbolOf(k catalog.PartKind) []Shape {
	if s, ok := symbols[k]; ok {
		return s
	}
	if s, ok := classSymbols[k.Class()]; ok {
		return s
	}
	return []Shape{box(Outline, -8, -6, 8, 6), line(Thin, -8, 6, 8, -6)}
}
