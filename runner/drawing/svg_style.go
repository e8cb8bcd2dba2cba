package drawing

import (
	"slices"
	"strings"
)

// styled are the properties that decide what is painted. The inherited ones
// go down to what stands inside an element.
var styled = map[string]bool{ // whether it is inherited
	"fill": true, "fill-rule": true, "fill-opacity": true,
	"stroke": true, "stroke-width": true, "stroke-opacity": true, "stroke-dasharray": true, "stroke-linecap": true,
	"visibility": true,
	"display":    false, "opacity": false, "clip-path": false, "mask": false, "transform": false, "vector-effect": false,
}

// declaration is a property with its value.
type declaration struct {
	name, value string
	important   bool
}

// declarations are in rising order of strength.
type declarations []declaration

// cssRule is one rule of a style sheet for one simple selector.
type cssRule struct {
	element, id string
	classes     []string
	weight      int // the selector's specificity
	values      declarations
}

// sheet is what all style elements of the file say.
type sheet struct {
	rules   []cssRule
	byKey   map[string][]int // rules by "#id", ".class", "element" or "*"
	looked  int              // rules looked at for elements so far
	unknown bool             // some rule for a property that matters was not understood
}

// add reads a style element. Only simple selectors are understood: an
// element, a class, an identifier, or these joined without a blank.
//
// Source: CSS Syntax Module Level 3, Selectors Level 3 (specificity).
func (s *sheet) add(text string) {
	text = withoutComments(text)
	for {
		selector, rest, ok := strings.Cut(text, "{")
		if !ok {
			s.unknown = s.unknown || strings.Contains(text, "@import")
			return
		}
		if i := strings.LastIndexByte(selector, ';'); i >= 0 { // after @charset, @import
			s.unknown = s.unknown || strings.Contains(selector[:i], "@import")
			selector = selector[i+1:]
		}
		selector = strings.TrimSpace(selector)
		if strings.HasPrefix(selector, "@") {
			rest = afterBlock(rest)
			s.unknown = s.unknown || strings.HasPrefix(selector, "@media") || strings.HasPrefix(selector, "@supports")
			text = rest
			continue
		}
		body, after, _ := strings.Cut(rest, "}")
		values := parseDeclarations(body)
		for part := range strings.SplitSeq(selector, ",") {
			s.addRule(strings.TrimSpace(part), values)
		}
		text = after
	}
}

func withoutComments(text string) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(text, "/*")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		_, text, ok = strings.Cut(rest, "*/")
		if !ok {
			return b.String()
		}
		b.WriteByte(' ')
	}
}

// afterBlock is what follows a block whose opening brace was read.
func afterBlock(text string) string {
	depth := 1
	for i := range len(text) {
		switch text[i] {
		case '{':
			depth++
		case '}':
			if depth--; depth == 0 {
				return text[i+1:]
			}
		}
	}
	return ""
}

func parseDeclarations(body string) declarations {
	var out declarations
	for part := range strings.SplitSeq(body, ";") {
		name, value, ok := strings.Cut(part, ":")
		name = strings.ToLower(strings.TrimSpace(name))
		if _, matters := styled[name]; !ok || !matters {
			continue
		}
		value, important := strings.CutSuffix(strings.TrimSpace(value), "!important")
		out = append(out, declaration{name, strings.TrimSpace(value), important})
	}
	return out
}

func (s *sheet) addRule(selector string, values declarations) {
	if len(values) == 0 || selector == "" {
		return
	}
	if strings.ContainsAny(selector, " >+~:[\t\n\r") {
		s.unknown = true
		return
	}
	rule := cssRule{values: values}
	key := ""
	for selector != "" {
		end := len(selector)
		if i := strings.IndexAny(selector[1:], ".#"); i >= 0 {
			end = i + 1
		}
		part := selector[:end]
		selector = selector[end:]
		switch part[0] {
		case '.':
			rule.classes = append(rule.classes, part[1:])
			rule.weight += 100
			if key == "" || key[0] != '#' {
				key = part
			}
		case '#':
			rule.id = part[1:]
			rule.weight += 10_000
			key = part
		default:
			if part != "*" {
				rule.element = part
				rule.weight++
			}
			if key == "" {
				key = part
			}
		}
	}
	if len(s.rules) >= maxRules {
		s.looked = maxMatches // told when the first element is drawn
		return
	}
	if s.byKey == nil {
		s.byKey = map[string][]int{}
	}
	s.byKey[key] = append(s.byKey[key], len(s.rules))
	s.rules = append(s.rules, rule)
}

// matching gives the rules for an element, the weakest first.
func (s *sheet) matching(n *svgNode) []int {
	if len(s.rules) == 0 {
		return nil
	}
	id := n.attr("id")
	classes := strings.Fields(n.attr("class"))
	slices.Sort(classes)
	classes = slices.Compact(classes)
	var found []int
	look := func(key string) {
		for _, i := range s.byKey[key] {
			rule := &s.rules[i]
			if s.looked += 1 + len(rule.classes); s.looked > maxMatches {
				return
			}
			if (rule.element == "" || rule.element == n.kind) && (rule.id == "" || rule.id == id) &&
				!slices.ContainsFunc(rule.classes, func(c string) bool {
					_, has := slices.BinarySearch(classes, c)
					return !has
				}) {
				found = append(found, i)
			}
		}
	}
	look("*")
	look(n.kind)
	for _, c := range classes {
		look("." + c)
	}
	look("#" + id)
	slices.SortFunc(found, func(i, j int) int {
		if s.rules[i].weight != s.rules[j].weight {
			return s.rules[i].weight - s.rules[j].weight
		}
		return i - j
	})
	return found
}

// declared gives an element's own declarations, the strongest last:
// attributes, then rules, then the style attribute.
func (s *sheet) declared(n *svgNode) declarations {
	var out declarations
	for _, a := range n.attrs {
		if _, ok := styled[a.name]; ok && a.name != "transform" { // the attribute is read on its own
			out = append(out, declaration{a.name, strings.TrimSpace(a.value), false})
		}
	}
	for _, i := range s.matching(n) {
		out = append(out, s.rules[i].values...)
	}
	if style := n.attr("style"); style != "" {
		out = append(out, parseDeclarations(withoutComments(style))...)
	}
	slices.SortStableFunc(out, func(a, b declaration) int {
		switch {
		case a.important == b.important:
			return 0
		case b.important:
			return -1
		}
		return 1
	})
	return out
}
