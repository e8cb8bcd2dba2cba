package problem

import (
	"bytes"
	"slices"
	"strings"

	"mahlstick/recipe/source"
)

// Fix is how to solve a problem: advice for a person and, where changing
// the text solves it, that change. Make one with Advise, DidYouMean, Write,
// AddBelow, BlankLineAbove or TakeOut; the zero Fix is none.
//
// A change never guesses: where the author may have meant something else, the
// fix is advice or a question.
type Fix struct {
	// Advice is an instruction in one line, or the text to write.
	Advice string
	action action
	text   string
}

// action is what is done to the text at fault.
type action int8

const (
	adviseOnly     action = iota
	replaceText           // replace the text at fault by the fix's text
	addBelow              // add the fix's text below the line on which the text at fault ends
	blankLineAbove        // add an empty line above the line at fault
	takeOutLines          // remove the lines of the text at fault
)

// Edit is a change of a file: the text at Place becomes Text.
type Edit struct {
	Place source.Place
	Text  string
}

// Advise is a fix that a person has to decide on.
func Advise(advice string) Fix { return Fix{Advice: advice} }

// DidYouMean is a fix that asks which of some texts was meant.
func DidYouMean(texts ...string) Fix {
	if last := len(texts) - 1; last > 0 {
		return Advise("did you mean " + strings.Join(texts[:last], ", ") + " or " + texts[last] + "?")
	}
	return Advise("did you mean " + strings.Join(texts, "") + "?")
}

// Write is a fix that replaces the text at fault by another.
func Write(text string) Fix {
	return Fix{Advice: "write: " + text, action: replaceText, text: text}
}

// AddBelow is a fix that adds lines below the one on which the text at fault
// ends.
func AddBelow(lines string) Fix {
	return Fix{Advice: "add below: " + lines, action: addBelow, text: lines}
}

// BlankLineAbove is a fix that adds an empty line above the text at fault.
func BlankLineAbove() Fix {
	return Fix{Advice: "add an empty line above", action: blankLineAbove}
}

// TakeOut is a fix that removes the lines of the text at fault. Another way,
// such as ", or give it a value", follows the instruction.
func TakeOut(or string) Fix {
	return Fix{Advice: "remove this line" + or, action: takeOutLines}
}

// Else is the fix, or another where there is none.
func (f Fix) Else(other Fix) Fix {
	if f.None() {
		return other
	}
	return f
}

// None reports whether there is no fix.
func (f Fix) None() bool { return f.Advice == "" }

// CanApply reports whether the fix changes the text.
func (f Fix) CanApply() bool { return f.action != adviseOnly }

// Or adds another way to the advice; the change stays the same.
func (f Fix) Or(more string) Fix {
	f.Advice += more
	return f
}

// Edits are the changes of files that fix the problem; none where a person has
// to decide.
func (p Problem) Edits() []Edit {
	at := p.Place
	if !at.Known() || at.Start < 0 || at.End < at.Start || at.End > len(at.File.Data) {
		return nil
	}
	data := at.File.Data
	eol := "\n"
	if bytes.Contains(data, []byte("\r\n")) {
		eol = "\r\n"
	}
	edit := func(start, end int, text string) []Edit {
		return []Edit{{at.File.Place(start, end), text}}
	}
	switch p.Fix.action {
	case replaceText:
		return edit(at.Start, at.End, p.Fix.text)
	case addBelow:
		text := strings.ReplaceAll(p.Fix.text, "\n", eol)
		below := lineEnd(data, at.End)
		if below == len(data) && (below == 0 || data[below-1] != '\n') {
			return edit(below, below, eol+text)
		}
		return edit(below, below, text+eol)
	case blankLineAbove:
		above := lineStart(data, at.Start)
		return edit(above, above, eol)
	case takeOutLines:
		return edit(lineStart(data, at.Start), lineEnd(data, at.End), "")
	default:
		return nil
	}
}

// Apply makes the edits of one file in a copy of its data. They must not
// overlap.
func Apply(edits []Edit, data []byte) []byte {
	sorted := slices.Clone(edits)
	slices.SortStableFunc(sorted, func(a, b Edit) int { return a.Place.Start - b.Place.Start })
	var out []byte
	from := 0
	for _, e := range sorted {
		out = append(out, data[from:e.Place.Start]...)
		out = append(out, e.Text...)
		from = e.Place.End
	}
	return append(out, data[from:]...)
}

func lineStart(data []byte, at int) int { return bytes.LastIndexByte(data[:at], '\n') + 1 }

// lineEnd is the offset after the line break that ends the line.
func lineEnd(data []byte, at int) int {
	if i := bytes.IndexByte(data[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(data)
}

// Fixed is the data of the problem's file after its fix; false where there is
// nothing to apply.
func (p Problem) Fixed() ([]byte, bool) {
	edits := p.Edits()
	if len(edits) == 0 {
		return nil, false
	}
	return Apply(edits, p.Place.File.Data), true
}
