package formula

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
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

// door takes one formula through the expression library: what the library
// would do with it that is no part of the language is refused here.
type door struct {
	text    string
	at      source.Place
	exact   bool // offsets into text are offsets into the place
	offsets []int
	nodes   int
	seen    map[ast.Node]bool // only where comparisons might share an operand
	list    problem.List
}

// place is that of some bytes of the formula.
func (d *door) place(from, to int) source.Place {
	if !d.exact {
		return d.at
	}
	return d.at.Sub(from, to)
}

func (d *door) errorf(code string, from, to int, mend, format string, args ...any) {
	d.list.Errorf(code, d.place(from, to), mend, format, args...)
}

// token is a word or a sign of the formula.
type token struct {
	kind     lexer.Kind
	value    string // as the library sees it
	from, to int    // bytes of the formula
}

func (d *door) span(l file.Location) (from, to int) {
	last := len(d.offsets) - 1
	return d.offsets[max(0, min(l.From, last))], d.offsets[max(0, min(l.To, last))]
}

// open reads the formula into a tree; nil where there are problems.
func (d *door) open() *node {
	if len(d.text) > longestFormula {
		d.errorf("formula-too-long", 0, len(d.text), "part it into several named formulas", "the formula has %d characters; %d are enough", utf8.RuneCountInString(d.text), longestFormula)
		return nil
	}
	if !utf8.ValidString(d.text) {
		d.errorf("formula-syntax", 0, len(d.text), "save the file as UTF-8", "the formula is not valid UTF-8")
		return nil
	}
	spelled, offsets, bad := respell(d.text)
	if bad >= 0 {
		r, size := utf8.DecodeRuneInString(d.text[bad:])
		mend := characterAdvice[r]
		if mend == "" {
			mend = "write only names, numbers, + - * / ^ and brackets"
		}
		d.errorf("formula-syntax", bad, bad+size, mend, "%q has no place in a formula", r)
		return nil
	}
	d.offsets = offsets
	for _, comment := range []string{"//", "/*"} {
		if i := strings.Index(spelled, comment); i >= 0 {
			from, to := d.span(file.Location{From: i, To: i + 2})
			d.errorf("not-allowed", from, to, "write the remark behind a #", "%s has no place in a formula", comment)
			return nil
		}
	}
	tokens, err := lexer.Lex(file.NewSource(spelled))
	if err != nil {
		d.syntax(err, nil)
		return nil
	}
	list := make([]token, 0, len(tokens))
	comparisons := 0
	for _, t := range tokens {
		if t.Kind == lexer.EOF {
			break
		}
		from, to := d.span(t.Location)
		list = append(list, token{t.Kind, t.Value, from, to})
		switch t.Value {
		case "<", ">", "<=", ">=":
			comparisons++
		}
	}
	if len(list) == 0 {
		d.errorf("missing-formula", 0, len(d.text), "write a formula, such as 0.8 * 750*mm/min", "there is no formula here")
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

var plainNumber = regexp.MustCompile(`^([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// signs are the operators of the language.
var signs = map[string]bool{
	"+": true, "-": true, "*": true, "/": true, "^": true, "**": true, "<": true, ">": true, "<=": true, ">=": true,
	"==": true, "!=": true, "and": true, "or": true, "not": true, "&&": true, "||": true, "!": true, "?": true, ":": true, ",": true, ".": true,
}

// signAdvice is what to write instead of some of the others.
var signAdvice = map[string]string{
	"=": problem.MendWrite + "==", "%": "write *percent for a share, as in 15*percent", "if": "write condition ? value : other value",
	"else": "write condition ? value : other value", "in": problem.MendWrite + "inch", "&": problem.MendWrite + "and", "|": problem.MendWrite + "or",
	"#": "put a blank before the # of a remark", ";": "write one formula a line",
}

// inspect refuses, before the library parses anything, every sign that the
// language does not have, unknown functions, and what is not parted by a sign.
func (d *door) inspect(list []token) bool {
	depth, outer := 0, token{}
	for i, t := range list {
		refuse := func(mend, format string, args ...any) bool {
			d.errorf("not-allowed", t.from, t.to, mend, format, args...)
			return false
		}
		next := token{}
		if i+1 < len(list) {
			next = list[i+1]
		}
		operand := t.kind == lexer.Number || t.kind == lexer.Identifier
		switch t.kind {
		case lexer.Operator:
			if t.value == "in" && i > 0 && list[i-1].kind == lexer.Number {
				number := list[i-1]
				d.errorf("formula-syntax", number.from, t.to, problem.MendWrite+d.text[number.from:number.to]+"*inch", "a sign is missing behind %q", clip(d.text[number.from:number.to]))
				return false
			}
			if !signs[t.value] {
				mend := signAdvice[t.value]
				if mend == "" {
					mend = "write only names, numbers, + - * / ^ and brackets"
				}
				return refuse(mend, "%q has no place in a formula", t.value)
			}
			if t.value == "?" && next.value == ":" {
				return refuse("write condition ? value : other value", "\"?:\" has no place in a formula")
			}
			if t.value == "," && depth == 0 {
				return d.comma(list, i)
			}
		case lexer.Bracket:
			switch t.value {
			case "(":
				if depth++; depth == 1 {
					outer = t
				}
			case ")":
				if depth--; depth < 0 {
					return refuseSyntax(d, t, "take it out", "this bracket closes nothing")
				}
				operand = true
			default:
				return refuse("write round brackets", "%q has no place in a formula", t.value)
			}
			if depth > deepestFormula {
				d.errorf("formula-too-deep", t.from, t.to, "part it into several named formulas", "brackets stand more than %d deep", deepestFormula)
				return false
			}
		case lexer.Number:
			if !d.numberAllowed(t) {
				return false
			}
		case lexer.Identifier:
			if t.value == "nil" {
				return refuse("take it out", "%q has no place in a formula", t.value)
			}
			if next.value == "(" && next.kind == lexer.Bracket {
				if i > 0 && list[i-1].value == "." {
					return refuse("write only a name behind the point", "%q behind a point is no function", t.value)
				}
				if !d.knownFunction(t) {
					return false
				}
				operand = false
			}
		default:
			return refuse("formulas hold no text", "text has no place in a formula")
		}
		if operand && next.to > 0 && (next.kind == lexer.Number || next.kind == lexer.Identifier || next.value == "(" && next.kind == lexer.Bracket) {
			d.unparted(t, next)
			return false
		}
	}
	if depth > 0 {
		return refuseSyntax(d, outer, "close it with )", "this bracket is not closed")
	}
	return true
}

func refuseSyntax(d *door, t token, mend, message string) bool {
	d.errorf("formula-syntax", t.from, t.to, mend, "%s", message)
	return false
}

// numberAllowed refuses numbers that are not decimal, and those beyond all
// bounds: the library would stumble over them, at the place behind them.
func (d *door) numberAllowed(t token) bool {
	written := lowered(d.text[t.from:t.to])
	if !plainNumber.MatchString(written) {
		mend := "write the number with digits and a point"
		if plain := strings.ReplaceAll(written, "_", ""); plainNumber.MatchString(plain) {
			mend = problem.MendWrite + plain
		}
		d.errorf("not-allowed", t.from, t.to, mend, "%q is not a number of the language", clip(written))
		return false
	}
	value, err := strconv.ParseFloat(written, 64)
	if err != nil || value > 1e15 || value != 0 && value < 1e-30 {
		d.errorf("number-out-of-range", t.from, t.to, "write a number that a picture can have", "%q is beyond every size that a picture can have", clip(written))
		return false
	}
	return true
}

// comma reports a comma outside a function: 0,8 is 0.8.
func (d *door) comma(list []token, i int) bool {
	t := list[i]
	if i > 0 && i+1 < len(list) && list[i-1].kind == lexer.Number && list[i+1].kind == lexer.Number && list[i-1].to == t.from && t.to == list[i+1].from {
		from, to := list[i-1].from, list[i+1].to
		d.errorf("formula-syntax", from, to, problem.MendWrite+strings.Replace(d.text[from:to], ",", ".", 1), "formulas write the decimal point as a point")
		return false
	}
	d.errorf("formula-syntax", t.from, t.to, "take it out", "a comma only parts the arguments of a function")
	return false
}

// unparted reports two things without a sign between them: 2.8 mm.
func (d *door) unparted(t, next token) {
	from, to := t.from, next.to
	if next.value == "(" {
		to = next.from
	}
	what := strings.TrimSpace(d.text[from:to])
	switch {
	case t.kind == lexer.Number && next.kind == lexer.Identifier, next.value == "(":
		mended := d.text[t.from:t.to] + "*"
		if next.kind == lexer.Identifier {
			name := d.text[next.from:next.to]
			if u, err := quantity.ParseUnit(name); err == nil && !isUnit(name) {
				name = wordOf(u)
			}
			mended += name
		}
		d.errorf("formula-syntax", from, to, problem.MendWrite+mended, "a sign is missing behind %q", clip(d.text[t.from:t.to]))
	case t.kind == lexer.Identifier && next.kind == lexer.Identifier:
		d.errorf("formula-syntax", from, to, problem.MendWrite+Fold(what), "a name in a formula has no blanks")
	default:
		d.errorf("formula-syntax", from, to, "write + - * / or ^ between them", "a sign is missing in %q", clip(what))
	}
}

// knownFunction refuses calls of what is no function of the language.
func (d *door) knownFunction(t token) bool {
	name := d.text[t.from:t.to]
	if _, ok := functionByName[Fold(name)]; ok {
		return true
	}
	mend := "the functions are " + strings.Join(functionNames, ", ")
	switch {
	case functionAdvice[Fold(name)] != "":
		mend = problem.MendWrite + functionAdvice[Fold(name)]
	case isUnit(name):
		mend = problem.MendWrite + name + "*"
	default:
		if near, ok := nearestOf(name, functionNames); ok {
			mend = problem.MendWrite + near
		}
	}
	d.errorf("unknown-function", t.from, t.to, mend, "%q is no function", clip(name))
	return false
}

// syntax reports what the library's own lexer or parser stumbled over. list
// is nil for the lexer.
func (d *door) syntax(err error, list []token) {
	var e *file.Error
	if !errors.As(err, &e) {
		d.errorf("formula-syntax", 0, len(d.text), "write a formula, such as 0.8 * 750*mm/min", "this is no formula")
		return
	}
	from, to := d.span(e.Location)
	if list == nil {
		// The lexer fails only over the end of a number.
		for from > 0 && strings.IndexByte("0123456789._", d.text[from-1]) >= 0 {
			from--
		}
		written := d.text[from:to]
		digits := strings.TrimRight(written, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZµ_")
		rest := d.text[from+len(digits):]
		word := rest[:len(rest)-len(strings.TrimLeft(rest, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZµμ_"))]
		to = max(to, from+len(digits)+len(word))
		if plainNumber.MatchString(digits) && word != "" {
			if u, err := quantity.ParseUnit(word); err == nil && !isUnit(word) {
				word = wordOf(u)
			}
			d.errorf("formula-syntax", from, to, problem.MendWrite+digits+"*"+word, "a sign is missing behind %q", clip(digits))
			return
		}
		d.errorf("formula-syntax", from, to, "write the number with digits and a point", "%q is not a number", clip(written))
		return
	}
	for _, t := range list {
		if t.from <= from && from < t.to {
			if e.From < len(d.offsets)-1 || t.to > from {
				if strings.Contains(e.Message, "EOF") || strings.Contains(e.Message, "end of expression") {
					break
				}
				d.errorf("formula-syntax", t.from, t.to, "look at what stands before it: a name, a number or a bracket may be missing", "%q cannot stand here", clip(d.text[t.from:t.to]))
				return
			}
		}
	}
	last := list[len(list)-1]
	d.errorf("formula-syntax", last.from, last.to, "write what belongs behind it, or close the bracket", "the formula ends too early, behind %q", clip(d.text[last.from:last.to]))
}

// convert turns the library's tree into ours and refuses every node that is
// not on this list.
func (d *door) convert(n ast.Node) *node {
	if n == nil || len(d.list) > 0 {
		return nil
	}
	from, to := d.span(n.Location())
	if d.nodes++; d.nodes > largestFormula {
		d.errorf("formula-too-long", 0, len(d.text), "part it into several named formulas", "the formula has more than %d parts", largestFormula)
		return nil
	}
	if d.seen != nil {
		// a < b < c shares b between two comparisons.
		if d.seen[n] {
			d.errorf("not-allowed", from, to, "compare two at a time: a < b and b < c", "three cannot be compared at once")
			return nil
		}
		d.seen[n] = true
	}
	switch n := n.(type) {
	case *ast.IntegerNode, *ast.FloatNode:
		return d.numeral(from, to)
	case *ast.BoolNode:
		return &node{form: truthForm, truth: n.Value, from: from, to: to, at: from, end: to}
	case *ast.IdentifierNode:
		return d.name(from, to, Fold(d.text[from:to]))
	case *ast.MemberNode:
		return d.member(n)
	case *ast.UnaryNode:
		return d.operation(unaryForm, n.Operator, from, to, n.Node)
	case *ast.BinaryNode:
		return d.operation(binaryForm, n.Operator, from, to, n.Left, n.Right)
	case *ast.CallNode:
		if callee, ok := n.Callee.(*ast.IdentifierNode); ok {
			from, to = d.span(callee.Location())
			return d.call(from, to, n.Arguments)
		}
	case *ast.BuiltinNode:
		return d.call(from, to, n.Arguments)
	case *ast.ConditionalNode:
		if n.Ternary {
			c := d.operation(chooseForm, "?", from, to, n.Cond, n.Exp1, n.Exp2)
			if c != nil {
				// The library keeps no place of the question mark.
				c.at, c.end = c.from, c.to
			}
			return c
		}
	}
	d.errorf("not-allowed", from, max(to, from), "write only names, numbers, + - * / ^ and brackets", "this has no place in a formula")
	return nil
}

func (d *door) numeral(from, to int) *node {
	text := lowered(d.text[from:to])
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		d.errorf("formula-syntax", from, to, "write the number with digits and a point", "%q is not a number", clip(text))
		return nil
	}
	return &node{form: numberForm, number: value, text: text, from: from, to: to, at: from, end: to}
}

// name is a unit, a named number or a name to look up.
func (d *door) name(from, to int, folded string) *node {
	n := &node{form: nameForm, text: folded, from: from, to: to, at: from, end: to}
	if u, ok := quantity.UnitByWord(d.text[from:to]); ok {
		n.form, n.unit, n.text = unitForm, u, d.text[from:to]
	} else if value, ok := constants[folded]; ok {
		n.form, n.number, n.text = numberForm, value, "π"
	}
	return n
}

// member reads fine_sable.safe_press as one name.
func (d *door) member(n *ast.MemberNode) *node {
	property, named := n.Property.(*ast.StringNode)
	from, to := d.span(n.Location())
	if named && !n.Optional && !n.Method {
		var owner *node
		switch inner := n.Node.(type) {
		case *ast.IdentifierNode, *ast.MemberNode:
			owner = d.convert(inner)
		}
		if owner == nil && len(d.list) > 0 {
			return nil
		}
		if owner != nil {
			_, to = d.span(property.Location())
			folded := Fold(d.text[owner.from:owner.to]) + "." + Fold(d.text[from:to])
			if owner.form == nameForm {
				folded = owner.text + "." + Fold(d.text[from:to])
			}
			return &node{form: nameForm, text: folded, from: owner.from, to: to, at: owner.from, end: to}
		}
	}
	d.errorf("not-allowed", from, to, "write a name before the point", "a point only stands between two names")
	return nil
}

var operators = map[string]string{"**": "^", "&&": "and", "||": "or", "!": "not"}

func (d *door) operation(f form, op string, at, end int, operands ...ast.Node) *node {
	if plain, ok := operators[op]; ok {
		op = plain
	}
	if !signs[op] {
		d.errorf("not-allowed", at, end, "write only names, numbers, + - * / ^ and brackets", "%q has no place in a formula", op)
		return nil
	}
	n := &node{form: f, op: op, at: at, end: end, from: at, to: end}
	for i, operand := range operands {
		child := d.convert(operand)
		if child == nil {
			return nil
		}
		n.args = append(n.args, child)
		if i == 0 && f != unaryForm {
			n.from = child.from
		}
		n.to = child.to
	}
	return n
}

func (d *door) call(at, end int, arguments []ast.Node) *node {
	name := Fold(d.text[at:end])
	f := functionByName[name]
	if f == nil {
		d.errorf("unknown-function", at, end, "the functions are "+strings.Join(functionNames, ", "), "%q is no function", clip(name))
		return nil
	}
	n := &node{form: callForm, call: f, text: f.name, at: at, end: end, from: at, to: end}
	if len(arguments) < f.min || len(arguments) > f.max {
		d.errorf("wrong-arguments", at, end, "write "+f.Usage(), "%s takes %s, not %d", f.name, f.count(), len(arguments))
		return nil
	}
	for _, a := range arguments {
		child := d.convert(a)
		if child == nil {
			return nil
		}
		n.args = append(n.args, child)
		n.to = child.to
	}
	return n
}

func isUnit(word string) bool { _, ok := quantity.UnitByWord(word); return ok }

// wordOf gives the name in a formula of a unit that was read from a cell's
// spelling.
func wordOf(u quantity.Unit) string {
	for _, help := range quantity.Units() {
		if help.Symbol == u.String() {
			return help.Formula
		}
	}
	return u.Spelling()
}
