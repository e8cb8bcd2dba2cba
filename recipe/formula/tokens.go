package formula

import (
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/expr-lang/expr/parser/lexer"

	"mahlstick/recipe/problem"
)

var plainNumber = regexp.MustCompile(`^([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?$`)

// allowedOperators holds the operators of the language.
var allowedOperators = map[string]bool{
	"+": true, "-": true, "*": true, "/": true, "^": true, "**": true, "<": true, ">": true, "<=": true, ">=": true,
	"==": true, "!=": true, "and": true, "or": true, "not": true, "&&": true, "||": true, "!": true, "?": true, ":": true, ",": true, ".": true,
}

// operatorAdvice holds what to write instead of some other operators.
var operatorAdvice = map[string]problem.Fix{
	"=": problem.Advise("write == to compare two values"), "%": problem.Advise("write *percent, as in 15*percent"), "if": problem.Advise("write condition ? value : other value"),
	"else": problem.Advise("write condition ? value : other value"), "in": problem.Write("inch"), "&": problem.Write("and"), "|": problem.Write("or"),
	"#": problem.Advise("put a space before the # of a remark"), ";": problem.Advise("write each formula on a line of its own"),
}

var onlySigns = problem.Advise("write only names, numbers, + - * / ^ and brackets")

// tokenChecker refuses operators that formulas do not have, unknown functions, and
// two values without an operator between them, before the library parses anything.
type tokenChecker struct {
	*report
	tokens []token
	depth  int   // open brackets
	outer  token // the outermost bracket that is open
}

// check reports the first wrong token; true if there is none.
func (c *tokenChecker) check() bool {
	for i := range c.tokens {
		if !c.token(i) {
			return false
		}
		if c.endsValue(i) && c.startsValue(i+1) {
			return c.missingOperator(c.tokens[i], c.tokens[i+1])
		}
	}
	if c.depth > 0 {
		return c.refuse(problem.FormulaSyntax, c.outer, problem.Advise("close it with )"), "this bracket is not closed")
	}
	return true
}

// refuse reports a token and returns false.
func (c *tokenChecker) refuse(code problem.Code, t token, fix problem.Fix, format string, args ...any) bool {
	c.errorf(code, t.from, t.to, fix, format, args...)
	return false
}

// next is the token after token i, or the zero token at the end.
func (c *tokenChecker) next(i int) token {
	if i+1 < len(c.tokens) {
		return c.tokens[i+1]
	}
	return token{}
}

func (t token) opensBracket() bool { return t.kind == lexer.Bracket && t.value == "(" }

// endsValue reports whether a value ends with an accepted token.
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

// startsValue reports whether a value starts with a token.
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
		return c.refuse(problem.NotAllowed, t, problem.Advise("remove it"), "text is not allowed in a formula")
	}
}

func (c *tokenChecker) operator(i int) bool {
	t := c.tokens[i]
	if t.value == "in" && i > 0 && c.tokens[i-1].kind == lexer.Number {
		number := c.tokens[i-1]
		written := c.f.Text[number.from:number.to]
		number.to = t.to
		return c.refuse(problem.FormulaSyntax, number, productFix(c.f.Text[:number.from], written+"*inch"), "an operator is missing after %q", clip(written))
	}
	if !allowedOperators[t.value] {
		fix := operatorAdvice[t.value]
		if fix.None() {
			fix = onlySigns
		}
		return c.refuse(problem.NotAllowed, t, fix, "%q is not allowed in a formula", t.value)
	}
	if t.value == "?" && c.next(i).value == ":" {
		return c.refuse(problem.NotAllowed, t, problem.Advise("write condition ? value : other value"), "\"?:\" is not allowed in a formula")
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
		fix := problem.Write(point)
		if whole, decimals, _ := strings.Cut(point, "."); len(decimals) == 3 && len(whole) <= 3 && whole[0] != '0' {
			fix = problem.DidYouMean(point, whole+decimals) // the comma may separate thousands
		}
		return c.refuse(problem.FormulaSyntax, number, fix, "a formula takes a decimal point, not a comma")
	}
	return c.refuse(problem.FormulaSyntax, t, problem.Advise("remove it"), "a comma separates only the arguments of a function")
}

