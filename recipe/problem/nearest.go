package problem

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// longestWord bounds the words that are compared, in characters: no word of
// the language is similar to a longer one.
const longestWord = 64

// Nearest returns the candidate most similar to word: the one with the fewest
// letters to add, drop, change or swap, ignoring case, the first in
// alphabetical order among equals. It returns false when none is similar: when
// more than one letter plus a third of them would have to change.
func Nearest(word string, candidates []string) (string, bool) {
	near, _ := nearest(word, candidates)
	if len(near) == 0 {
		return "", false
	}
	return near[0], true
}

// Correction is the fix for a misspelt word. A word of four letters or more that
// is one slip away from a single candidate becomes that candidate; where more
// letters differ, or several candidates are equally near, the fix asks which was
// meant. It is none where no candidate is near.
func Correction(word string, candidates []string) Fix {
	near, letters := nearest(word, candidates)
	switch {
	case len(near) == 0:
		return Fix{}
	case len(near) == 1 && (letters == 0 || letters == 1 && utf8.RuneCountInString(word) >= 4):
		return Write(near[0])
	}
	return DidYouMean(near[:min(len(near), mostQuestions)]...)
}

// mostQuestions bounds the words of one question.
const mostQuestions = 3

// nearest returns the candidates that are nearest to a word, in alphabetical
// order, and how many letters they differ from it.
func nearest(word string, candidates []string) (near []string, letters int) {
	asked := []rune(fold(word))
	if len(asked) == 0 || len(asked) > longestWord {
		return nil, 0
	}
	letters = len(asked)/3 + 1
	if len(asked) == 1 {
		letters = 0 // another letter is another word
	}
	for _, candidate := range slices.Compact(slices.Sorted(slices.Values(candidates))) {
		folded := fold(candidate)
		n := utf8.RuneCountInString(folded)
		if n > longestWord || n-len(asked) > letters || len(asked)-n > letters {
			continue
		}
		switch d := distance(asked, []rune(folded)); {
		case d < letters:
			near, letters = []string{candidate}, d
		case d == letters:
			near = append(near, candidate)
		}
	}
	return near, letters
}

// Distance counts the letters to add, drop, change or swap that turn one word
// into the other, ignoring case, hyphens and repeated spaces.
func Distance(a, b string) int { return distance([]rune(fold(a)), []rune(fold(b))) }

// fold makes words comparable: case, hyphens and repeated spaces do not count.
func fold(word string) string {
	word = strings.ToLower(strings.NewReplacer("-", " ", "_", " ").Replace(word))
	return strings.Join(strings.Fields(word), " ")
}

// distance counts insertions, deletions, changes and swaps of neighbours
// (optimal string alignment; F. J. Damerau, Commun. ACM 7(3), 1964, 171-176).
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
