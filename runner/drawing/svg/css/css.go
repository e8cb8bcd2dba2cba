// Package css reads style sheets and style attributes as far as SVG drawings
// need them. It is the only importer of the tokenizer that it reads with; the
// library's parser is left alone, as it joins what comments part and loses rules
// after a stray brace.
//
// Source: CSS Syntax Module Level 3; Selectors Level 3.
package css

import (
	"strings"

	"github.com/tdewolff/parse/v2"
	"github.com/tdewolff/parse/v2/css"
)

// Declaration is a property with its value.
type Declaration struct {
	Name      string // in small letters
	Value     string // blanks and comments as one blank each
	Important bool
}

// Rule is a rule of a style sheet.
type Rule struct {
	Selectors    []*Selector
	Odd          []string // selectors that are not understood
	Declarations []Declaration
}

// Selector is a compound selector, and what it hangs on.
type Selector struct {
	Element    string // "" for any
	ID         string
	Classes    []string
	Attributes []Attribute
	Root       bool // only the outermost element
	// Before is the selector of an element around this one: of its parent where
	// Child is set, else of any.
	Before *Selector
	Child  bool
}

// Attribute is what a selector wants of an attribute: to be there, or to have a
// value.
type Attribute struct {
	Name, Value string
	Any         bool
}

// Weight is the selector's specificity.
func (s *Selector) Weight() int {
	w := 100 * (len(s.Classes) + len(s.Attributes))
	if s.Root {
		w += 100
	}
	if s.ID != "" {
		w += 10_000
	}
	if s.Element != "" {
		w++
	}
	if s.Before != nil {
		w += s.Before.Weight()
	}
	return w
}

// Sheet is a style sheet.
type Sheet struct {
	Rules []Rule
	Odd   []string // at-rules that are not read and may hold rules: "@media print"
}

type token struct {
	kind css.TokenType
	text string
}

func tokens(text string) []token {
	// The tokenizer takes a zero byte for the end of the text.
	lexer := css.NewLexer(parse.NewInputString(strings.ReplaceAll(text, "\x00", "\uFFFD")))
	var out []token
	for {
		kind, data := lexer.Next()
		if kind == css.ErrorToken {
			return out
		}
		out = append(out, token{kind, string(data)})
	}
}

// Parse reads a style sheet.
func Parse(text string) Sheet {
	var s Sheet
	s.rules(tokens(text))
	return s
}

// ParseAttribute reads the declarations of a style attribute.
func ParseAttribute(text string) []Declaration { return declarations(tokens(text)) }

func isBlank(t token) bool {
	switch t.kind {
	case css.WhitespaceToken, css.CommentToken, css.CDOToken, css.CDCToken:
		return true
	}
	return false
}

func (s *Sheet) rules(list []token) {
	for len(list) > 0 {
		if isBlank(list[0]) {
			list = list[1:]
			continue
		}
		atRule := list[0].kind == css.AtKeywordToken
		end := until(list, func(k css.TokenType) bool { return k == css.LeftBraceToken || atRule && k == css.SemicolonToken })
		prelude := list[:end]
		if list = list[end:]; len(list) == 0 && !atRule {
			return // a rule that is cut off is no rule
		}
		var body []token
		if len(list) > 0 && list[0].kind == css.LeftBraceToken {
			end := until(list[1:], func(k css.TokenType) bool { return k == css.RightBraceToken })
			body, list = list[1:1+end], list[1+end:]
		}
		if len(list) > 0 {
			list = list[1:]
		}
		if atRule {
			s.atRule(prelude, body)
		} else {
			s.rule(prelude, body)
		}
	}
}

// until finds the first token of some kinds that is not inside brackets. A
// closing bracket that closes nothing is a token like any other.
func until(list []token, stop func(css.TokenType) bool) int {
	var open []css.TokenType
	for i, t := range list {
		if len(open) == 0 && stop(t.kind) {
			return i
		}
		switch t.kind {
		case css.LeftBraceToken:
			open = append(open, css.RightBraceToken)
		case css.LeftBracketToken:
			open = append(open, css.RightBracketToken)
		case css.LeftParenthesisToken, css.FunctionToken:
			open = append(open, css.RightParenthesisToken)
		default:
			if n := len(open); n > 0 && t.kind == open[n-1] {
				open = open[:n-1]
			}
		}
	}
	return len(list)
}

// atRule takes the rules of an at-rule that applies, or notes it.
func (s *Sheet) atRule(prelude, body []token) {
	switch name := strings.ToLower(prelude[0].text); name {
	case "@charset", "@font-face", "@page", "@keyframes", "@namespace":
	case "@media":
		switch applies, known := Media(plain(prelude[1:])); {
		case !known:
			s.Odd = append(s.Odd, plain(prelude))
		case applies:
			s.rules(body)
		}
	default:
		s.Odd = append(s.Odd, plain(prelude))
	}
}

// Media says whether a list of media queries applies to a screen. Known is false
// where that depends on the screen.
//
// Source: Media Queries Level 4, section 2; from memory.
func Media(list string) (applies, known bool) {
	if strings.TrimSpace(list) == "" {
		return true, true
	}
	known = true
	for query := range strings.SplitSeq(strings.ToLower(list), ",") {
		words := strings.Fields(query)
		not := len(words) > 0 && words[0] == "not"
		if len(words) > 0 && (not || words[0] == "only") {
			words = words[1:]
		}
		of := len(words) > 0 && (words[0] == "all" || words[0] == "screen")
		switch {
		case len(words) == 0:
			known = false
		case len(words) == 1 && !strings.HasPrefix(words[0], "("):
			applies = applies || of != not
		case of || strings.HasPrefix(words[0], "("):
			known = false // it has a feature
		case not:
			applies = true
		}
	}
	return applies, known || applies
}