func (c *tokenChecker) bracket(t token) bool {
	switch t.value {
	case "(":
		if c.depth++; c.depth == 1 {
			c.outer = t
		}
		if c.depth > maxBracketDepth {
			return c.refuse(problem.FormulaTooDeep, t, problem.Advise("split it into several named formulas"), "brackets are nested more than %d deep", maxBracketDepth)
		}
	case ")":
		if c.depth--; c.depth < 0 {
			return c.refuse(problem.FormulaSyntax, t, problem.Advise("remove it"), "no bracket is open here")
		}
	default:
		return c.refuse(problem.NotAllowed, t, problem.Advise("use round brackets"), "%q is not allowed in a formula", t.value)
	}
	return true
}

// number refuses numbers that are not decimal or out of range (as in package
// quantity): the library would report them at the place after them.
func (c *tokenChecker) number(t token) bool {
	written := plainDigits(c.f.Text[t.from:t.to])
	if !plainNumber.MatchString(written) {
		fix := problem.Advise("write the number with digits and a decimal point")
		if plain := strings.ReplaceAll(written, "_", ""); plainNumber.MatchString(plain) {
			fix = problem.Write(plain)
		}
		return c.refuse(problem.NotAllowed, t, fix, "%q is not a decimal number", clip(written))
	}
	value, err := strconv.ParseFloat(written, 64)
	if err != nil || value > 1e15 || value != 0 && value < 1e-30 {
		return c.refuse(problem.NumberOutOfRange, t, problem.Advise("write a number between 1e-30 and 1e15"), "%q is too large or too small", clip(written))
	}
	return true
}

func (c *tokenChecker) identifier(i int) bool {
	t := c.tokens[i]
	switch {
	case t.value == "nil":
		return c.refuse(problem.NotAllowed, t, problem.Advise("remove it"), "%q is not allowed in a formula", t.value)
	case !c.next(i).opensBracket():
		return true
	case i > 0 && c.tokens[i-1].value == ".":
		return c.refuse(problem.NotAllowed, t, problem.Advise("write only a name after the point"), "%q after a point is not a function", t.value)
	}
	return c.functionName(t)
}

// functionName refuses calls of unknown functions.
func (c *tokenChecker) functionName(t token) bool {
	name := c.f.Text[t.from:t.to]
	if _, ok := functionByName[Fold(name)]; ok {
		return true
	}
	fix := correction(name, functionNames)
	switch other, known := functionSynonyms[Fold(name)]; {
	case known:
		fix = problem.Write(other)
	case isUnit(name):
		fix = problem.Write(name + "*")
	case fix.None():
		fix = problem.Advise("the functions are " + strings.Join(functionNames, ", "))
	}
	return c.refuse(problem.UnknownFunction, t, fix, "%q is not a function", clip(name))
}

// missingOperator reports two values without an operator between them: 2.8 mm.
func (c *tokenChecker) missingOperator(t, next token) bool {
	both := token{from: t.from, to: next.to}
	if next.opensBracket() {
		both.to = next.from
	}
	left := c.f.Text[t.from:t.to]
	what := strings.TrimSpace(c.f.Text[both.from:both.to])
	switch {
	case t.kind == lexer.Number && next.kind == lexer.Identifier, next.opensBracket():
		return c.refuse(problem.FormulaSyntax, both, productFix(c.f.Text[:t.from], c.product(left, next)), "an operator is missing after %q", clip(left))
	case t.kind == lexer.Identifier && next.kind == lexer.Identifier:
		return c.refuse(problem.FormulaSyntax, both, problem.Advise("write "+Fold(what)+" if it is one name, or an operator between two"), "%q has a space", clip(what))
	}
	return c.refuse(problem.FormulaSyntax, both, problem.Advise("write + - * / or ^ between them"), "an operator is missing in %q", clip(what))
}

// productFix is the fix that writes a product. After / or ^ the author may have
// meant the product in brackets.
func productFix(before, product string) problem.Fix {
	before = strings.TrimRight(before, " ")
	if last, _ := utf8.DecodeLastRuneInString(before); strings.ContainsRune("/÷∕⁄^", last) || strings.HasSuffix(before, "**") {
		return problem.DidYouMean(product, "("+product+")")
	}
	return problem.Write(product)
}

// product writes a * between a value and what follows it.
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
