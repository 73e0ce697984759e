package kitlist

import (
	"slices"
	"strings"
	"testing"
)

// A slip in a word list would silently turn a phrase off.
func TestWordLists(t *testing.T) {
	known := []meaning{mUnit, mCount, mSetOf, mMultiplier, mGroup, mAll, mExcluded, mWithout, mWith, mIncluded, mOffered,
		mConditional, mUnavailable, mBackOrder, mDeclined, mDeclinedAft, mOld, mNew, mSee, mOr, mOrLike, mFrom, mUpTo, mFor, mParts, mSection, mCommon, mPerSet, mCompany, mVariant, mGreeting, mSignoff,
		mTotal, mTax, mPage, mContinued, mCost, mLetterhead, mLetterStart, mQuoted, mDemand, mSupply, mContents, mContentWith,
		mKit, mBox, mColumn, mNote, mSeeNote, mSides, mLeft, mSelect, mStandard}
	args := map[meaning][]string{
		mUnit:       {"piece", "pair", "set", "dozen", "half"},
		mMultiplier: {"per side", "per hub", "per gear", "per shaft", "per box", "per axle", "per rail", "per fork"},
		mColumn:     {"number", "words", "qty", "ordered", "supplied", "pack", "pieces", "unit", "price", "total", "row", "note"},
	}
	for _, lang := range []string{"en", "de", "fr", "es", "it"} {
		rows := wordList("words/" + lang + ".csv")
		if len(rows) < 100 {
			t.Errorf("%s: only %d phrases", lang, len(rows))
		}
		for _, r := range rows {
			m := meaning(r[1])
			if r[0] == "" || !slices.Contains(known, m) {
				t.Errorf("%s: %q has unknown meaning %q", lang, r[0], r[1])
			}
			if want, ok := args[m]; ok && !slices.Contains(want, r[2]) {
				t.Errorf("%s: %q has unknown argument %q", lang, r[0], r[2])
			}
		}
	}
	for _, r := range wordList("words/sets.csv") {
		if Fold(r[1]) != r[1] || (r[2] != "") != slices.Contains([]string{"numbers", "months", "ordinals", "compoundEnds"}, r[0]) {
			t.Errorf("sets: %q is not folded, or its number is wrong", r)
		}
	}
	for _, r := range wordList("words/remarks.csv") {
		if Fold(r[0]) != r[0] || remarkNames[r[1]] == 0 || strings.HasSuffix(r[0], "*") && len(r[0]) <= minStem {
			t.Errorf("remarks: %q is not folded, too short, or has an unknown class", r)
		}
	}
	for _, r := range wordList("words/heads.csv") {
		if known := append([]string{""}, args[mColumn]...); !slices.Contains(known, r[1]) {
			t.Errorf("heads: %q has unknown class %q", r[0], r[1])
		}
	}
	for _, r := range wordList("words/things.csv") {
		if Fold(r[0]) != r[0] || r[1] == "" {
			t.Errorf("things: %q is not folded, or has no trait", r[0])
		}
	}
}

func TestFold(t *testing.T) {
	for in, want := range map[string]string{"Überholsatz": "uberholsatz", "ÉPUISÉ": "epuise", "Stärke ß": "starke ss", "２×": "2x", "1ª": "1a", "abc": "abc"} {
		if got := Fold(in); got != want {
			t.Errorf("Fold(%q) = %q, want %q", in, got, want)
		}
	}
}