func (s *Sheet) rule(prelude, body []token) {
	r := Rule{Declarations: declarations(body)}
	for len(prelude) > 0 {
		end := until(prelude, func(k css.TokenType) bool { return k == css.CommaToken })
		if one, ok := selector(prelude[:end]); ok {
			r.Selectors = append(r.Selectors, one)
		} else if !neverMatches(prelude[:end]) {
			r.Odd = append(r.Odd, plain(prelude[:end]))
		}
		prelude = prelude[min(end+1, len(prelude)):]
	}
	s.Rules = append(s.Rules, r)
}

// plain is the text of tokens, with one blank for any.
func plain(list []token) string {
	var b strings.Builder
	for _, t := range list {
		if isBlank(t) {
			b.WriteByte(' ')
		} else {
			b.WriteString(t.text)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

func trim(list []token) []token {
	for len(list) > 0 && isBlank(list[0]) {
		list = list[1:]
	}
	for len(list) > 0 && isBlank(list[len(list)-1]) {
		list = list[:len(list)-1]
	}
	return list
}

// selector reads a selector. Ok is false where it is not understood.
func selector(list []token) (s *Selector, ok bool) {
	list = trim(list)
	for i := 0; i < len(list); {
		next := &Selector{Before: s}
		n, ok := next.compound(list[i:])
		if !ok {
			return nil, false
		}
		if i += n; s != nil && list[i-n-1].text == ">" {
			next.Child = true
		}
		s = next
		if i == len(list) {
			return s, true
		}
		// A combinator: a blank, or > with blanks around it.
		for i < len(list) && isBlank(list[i]) {
			i++
		}
		if list[i].text == ">" {
			for i++; i < len(list) && isBlank(list[i]); {
				list = append(list[:i:i], list[i+1:]...)
			}
		}
	}
	return nil, false
}

// compound reads a compound selector and gives the number of its tokens.
func (s *Selector) compound(list []token) (n int, ok bool) {
	for n < len(list) && !isBlank(list[n]) && list[n].text != ">" {
		t := list[n]
		next := token{}
		if n+1 < len(list) {
			next = list[n+1]
		}
		switch {
		case n == 0 && t.kind == css.IdentToken:
			s.Element = t.text
		case n == 0 && t.text == "*":
		case t.kind == css.HashToken && s.ID == "":
			s.ID = t.text[1:]
		case t.text == "." && next.kind == css.IdentToken:
			n++
			s.Classes = append(s.Classes, next.text)
		case t.kind == css.ColonToken && strings.EqualFold(next.text, "root"):
			n++
			s.Root = true
		case t.kind == css.LeftBracketToken:
			end := until(list[n+1:], func(k css.TokenType) bool { return k == css.RightBracketToken })
			a, sound := attribute(list[n+1 : n+1+end])
			if !sound {
				return n, false
			}
			s.Attributes = append(s.Attributes, a)
			n += end + 1
		default:
			return n, false
		}
		n++
	}
	return min(n, len(list)), n > 0
}

// attribute reads what is between the brackets of an attribute selector.
func attribute(list []token) (a Attribute, ok bool) {
	list = trim(list)
	switch {
	case len(list) == 1 && list[0].kind == css.IdentToken:
		return Attribute{Name: list[0].text, Any: true}, true
	case len(list) == 3 && list[0].kind == css.IdentToken && list[1].text == "=":
		return Attribute{Name: list[0].text, Value: strings.Trim(list[2].text, `"'`)}, true
	}
	return a, false
}

// neverMatches says whether a selector is for what a pointer or a keyboard does.
func neverMatches(list []token) bool {
	for i, t := range list {
		if t.kind == css.ColonToken && i+1 < len(list) {
			switch strings.ToLower(list[i+1].text) {
			case "hover", "active", "focus", "focus-visible", "focus-within", "visited", "target":
				return true
			}
		}
	}
	return false
}

// declarations reads a list of declarations. One that is damaged ends at the
// next semicolon, and is left out.
func declarations(list []token) []Declaration {
	var out []Declaration
	for len(list) > 0 {
		end := until(list, func(k css.TokenType) bool { return k == css.SemicolonToken })
		if d, ok := declaration(trim(list[:end])); ok {
			out = append(out, d)
		}
		list = list[min(end+1, len(list)):]
	}
	return out
}

func declaration(list []token) (d Declaration, ok bool) {
	if len(list) == 0 || list[0].kind != css.IdentToken {
		return d, false
	}
	value := trim(list[1:])
	if len(value) == 0 || value[0].kind != css.ColonToken {
		return d, false
	}
	d.Name = strings.ToLower(list[0].text)
	value = trim(value[1:])
	if n := len(value); n > 0 && value[n-1].kind == css.IdentToken && strings.EqualFold(value[n-1].text, "important") {
		if before := trim(value[:n-1]); len(before) > 0 && before[len(before)-1].text == "!" {
			d.Important = true
			value = trim(before[:len(before)-1])
		}
	}
	d.Value = plain(value)
	return d, true
}
