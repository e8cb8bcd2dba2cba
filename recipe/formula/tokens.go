package formula

import (
	"regexp"
	"strconv"
	"strings"

	"github.com/expr-lang/expr/parser/lexer"

	"mahlstick/recipe/problem"
)

var plainNumber = regexp.MustCompile(`^([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// signs are the operators of the language.
var signs = map[string]bool{
	"+": true, "-": true, "*": true, "/": true, "^": true, "**": true, "<": true, ">": true, "<=": true, ">=": true,
	"==": true, "!=": true, "and": true, "or": true, "not": true, "&&": true, "||": true, "!": true, "?": true, ":": true, ",": true, ".": true,
}

// signAdvice is what to write instead of some of the others.
var signAdvice = map[string]problem.Fix{
	"=": problem.Write("=="), "%": problem.Advise("write *percent for a share, as in 15*percent"), "if": problem.Advise("write condition ? value : other value"),
	"else": problem.Advise("write condition ? value : other value"), "in": problem.Write("inch"), "&": problem.Write("and"), "|": problem.Write("or"),
	"#": problem.Advise("put a blank before the # of a remark"), ";": problem.Advise("write one formula a line"),
}

var onlySigns = problem.Advise("write only names, numbers, + - * / ^ and brackets")

// tokenChecker refuses, before the library parses anything, every sign that
// the language does not have, unknown functions, and two values without a sign
// between them.
type tokenChecker struct {
	*report
	tokens []token
	depth  int   // open brackets
	outer  token // the outermost bracket that is open
}

// check reports the first token at fault and whether there was none.
func (c *tokenChecker) check() bool {
	for i := range c.tokens {
		if !c.token(i) {
			return false
		}
		if c.endsValue(i) && c.startsValue(i+1) {
			return c.missingSign(c.tokens[i], c.tokens[i+1])
		}
	}
	if c.depth > 0 {
		return c.refuse(problem.FormulaSyntax, c.outer, problem.Advise("close it with )"), "this bracket is not closed")
	}
	return true
}

// refuse reports a token; it is always false.
func (c *tokenChecker) refuse(code problem.Code, t token, fix problem.Fix, format string, args ...any) bool {
	c.errorf(code, t.from, t.to, fix, format, args...)
	return false
}

// next is the token behind one, the zero token at the end.
func (c *tokenChecker) next(i int) token {
	if i+1 < len(c.tokens) {
		return c.tokens[i+1]
	}
	return token{}
}

func (t token) opensBracket() bool { return t.kind == lexer.Bracket && t.value == "(" }

// endsValue says whether a value ends with a token that was found right.
func (c *tokenChecker) endsValue(i int) bool {
	switch t := c.tokens[i]; t.kind {
	case lexer.Number:
		return true
	case lexer.Identifier:
		return !c.next(i).opensBracket()
	case lexer.Bracket:
		return t.value == ")"
	}
	return false
}

// startsValue says whether a value starts with a token.
func (c *tokenChecker) startsValue(i int) bool {
	if i >= len(c.tokens) {
		return false
	}
	t := c.tokens[i]
	return t.kind == lexer.Number || t.kind == lexer.Identifier || t.opensBracket()
}

func (c *tokenChecker) token(i int) bool {
	switch t := c.tokens[i]; t.kind {
	case lexer.Operator:
		return c.operator(i)
	case lexer.Bracket:
		return c.bracket(t)
	case lexer.Number:
		return c.number(t)
	case lexer.Identifier:
		return c.identifier(i)
	default:
		return c.refuse(problem.NotAllowed, t, problem.Advise("formulas hold no text"), "text has no place in a formula")
	}
}

func (c *tokenChecker) operator(i int) bool {
	t := c.tokens[i]
	if t.value == "in" && i > 0 && c.tokens[i-1].kind == lexer.Number {
		number := c.tokens[i-1]
		written := c.f.Text[number.from:number.to]
		number.to = t.to
		return c.refuse(problem.FormulaSyntax, number, problem.Write(written+"*inch"), "a sign is missing behind %q", clip(written))
	}
	if !signs[t.value] {
		fix := signAdvice[t.value]
		if fix.None() {
			fix = onlySigns
		}
		return c.refuse(problem.NotAllowed, t, fix, "%q has no place in a formula", t.value)
	}
	if t.value == "?" && c.next(i).value == ":" {
		return c.refuse(problem.NotAllowed, t, problem.Advise("write condition ? value : other value"), "\"?:\" has no place in a formula")
	}
	if t.value == "," && c.depth == 0 {
		return c.comma(i)
	}
	return true
}

// comma reports a comma outside a function: 0,8 is 0.8.
func (c *tokenChecker) comma(i int) bool {
	t := c.tokens[i]
	if i > 0 && c.tokens[i-1].kind == lexer.Number && c.next(i).kind == lexer.Number && c.tokens[i-1].to == t.from && t.to == c.next(i).from {
		number := token{from: c.tokens[i-1].from, to: c.next(i).to}
		point := strings.Replace(c.f.Text[number.from:number.to], ",", ".", 1)
		return c.refuse(problem.FormulaSyntax, number, problem.Write(point), "formulas write the decimal point as a point")
	}
	return c.refuse(problem.FormulaSyntax, t, problem.Advise("take it out"), "a comma only parts the arguments of a function")
}

func (c *tokenChecker) bracket(t token) bool {
	switch t.value {
	case "(":
		if c.depth++; c.depth == 1 {
			c.outer = t
		}
		if c.depth > deepestFormula {
			return c.refuse(problem.FormulaTooDeep, t, problem.Advise("part it into several named formulas"), "brackets stand more than %d deep", deepestFormula)
		}
	case ")":
		if c.depth--; c.depth < 0 {
			return c.refuse(problem.FormulaSyntax, t, problem.Advise("take it out"), "this bracket closes nothing")
		}
	default:
		return c.refuse(problem.NotAllowed, t, problem.Advise("write round brackets"), "%q has no place in a formula", t.value)
	}
	return true
}

// number refuses numbers that are not decimal, and those beyond all bounds:
// the library would report them at the place behind them.
func (c *tokenChecker) number(t token) bool {
	written := lowered(c.f.Text[t.from:t.to])
	if !plainNumber.MatchString(written) {
		fix := problem.Advise("write the number with digits and a point")
		if plain := strings.ReplaceAll(written, "_", ""); plainNumber.MatchString(plain) {
			fix = problem.Write(plain)
		}
		return c.refuse(problem.NotAllowed, t, fix, "%q is not a number of the language", clip(written))
	}
	value, err := strconv.ParseFloat(written, 64)
	if err != nil || value > 1e15 || value != 0 && value < 1e-30 {
		return c.refuse(problem.NumberOutOfRange, t, problem.Advise("write a number that a picture can have"), "%q is beyond every size that a picture can have", clip(written))
	}
	return true
}

func (c *tokenChecker) identifier(i int) bool {
	t := c.tokens[i]
	switch {
	case t.value == "nil":
		return c.refuse(problem.NotAllowed, t, problem.Advise("take it out"), "%q has no place in a formula", t.value)
	case !c.next(i).opensBracket():
		return true
	case i > 0 && c.tokens[i-1].value == ".":
		return c.refuse(problem.NotAllowed, t, problem.Advise("write only a name behind the point"), "%q behind a point is no function", t.value)
	}
	return c.functionName(t)
}

// functionName refuses calls of what is no function of the language.
func (c *tokenChecker) functionName(t token) bool {
	name := c.f.Text[t.from:t.to]
	if _, ok := functionByName[Fold(name)]; ok {
		return true
	}
	fix := problem.Advise("the functions are " + strings.Join(functionNames, ", "))
	switch {
	case functionAdvice[Fold(name)] != "":
		fix = problem.Write(functionAdvice[Fold(name)])
	case isUnit(name):
		fix = problem.Write(name + "*")
	default:
		if near, ok := nearestOf(name, functionNames); ok {
			fix = problem.Write(near)
		}
	}
	return c.refuse(problem.UnknownFunction, t, fix, "%q is no function", clip(name))
}

// missingSign reports two values without a sign between them: 2.8 mm.
func (c *tokenChecker) missingSign(t, next token) bool {
	both := token{from: t.from, to: next.to}
	if next.opensBracket() {
		both.to = next.from
	}
	left := c.f.Text[t.from:t.to]
	what := strings.TrimSpace(c.f.Text[both.from:both.to])
	switch {
	case t.kind == lexer.Number && next.kind == lexer.Identifier, next.opensBracket():
		return c.refuse(problem.FormulaSyntax, both, problem.Write(c.product(left, next)), "a sign is missing behind %q", clip(left))
	case t.kind == lexer.Identifier && next.kind == lexer.Identifier:
		return c.refuse(problem.FormulaSyntax, both, problem.Write(Fold(what)), "a name in a formula has no blanks")
	}
	return c.refuse(problem.FormulaSyntax, both, problem.Advise("write + - * / or ^ between them"), "a sign is missing in %q", clip(what))
}

// product puts the sign of a product between a value and what follows it.
func (c *tokenChecker) product(left string, next token) string {
	if next.kind != lexer.Identifier {
		return left + "*"
	}
	after := strings.TrimLeft(c.f.Text[next.to:], " ")
	if strings.EqualFold(next.value, "x") && after != "" && (after[0] >= '0' && after[0] <= '9' || after[0] == '(') {
		return left + " *" // an x between numbers is meant as the sign
	}
	return left + "*" + formulaWord(c.f.Text[next.from:next.to])
}
