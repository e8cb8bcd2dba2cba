package formula

import (
	"errors"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/parser/lexer"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
	"mahlstick/recipe/source"
)

// The bounds of one formula. The library's parser calls itself once for each
// bracket, so its text is bounded before it is called.
const (
	longestFormula = 4096 // bytes
	deepestFormula = 60   // brackets inside brackets
	largestFormula = 1000 // nodes
)

// exprParser takes one formula through the expression library: what the library
// would do with it that is no part of the language is refused here.
type exprParser struct {
	text    string
	at      source.Place
	exact   bool // offsets into text are offsets into the place
	offsets []int
	nodes   int
	seen    map[ast.Node]bool // only where comparisons might share an operand
	list    problem.List
}

// place is that of some bytes of the formula.
func (d *exprParser) place(from, to int) source.Place {
	if !d.exact {
		return d.at
	}
	return within(d.at, from, to)
}

// within is the place of some bytes of a formula. A bar in a table stands
// behind a backslash, and the blank that stands in for it behind the bars.
func within(whole source.Place, from, to int) source.Place {
	at := whole.Sub(from, to)
	if strings.HasPrefix(at.Text(), `\`) {
		at.End = min(at.End+to-from, whole.End)
	}
	return at
}

func (d *exprParser) errorf(code problem.Code, from, to int, fix problem.Fix, format string, args ...any) {
	d.list.Errorf(code, d.place(from, to), fix, format, args...)
}

// token is a word or a sign of the formula.
type token struct {
	kind     lexer.Kind
	value    string // as the library sees it
	from, to int    // bytes of the formula
}

// span is the bytes of the formula at a place that counts characters.
func (d *exprParser) span(l file.Location) (from, to int) {
	if d.offsets == nil {
		last := len(d.text)
		return max(0, min(l.From, last)), max(0, min(l.To, last))
	}
	last := len(d.offsets) - 1
	return d.offsets[max(0, min(l.From, last))], d.offsets[max(0, min(l.To, last))]
}

// open reads the formula into a tree; nil where there are problems.
func (d *exprParser) open() *node {
	if len(d.text) > longestFormula {
		d.errorf(problem.FormulaTooLong, 0, len(d.text), problem.Advise("part it into several named formulas"), "the formula has %d characters; %d are enough", utf8.RuneCountInString(d.text), longestFormula)
		return nil
	}
	if !utf8.ValidString(d.text) {
		d.errorf(problem.FormulaSyntax, 0, len(d.text), problem.Advise("save the file as UTF-8"), "the formula is not valid UTF-8")
		return nil
	}
	spelled, offsets, bad := respell(d.text)
	if bad >= 0 {
		r, size := utf8.DecodeRuneInString(d.text[bad:])
		fix := characterAdvice[r]
		if fix.None() {
			fix = problem.Advise("write only names, numbers, + - * / ^ and brackets")
		}
		d.errorf(problem.FormulaSyntax, bad, bad+size, fix, "%q has no place in a formula", r)
		return nil
	}
	d.offsets = offsets
	for _, comment := range []string{"//", "/*"} {
		if i := strings.Index(spelled, comment); i >= 0 {
			from, to := d.span(file.Location{From: i, To: i + 2})
			d.errorf(problem.NotAllowed, from, to, problem.Advise("write the remark behind a #"), "%s has no place in a formula", comment)
			return nil
		}
	}
	list, comparisons, err := d.tokens(spelled)
	if err != nil {
		d.syntax(err, nil)
		return nil
	}
	if len(list) == 0 {
		d.errorf(problem.MissingFormula, 0, len(d.text), problem.Advise("write a formula, such as 0.8 * 750*mm/min"), "there is no formula here")
		return nil
	}
	if !d.inspect(list) {
		return nil
	}
	tree, err := parser.ParseWithConfig(spelled, nil)
	if err != nil {
		d.syntax(err, list)
		return nil
	}
	if comparisons > 1 {
		d.seen = map[ast.Node]bool{}
	}
	root := d.convert(tree.Node)
	if len(d.list) > 0 {
		return nil
	}
	return root
}

// tokens cuts the formula into words and signs and counts the comparisons.
func (d *exprParser) tokens(spelled string) (list []token, comparisons int, err error) {
	l := lexer.New()
	l.Reset(file.NewSource(spelled))
	list = make([]token, 0, len(spelled)/3+4)
	for {
		t, err := l.Next()
		switch {
		case err == io.EOF, err == nil && t.Kind == lexer.EOF:
			return list, comparisons, nil
		case err != nil:
			return nil, 0, err
		}
		from, to := d.span(t.Location)
		list = append(list, token{t.Kind, t.Value, from, to})
		switch t.Value {
		case "<", ">", "<=", ">=":
			comparisons++
		}
	}
}

// syntax reports what the library's own lexer or parser stumbled over. list
// is nil for the lexer.
func (d *exprParser) syntax(err error, list []token) {
	var e *file.Error
	if !errors.As(err, &e) {
		d.errorf(problem.FormulaSyntax, 0, len(d.text), problem.Advise("write a formula, such as 0.8 * 750*mm/min"), "this is no formula")
		return
	}
	from, to := d.span(e.Location)
	if list == nil {
		// The lexer fails only over the end of a number.
		for from > 0 && strings.IndexByte("0123456789._", d.text[from-1]) >= 0 {
			from--
		}
		written := d.text[from:to]
		letter := func(r rune) bool { return unicode.IsLetter(r) || r == '_' }
		digits := strings.TrimRightFunc(written, letter)
		rest := d.text[from+len(digits):]
		word := rest[:len(rest)-len(strings.TrimLeftFunc(rest, letter))]
		to = max(to, from+len(digits)+len(word))
		if plainNumber.MatchString(digits) && word != "" {
			if u, err := quantity.ParseUnit(word); err == nil && !isUnit(word) {
				word = wordOf(u)
			}
			d.errorf(problem.FormulaSyntax, from, to, problem.Write(digits+"*"+word), "a sign is missing behind %q", clip(digits))
			return
		}
		d.errorf(problem.FormulaSyntax, from, to, problem.Advise("write the number with digits and a point"), "%q is not a number", clip(written))
		return
	}
	for _, t := range list {
		// The end of the formula has the place of the last token.
		if t.from <= from && from < t.to && !strings.Contains(e.Message, "EOF") && !strings.Contains(e.Message, "end of expression") {
			d.errorf(problem.FormulaSyntax, t.from, t.to, problem.Advise("look at what stands before it: a name, a number or a bracket may be missing"), "%q cannot stand here", clip(d.text[t.from:t.to]))
			return
		}
	}
	last := list[len(list)-1]
	d.errorf(problem.FormulaSyntax, last.from, last.to, problem.Advise("write what belongs behind it, or close the bracket"), "the formula ends too early, behind %q", clip(d.text[last.from:last.to]))
}
