package formula

import (
	"regexp"
	"strconv"
	"strings"

	"github.com/expr-lang/expr/parser/lexer"

	"mahlstick/recipe/problem"
	"mahlstick/recipe/quantity"
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

// inspect refuses, before the library parses anything, every sign that the
// language does not have, unknown functions, and what is not parted by a sign.
func (d *exprParser) inspect(list []token) bool {
	depth, outer := 0, token{}
	for i, t := range list {
		refuse := func(fix problem.Fix, format string, args ...any) bool {
			d.errorf(problem.NotAllowed, t.from, t.to, fix, format, args...)
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
				d.errorf(problem.FormulaSyntax, number.from, t.to, problem.Write(d.text[number.from:number.to]+"*inch"), "a sign is missing behind %q", clip(d.text[number.from:number.to]))
				return false
			}
			if !signs[t.value] {
				fix := signAdvice[t.value]
				if fix.None() {
					fix = problem.Advise("write only names, numbers, + - * / ^ and brackets")
				}
				return refuse(fix, "%q has no place in a formula", t.value)
			}
			if t.value == "?" && next.value == ":" {
				return refuse(problem.Advise("write condition ? value : other value"), "\"?:\" has no place in a formula")
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
					return refuseSyntax(d, t, problem.Advise("take it out"), "this bracket closes nothing")
				}
				operand = true
			default:
				return refuse(problem.Advise("write round brackets"), "%q has no place in a formula", t.value)
			}
			if depth > deepestFormula {
				d.errorf(problem.FormulaTooDeep, t.from, t.to, problem.Advise("part it into several named formulas"), "brackets stand more than %d deep", deepestFormula)
				return false
			}
		case lexer.Number:
			if !d.numberAllowed(t) {
				return false
			}
		case lexer.Identifier:
			if t.value == "nil" {
				return refuse(problem.Advise("take it out"), "%q has no place in a formula", t.value)
			}
			if next.value == "(" && next.kind == lexer.Bracket {
				if i > 0 && list[i-1].value == "." {
					return refuse(problem.Advise("write only a name behind the point"), "%q behind a point is no function", t.value)
				}
				if !d.knownFunction(t) {
					return false
				}
				operand = false
			}
		default:
			return refuse(problem.Advise("formulas hold no text"), "text has no place in a formula")
		}
		if operand && next.to > 0 && (next.kind == lexer.Number || next.kind == lexer.Identifier || next.value == "(" && next.kind == lexer.Bracket) {
			d.unparted(t, next)
			return false
		}
	}
	if depth > 0 {
		return refuseSyntax(d, outer, problem.Advise("close it with )"), "this bracket is not closed")
	}
	return true
}

func refuseSyntax(d *exprParser, t token, fix problem.Fix, message string) bool {
	d.errorf(problem.FormulaSyntax, t.from, t.to, fix, "%s", message)
	return false
}

// numberAllowed refuses numbers that are not decimal, and those beyond all
// bounds: the library would stumble over them, at the place behind them.
func (d *exprParser) numberAllowed(t token) bool {
	written := lowered(d.text[t.from:t.to])
	if !plainNumber.MatchString(written) {
		fix := problem.Advise("write the number with digits and a point")
		if plain := strings.ReplaceAll(written, "_", ""); plainNumber.MatchString(plain) {
			fix = problem.Write(plain)
		}
		d.errorf(problem.NotAllowed, t.from, t.to, fix, "%q is not a number of the language", clip(written))
		return false
	}
	value, err := strconv.ParseFloat(written, 64)
	if err != nil || value > 1e15 || value != 0 && value < 1e-30 {
		d.errorf(problem.NumberOutOfRange, t.from, t.to, problem.Advise("write a number that a picture can have"), "%q is beyond every size that a picture can have", clip(written))
		return false
	}
	return true
}

// comma reports a comma outside a function: 0,8 is 0.8.
func (d *exprParser) comma(list []token, i int) bool {
	t := list[i]
	if i > 0 && i+1 < len(list) && list[i-1].kind == lexer.Number && list[i+1].kind == lexer.Number && list[i-1].to == t.from && t.to == list[i+1].from {
		from, to := list[i-1].from, list[i+1].to
		d.errorf(problem.FormulaSyntax, from, to, problem.Write(strings.Replace(d.text[from:to], ",", ".", 1)), "formulas write the decimal point as a point")
		return false
	}
	d.errorf(problem.FormulaSyntax, t.from, t.to, problem.Advise("take it out"), "a comma only parts the arguments of a function")
	return false
}

// unparted reports two things without a sign between them: 2.8 mm.
func (d *exprParser) unparted(t, next token) {
	from, to := t.from, next.to
	if next.value == "(" {
		to = next.from
	}
	what := strings.TrimSpace(d.text[from:to])
	switch {
	case t.kind == lexer.Number && next.kind == lexer.Identifier, next.value == "(":
		mended := d.text[t.from:t.to] + "*"
		if after := strings.TrimLeft(d.text[next.to:], " "); strings.EqualFold(next.value, "x") && after != "" && (after[0] >= '0' && after[0] <= '9' || after[0] == '(') {
			mended = d.text[t.from:t.to] + " *" // an x between numbers is meant as the sign
		} else if next.kind == lexer.Identifier {
			name := d.text[next.from:next.to]
			if u, err := quantity.ParseUnit(name); err == nil && !isUnit(name) {
				name = wordOf(u)
			}
			mended += name
		}
		d.errorf(problem.FormulaSyntax, from, to, problem.Write(mended), "a sign is missing behind %q", clip(d.text[t.from:t.to]))
	case t.kind == lexer.Identifier && next.kind == lexer.Identifier:
		d.errorf(problem.FormulaSyntax, from, to, problem.Write(Fold(what)), "a name in a formula has no blanks")
	default:
		d.errorf(problem.FormulaSyntax, from, to, problem.Advise("write + - * / or ^ between them"), "a sign is missing in %q", clip(what))
	}
}

// knownFunction refuses calls of what is no function of the language.
func (d *exprParser) knownFunction(t token) bool {
	name := d.text[t.from:t.to]
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
	d.errorf(problem.UnknownFunction, t.from, t.to, fix, "%q is no function", clip(name))
	return false
}
