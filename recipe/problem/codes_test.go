package problem_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
)

var codeShape = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// declared reads the names and values of the constants of type Code.
func declared(t *testing.T) map[string]problem.Code {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "codes.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	codes := map[string]problem.Code{}
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || len(spec.Values) != 1 {
			return true
		}
		if lit, ok := spec.Values[0].(*ast.BasicLit); ok {
			codes[spec.Names[0].Name] = problem.Code(strings.Trim(lit.Value, `"`))
		}
		return true
	})
	return codes
}

// Every constant has its explanation, and the list is in order.
func TestCodesAreExplained(t *testing.T) {
	codes := declared(t)
	if len(codes) != len(problem.Codes()) {
		t.Errorf("%d codes are declared and %d explained", len(codes), len(problem.Codes()))
	}
	for name, code := range codes {
		if problem.Meaning(code) == "" {
			t.Errorf("%s has no explanation", name)
		}
		if want := strings.ReplaceAll(string(code), "-", ""); !strings.EqualFold(name, want) {
			t.Errorf("%s is the constant of %s", name, code)
		}
	}
	last := problem.Code("")
	for _, c := range problem.Codes() {
		if c.Code <= last {
			t.Errorf("%s is not in alphabetical order", c.Code)
		}
		last = c.Code
		if !codeShape.MatchString(string(c.Code)) || !strings.HasSuffix(c.Meaning, ".") || strings.Contains(c.Meaning, ". ") {
			t.Errorf("%s is not explained in one sentence: %q", c.Code, c.Meaning)
		}
		if problem.Meaning(c.Code) != c.Meaning {
			t.Errorf("%s is not found", c.Code)
		}
	}
	if problem.Meaning("no-such-code") != "" {
		t.Error("a code that does not exist is explained")
	}
}

// Each constant is used where a problem is reported. The compiler knows the
// constants; a code written as text would get past it, so there is none.
func TestCodesAreReported(t *testing.T) {
	codes := declared(t)
	texts := map[string]bool{}
	for _, code := range codes {
		if strings.Contains(string(code), "-") {
			texts[string(code)] = true
		}
	}
	used := map[string]bool{}
	err := filepath.WalkDir(filepath.Join("..", ".."), func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || filepath.Base(filepath.Dir(name)) == "problem" {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil || !strings.Contains(string(data), `"mahlstick/recipe/problem"`) {
			return err
		}
		return codesIn(t, name, data, texts, used)
	})
	if err != nil {
		t.Fatal(err)
	}
	for name := range codes {
		if !used[name] {
			t.Errorf("nothing reports %s", name)
		}
	}
}

// codesIn notes the constants that a file uses, and finds codes that are
// written as text.
func codesIn(t *testing.T, name string, data []byte, texts, used map[string]bool) error {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, data, 0)
	if err != nil {
		return err
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.SelectorExpr:
			if x, ok := n.X.(*ast.Ident); ok && x.Name == "problem" {
				used[n.Sel.Name] = true
			}
		case *ast.BasicLit:
			if texts[strings.Trim(n.Value, `"`)] {
				t.Errorf("%s: %s is written as text", set.Position(n.Pos()), n.Value)
			}
		}
		return true
	})
	return nil
}
