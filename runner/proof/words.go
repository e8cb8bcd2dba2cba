package proof

// words are the words of the line that is executed. Its methods note those that set or
// switch something, and reports faults at words.
type words struct {
	*text
	block *block
}

// note keeps a G word given in tenths plus 1, 0 for none.
func (w words) note(letter byte, tenths, at int16) {
	if tenths != 0 {
		w.noteWord(letter, float64(tenths-1)/10, at)
	}
}

// noteM keeps an M word, given as its number plus 1, 0 for none.
func (w words) noteM(number, at int16) {
	if number != 0 {
		w.noteWord('M', float64(number-1), at)
	}
}

// noteWord keeps a word with its place.
func (w words) noteWord(letter byte, value float64, at int16) {
	if len(w.path.Words) == MaxNotes {
		w.fault(int(at), 1, "too-much", "split the program", "the program has more than %d words that set how the machine works", MaxNotes)
		w.stop = true
		return
	}
	w.path.Words = append(w.path.Words, Word{Letter: letter, Value: value, Line: w.path.Lines, Column: w.column(int(at)), Moves: len(w.path.Moves)})
}

// faultWord reports the word with the letter.
func (w words) faultWord(letter byte, code, fix, format string, args ...any) {
	w.fault(int(w.block.at[letter-'A']), 1, code, fix, format, args...)
}

// faultFirst reports the first of the axis words on the line.
func (w words) faultFirst(stated Axes, code, fix, message string) {
	at := len(w.line)
	for _, axis := range [...]Axes{X, Y, Z} {
		if stated&axis != 0 {
			at = min(at, int(w.block.at[axisLetter(axis)-'A']))
		}
	}
	w.fault(at, 1, code, fix, "%s", message)
}

// axisLetter is the word that states an axis.
func axisLetter(axis Axes) byte {
	switch axis {
	case X:
		return 'X'
	case Y:
		return 'Y'
	}
	return 'Z'
}
