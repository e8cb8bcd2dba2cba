package runner_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mostMethods is how many methods a type may have before it holds more than
// one idea.
const mostMethods = 15

// stillLarge are the types that wait to be parted. Take a type out of the list
// when it is; nothing is added to it.
var stillLarge = []string{
	"recipe.binder",
	"recipe.reader",
	"runner/axis.diagram",
	"runner/drawing.chainer", "runner/drawing.dxf", "runner/drawing.reading", "runner/drawing.svg",
}

// published are types whose methods are those of an interface that others
// laid down.
var published = map[string]string{}

// No type has so many methods that its story needs "and". Methods of embedded
// types of the same package count, so that nothing hides in them.
func TestTypesAreSmall(t *testing.T) {
	methods := map[string]int{}
	embeds := map[string][]string{}
	err := filepath.WalkDir("..", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != ".." && (strings.HasPrefix(d.Name(), ".") && d.Name() != ".ci" || d.Name() == "testdata") {
			return fs.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			return err
		}
		place := filepath.ToSlash(filepath.Dir(name)) + "."
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncDecl:
				if n.Recv != nil {
					methods[place+typeName(n.Recv.List[0].Type)]++
				}
			case *ast.TypeSpec:
				if s, ok := n.Type.(*ast.StructType); ok {
					for _, field := range s.Fields.List {
						if len(field.Names) == 0 {
							embeds[place+n.Name.Name] = append(embeds[place+n.Name.Name], place+typeName(field.Type))
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
	var count func(name string) int
	count = func(name string) int {
		n := methods[name]
		for _, e := range embeds[name] {
			n += count(e)
		}
		return n
	}
	found := 0
	for name := range embeds {
		methods[name] += 0
	}
	for name := range methods {
		found++
		short := strings.TrimPrefix(name, "../")
		if n := count(name); n > mostMethods && published[short] == "" && !slices.Contains(stillLarge, short) {
			t.Errorf("%s has %d methods, more than %d: part it by idea", short, n, mostMethods)
		}
	}
	if found < 100 {
		t.Fatalf("only %d types were found", found)
	}
}

// typeName is the name of a receiver or an embedded type, "" for one of
// another package.
func typeName(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return typeName(e.X)
	case *ast.IndexExpr:
		return typeName(e.X)
	case *ast.IndexListExpr:
		return typeName(e.X)
	case *ast.Ident:
		return e.Name
	}
	return ""
}
