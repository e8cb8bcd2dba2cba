package problem

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Longest word that is compared at all, in characters: no word of the
// language is near to something longer.
const longestWord = 64

// Nearest returns the candidate that a writer most likely meant by word: the
// one with the fewest letters to add, drop, change or swap, capitals aside,
// the first in order of the alphabet among equals. It answers false when none
// is near: when more than one letter and a third of them would have to change.
func Nearest(word string, candidates []string) (string, bool) {
	asked := []rune(fold(word))
	if len(asked) == 0 || len(asked) > longestWord {
		return "", false
	}
	sorted := slices.Clone(candidates)
	slices.Sort(sorted)
	best, fewest := "", len(asked)/3+1
	if len(asked) == 1 {
		fewest = 0 // another letter is another word
	}
	for _, candidate := range sorted {
		folded := fold(candidate)
		letters := utf8.RuneCountInString(folded)
		if letters > longestWord || letters-len(asked) > fewest || len(asked)-letters > fewest {
			continue
		}
		if d := distance(asked, []rune(folded)); d <= fewest && (best == "" || d < fewest) {
			best, fewest = candidate, d
		}
	}
	return best, best != ""
}

// Distance counts the letters to add, drop, change or swap that turn one word
// into the other, capitals, hyphens and runs of blanks aside.
func Distance(a, b string) int { return distance([]rune(fold(a)), []rune(fold(b))) }

// fold makes words comparable: capitals, hyphens and runs of blanks do not
// count.
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
