package problem_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"mahlstick/recipe/problem"
)

var codeShape = regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)

// reporters are the functions whose first such argument is a code.
var reporters = regexp.MustCompile(`(?i)(errorf|warnf|warn|warnOnce|fail|refuse|report|reportAt|stop|spoiled|spoil|tell|unknownEntry|at|add|hint)$`)

// usedCodes reads the source of the whole module and finds the codes of
// problems: what stands behind Code: and what is handed to a reporter.
func usedCodes(t *testing.T) (used map[string]string, source string) {
	t.Helper()
	used = map[string]string{}
	var all strings.Builder
	root := filepath.Join("..", "..")
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return err
		}
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		if filepath.Base(name) != "codes.go" {
			all.Write(data)
		}
		if !strings.Contains(string(data), `"mahlstick/recipe/problem"`) {
			return nil
		}
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, name, data, 0)
		if err != nil {
			return nil // somebody is writing it
		}
		note := func(e ast.Expr) bool {
			lit, ok := e.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return false
			}
			code, _ := strconv.Unquote(lit.Value)
			if !codeShape.MatchString(code) || !strings.Contains(code, "-") && code != "unusual" && code != "unreadable" {
				return false
			}
			used[code] = set.Position(lit.Pos()).String()
			return true
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.KeyValueExpr:
				if key, ok := n.Key.(*ast.Ident); ok && key.Name == "Code" {
					note(n.Value)
				}
			case *ast.AssignStmt:
				for i, left := range n.Lhs {
					if s, ok := left.(*ast.SelectorExpr); ok && s.Sel.Name == "Code" && len(n.Lhs) == len(n.Rhs) {
						note(n.Rhs[i])
					}
				}
			case *ast.CallExpr:
				name := ""
				switch f := n.Fun.(type) {
				case *ast.Ident:
					name = f.Name
				case *ast.SelectorExpr:
					name = f.Sel.Name
				}
				if reporters.MatchString(name) {
					for _, arg := range n.Args {
						if note(arg) {
							break
						}
					}
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return used, all.String()
}

// Every code that the program can report is explained, once, and nothing else
// is.
func TestCodes(t *testing.T) {
	used, source := usedCodes(t)
	if len(used) < 90 {
		t.Fatalf("only %d codes were found in the source", len(used))
	}
	known := map[string]bool{}
	last := ""
	for _, c := range problem.Codes() {
		if c.Code <= last {
			t.Errorf("%s does not stand in the order of the alphabet", c.Code)
		}
		last = c.Code
		known[c.Code] = true
		if !codeShape.MatchString(c.Code) || !strings.HasSuffix(c.Meaning, ".") || strings.Count(c.Meaning, ". ") > 0 {
			t.Errorf("%s is not explained in one sentence: %q", c.Code, c.Meaning)
		}
		if !strings.Contains(source, strconv.Quote(c.Code)) {
			t.Errorf("nothing reports %s", c.Code)
		}
		if problem.Meaning(c.Code) != c.Meaning {
			t.Errorf("%s is not found", c.Code)
		}
	}
	var missing []string
	for code, at := range used {
		if !known[code] {
			missing = append(missing, code+" at "+at)
		}
	}
	slices.Sort(missing)
	for _, m := range missing {
		t.Errorf("codes.go does not explain %s", m)
	}
	if problem.Meaning("no-such-code") != "" {
		t.Error("a code that does not exist is explained")
	}
}
