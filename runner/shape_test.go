package runner_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// mostMethods is how many methods a type may have before it holds more than
// one idea.
const mostMethods = 15

// No type has so many methods that its story needs "and". Methods of embedded
// types of the same package count, so that nothing hides in them.
func TestTypesAreSmall(t *testing.T) {
	types := typesOf(t)
	if len(types) < 100 {
		t.Fatalf("only %d types were found", len(types))
	}
	for name := range types {
		short := strings.TrimPrefix(name, "../")
		if n := types.methods(name); n > mostMethods {
			t.Errorf("%s has %d methods, more than %d: part it by idea", short, n, mostMethods)
		}
	}
}

// declared is what a type has: methods of its own, and embedded types.
type declared struct {
	methods int
	embeds  []string
}

// declaredTypes are types by the path of their package and their name.
type declaredTypes map[string]*declared

// methods counts those of a type and of all that it embeds.
func (d declaredTypes) methods(name string) int {
	if d[name] == nil {
		return 0
	}
	n := d[name].methods
	for _, e := range d[name].embeds {
		n += d.methods(e)
	}
	return n
}

func (d declaredTypes) of(name string) *declared {
	if d[name] == nil {
		d[name] = &declared{}
	}
	return d[name]
}

// typesOf reads all types of the project.
func typesOf(t *testing.T) declaredTypes {
	types := declaredTypes{}
	err := filepath.WalkDir("..", func(name string, e fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case e.IsDir() && name != ".." && (strings.HasPrefix(e.Name(), ".") && e.Name() != ".ci" || e.Name() == "testdata"):
			return fs.SkipDir
		case e.IsDir() || !strings.HasSuffix(name, ".go"):
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			return err
		}
		place := filepath.ToSlash(filepath.Dir(name)) + "."
		ast.Inspect(file, func(n ast.Node) bool {
			types.add(place, n)
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return types
}

// add notes a method or the embedded types of a struct.
func (d declaredTypes) add(place string, n ast.Node) {
	switch n := n.(type) {
	case *ast.FuncDecl:
		if n.Recv != nil {
			d.of(place+typeName(n.Recv.List[0].Type)).methods++
		}
	case *ast.TypeSpec:
		s, ok := n.Type.(*ast.StructType)
		if !ok {
			return
		}
		for _, field := range s.Fields.List {
			if len(field.Names) == 0 {
				t := d.of(place + n.Name.Name)
				t.embeds = append(t.embeds, place+typeName(field.Type))
			}
		}
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
