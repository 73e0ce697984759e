package kitlist

// maxJoin is how many neighbouring tokens are offered as one part number.
const maxJoin = 4

// maxRun is the longest run of tokens that are tried joined: longer ones are no part numbers.
const maxRun = 12

// scanNumbers finds what may be a part number: tokens with digits that nothing else explains, and neighbours joined.
func (e *entry) scanNumbers() {
	var run []NumberToken // neighbouring tokens that could be one number
	var ends [][2]int
	flush := func() {
		e.joinNumbers(run, ends)
		run, ends = nil, nil
	}
	for i := e.body; i < e.b; {
		if e.at[i].class == cSpace {
			if e.at[i].width > 1 {
				flush()
			}
			i++
			continue
		}
		b := e.chunk(i)
		a, z := e.trim(i, b)
		if a < z && e.unclaimed(a, z) && e.numberLike(a, z) {
			for _, p := range e.slashed(a, z) {
				run = append(run, NumberToken{Text: e.raw(p[0], p[1]), Start: e.start(p[0]), End: e.end(p[1])})
				ends = append(ends, p)
			}
		} else {
			flush()
		}
		i = b
	}
	flush()
}

// chunk is the end of the run of atoms without blanks that starts at i.
func (e *entry) chunk(i int) int {
	for i < e.b && e.at[i].class != cSpace && !(e.at[i].role == rPunct) {
		i++
	}
	if i < e.b && e.at[i].role == rPunct {
		i++
	}
	return i
}

// slashed cuts "4471-00/4471-01" into two numbers.
func (e *entry) slashed(a, b int) [][2]int {
	for i := a + 1; i+1 < b; i++ {
		if e.text(i) == "/" && e.strong(a, i) && e.strong(i+1, b) {
			return append([][2]int{{a, i}}, e.slashed(i+1, b)...)
		}
	}
	return [][2]int{{a, b}}
}

// trim drops punctuation around a chunk.
func (e *entry) trim(a, b int) (int, int) {
	for a < b && (e.at[a].class == cPunct || e.at[a].class == cBad) {
		a++
	}
	for b > a && (e.at[b-1].class == cPunct || e.at[b-1].class == cBad || e.at[b-1].class == cSpace) {
		b--
	}
	return a, b
}

func (e *entry) unclaimed(a, b int) bool {
	for i := a; i < b; i++ {
		if e.at[i].role != none {
			return false
		}
	}
	return true
}

// numberLike says that a chunk could be a part number or a piece of one: digits, or a short capital prefix.
func (e *entry) numberLike(a, b int) bool {
	digits, letters := 0, 0
	for i := a; i < b; i++ {
		switch n := int(e.at[i].end - e.at[i].start); e.at[i].class {
		case cDigits:
			digits += n
		case cLetters:
			letters += n
			if n > 4 && !e.upper(i) || n > 6 {
				return false
			}
		case cPunct:
			switch e.at[i].text {
			case "-", ".", "/", "_", "#", "*", ":":
			default:
				return false
			}
		default:
			return false
		}
	}
	if digits == 0 {
		return b-a == 1 && letters >= 1 && letters <= 4 && e.upper(a) && e.at[a].word.thing == "" && !placeWords[e.at[a].text]
	}
	return true
}

func (e *entry) upper(i int) bool {
	for _, c := range e.raw(i, i+1) {
		if 'a' <= c && c <= 'z' {
			return false
		}
	}
	return true
}

// joinNumbers keeps the tokens of a run that can stand alone, and every window of up to four joined.
func (e *entry) joinNumbers(run []NumberToken, ends [][2]int) {
	any := false
	for k, t := range run {
		if e.strong(ends[k][0], ends[k][1]) {
			e.numbers = append(e.numbers, t)
			any = true
		}
	}
	if !any && !e.joinable(ends) {
		return
	}
	first, last := -1, -1
	for i := range run {
		if len(run) > maxRun {
			break
		}
		for j := i + 1; j < len(run) && j-i < maxJoin; j++ {
			if !e.joinable(ends[i:j+1]) || ends[j][0] > 0 && e.text(ends[j][0]-1) == "/" {
				continue
			}
			e.numbers = append(e.numbers, NumberToken{Text: e.d.text[run[i].Start:run[j].End], Start: run[i].Start, End: run[j].End, Joined: true})
			if first < 0 {
				first = i
			}
			last = max(last, j)
		}
	}
	for k := range run {
		if first >= 0 && k >= first && k <= last || e.strong(ends[k][0], ends[k][1]) {
			e.claim(ends[k][0], ends[k][1], rNumber)
		}
	}
}

// strong says that a token alone is a plausible part number: at least three digits, or digits with letters or a dash.
func (e *entry) strong(a, b int) bool {
	digits, letters, marks := 0, 0, 0
	for i := a; i < b; i++ {
		switch n := int(e.at[i].end - e.at[i].start); e.at[i].class {
		case cDigits:
			digits += n
		case cLetters:
			letters += n
		case cPunct:
			marks++
		}
	}
	if letters >= 2 && letters <= 4 && marks == 1 && digits >= 1 && e.at[a].class == cLetters && e.text(a+1) == "-" && b == a+3 && e.upper(a) {
		return true // BK-5
	}
	return digits >= 3 && marks <= 4 || digits >= 2 && letters >= 1 && letters+digits >= 4
}

// joinable says that tokens together make a part number: at least three digits, beginning with a token that is not a
// lone short number.
func (e *entry) joinable(ends [][2]int) bool {
	digits := 0
	for _, p := range ends {
		for i := p[0]; i < p[1]; i++ {
			if e.at[i].class == cDigits {
				digits += int(e.at[i].end - e.at[i].start)
			}
		}
	}
	if len(ends) < 2 || digits < 3 {
		return false
	}
	first := ends[0]
	return first[1]-first[0] > 1 || e.at[first[0]].class == cLetters || len(e.at[first[0]].text) >= 2
}
