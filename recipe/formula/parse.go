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
)

// The limits on one formula. The library's parser recurses into each bracket, so
// the text is checked before it is called.
const (
	maxFormulaBytes = 4096 // bytes
	maxBracketDepth = 60   // brackets inside brackets
	maxNodes        = 1000 // nodes
)

// report collects the problems of one formula.
type report struct {
	f    *Formula
	list problem.List
}

// errorf reports a problem of some bytes of the formula.
func (r *report) errorf(code problem.Code, from, to int, fix problem.Fix, format string, args ...any) {
	r.list.Errorf(code, r.f.place(from, to), fix, format, args...)
}

// exprParser parses one formula with the expression library and refuses what
// the library accepts but the language does not have.
type exprParser struct {
	*report
	offsets []int // byte offset in the formula of each character that the library reads; nil if they are the same
}

// whole reports a problem of the whole formula.
func (p *exprParser) whole(code problem.Code, fix problem.Fix, format string, args ...any) {
	p.errorf(code, 0, len(p.f.Text), fix, format, args...)
}

// token is a word, number or operator of the formula.
type token struct {
	kind     lexer.Kind
	value    string // as the library sees it
	from, to int    // bytes of the formula
}

// span converts a place of the library, in characters, to bytes of the formula.
func (p *exprParser) span(l file.Location) (from, to int) {
	if p.offsets == nil {
		last := len(p.f.Text)
		return max(0, min(l.From, last)), max(0, min(l.To, last))
	}
	last := len(p.offsets) - 1
	return p.offsets[max(0, min(l.From, last))], p.offsets[max(0, min(l.To, last))]
}

// parse reads the formula into a tree; nil if there are problems.
func (p *exprParser) parse() *node {
	spelled, ok := p.respelled()
	if !ok {
		return nil
	}
	tokens, comparisons, err := p.tokens(spelled)
	switch {
	case err != nil:
		p.lexerError(err)
		return nil
	case len(tokens) == 0:
		p.whole(problem.MissingFormula, problem.Advise("write a formula, such as 0.8 * 750*mm/min"), "the formula is missing")
		return nil
	}
	check := tokenChecker{report: p.report, tokens: tokens}
	if !check.check() {
		return nil
	}
	tree, err := parser.ParseWithConfig(spelled, nil)
	if err != nil {
		p.parserError(err, tokens)
		return nil
	}
	c := converter{report: p.report, span: p.span}
	if comparisons > 1 {
		c.seen = map[ast.Node]bool{}
	}
	root := c.convert(tree.Node)
	if len(p.list) > 0 {
		return nil
	}
	return root
}

// respelled is the formula in the characters of the library; false if it has a
// character that is not allowed.
func (p *exprParser) respelled() (string, bool) {
	text := p.f.Text
	if len(text) > maxFormulaBytes {
		p.whole(problem.FormulaTooLong, problem.Advise("split it into several named formulas"), "the formula has %d characters, more than %d", utf8.RuneCountInString(text), maxFormulaBytes)
		return "", false
	}
	if !utf8.ValidString(text) {
		p.whole(problem.FormulaSyntax, problem.Advise("save the file as UTF-8"), "the formula is not valid UTF-8")
		return "", false
	}
	spelled, offsets, bad := respell(text)
	if bad >= 0 {
		r, size := utf8.DecodeRuneInString(text[bad:])
		fix := characterAdvice[r]
		if fix.None() {
			fix = onlySigns
		}
		p.errorf(problem.FormulaSyntax, bad, bad+size, fix, "%q is not allowed in a formula", r)
		return "", false
	}
	p.offsets = offsets
	for _, comment := range []string{"//", "/*"} {
		if i := strings.Index(spelled, comment); i >= 0 {
			from, to := p.span(file.Location{From: i, To: i + 2})
			p.errorf(problem.NotAllowed, from, to, problem.Advise("write the remark after a #"), "%s is not allowed in a formula", comment)
			return "", false
		}
	}
	return spelled, true
}

// tokens cuts the formula into tokens and counts the comparisons.
func (p *exprParser) tokens(spelled string) (list []token, comparisons int, err error) {
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
		from, to := p.span(t.Location)
		list = append(list, token{t.Kind, t.Value, from, to})
		switch t.Value {
		case "<", ">", "<=", ">=":
			comparisons++
		}
	}
}

func (p *exprParser) notAFormula() {
	p.whole(problem.FormulaSyntax, problem.Advise("write a formula, such as 0.8 * 750*mm/min"), "this is not a formula")
}

// lexerError reports what the library's lexer could not read: it fails only
// at the end of a number.
func (p *exprParser) lexerError(err error) {
	var e *file.Error
	if !errors.As(err, &e) {
		p.notAFormula()
		return
	}
	text := p.f.Text
	from, to := p.span(e.Location)
	for from > 0 && strings.IndexByte("0123456789._", text[from-1]) >= 0 {
		from--
	}
	written := text[from:to]
	letter := func(r rune) bool { return unicode.IsLetter(r) || r == '_' }
	digits := strings.TrimRightFunc(written, letter)
	rest := text[from+len(digits):]
	word := rest[:len(rest)-len(strings.TrimLeftFunc(rest, letter))]
	to = max(to, from+len(digits)+len(word))
	if plainNumber.MatchString(digits) && word != "" {
		p.errorf(problem.FormulaSyntax, from, to, productFix(text[:from], digits+"*"+formulaWord(word)), "an operator is missing after %q", clip(digits))
		return
	}
	p.errorf(problem.FormulaSyntax, from, to, problem.Advise("write the number with digits and a decimal point"), "%q is not a number", clip(written))
}

// parserError reports what the library's parser could not read.
func (p *exprParser) parserError(err error, tokens []token) {
	var e *file.Error
	if !errors.As(err, &e) {
		p.notAFormula()
		return
	}
	from, _ := p.span(e.Location)
	// The end of the formula has the place of the last token.
	atEnd := strings.Contains(e.Message, "EOF") || strings.Contains(e.Message, "end of expression")
	for _, t := range tokens {
		if !atEnd && t.from <= from && from < t.to {
			p.errorf(problem.FormulaSyntax, t.from, t.to, problem.Advise("check what comes before it: a name, a number or a bracket may be missing"), "%q is not expected here", clip(p.f.Text[t.from:t.to]))
			return
		}
	}
	last := tokens[len(tokens)-1]
	p.errorf(problem.FormulaSyntax, last.from, last.to, problem.Advise("write the missing part, or close the bracket"), "the formula is incomplete: something is missing after %q", clip(p.f.Text[last.from:last.to]))
}
