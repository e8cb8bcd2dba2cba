package runner_test

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// arrows is the house's statement of policy: what each package may import of
// the project and of other people's work. A package that is not listed, and
// an import that is not allowed, fail the test. Test files are free.
var arrows = map[string]string{
	"recipe/source":        "",
	"recipe/problem":       "recipe/source github.com/rivo/uniseg",
	"recipe/arith":         "",
	"recipe/format":        "",
	"recipe/quantity":      "recipe/source recipe/problem recipe/arith golang.org/x/text",
	"recipe/working":       "recipe/source",
	"recipe/brush":         "recipe/arith",
	"recipe/section":       "recipe/source recipe/problem recipe/format github.com/yuin/goldmark golang.org/x/text",
	"recipe/formula":       "recipe/source recipe/problem recipe/arith recipe/quantity recipe/working recipe/brush github.com/expr-lang/expr golang.org/x/text golang.org/x/sync",
	"recipe/schema":        "recipe/problem recipe/quantity golang.org/x/text",
	"recipe/model":         "recipe/source recipe/working recipe/brush",
	"recipe":               "recipe/* golang.org/x/text",
	"runner/vector":        "recipe/arith",
	"runner/plane":         "runner/vector",
	"runner/contour":       "recipe/source",
	"runner/drawing":       "recipe/source recipe/problem recipe/arith recipe/format recipe/model runner/vector runner/contour golang.org/x/text",
	"runner/register":      "recipe/source recipe/problem recipe/arith recipe/format recipe/model runner/vector runner/contour runner/drawing runner/plane",
	"runner/region":        "recipe/source recipe/problem runner/plane runner/contour",
	"runner/surd":          "",
	"runner/axis":          "runner/vector runner/plane runner/region runner/surd",
	"runner/stroke":        "recipe/source recipe/problem recipe/arith recipe/model recipe/brush runner/vector runner/plane runner/region runner/axis runner/contour golang.org/x/sync",
	"runner/order":         "runner/plane runner/stroke",
	"runner/lagcomp":       "recipe/arith recipe/brush runner/plane runner/stroke runner/vector",
	"runner/motion":        "recipe/source recipe/problem recipe/arith recipe/format recipe/model recipe/brush runner/plane runner/stroke runner/lagcomp runner/vector",
	"runner/program":       "recipe/model runner/motion",
	"runner/proof":         "",
	"runner/record":        "runner/record/disk github.com/gofrs/flock",
	"runner/record/disk":   "golang.org/x/sys",
	"runner/record/faults": "runner/record/disk",
	"runner/impression":    "runner/record runner/proof runner/vector",
	"runner/template":      "recipe/source recipe/problem recipe/model runner/drawing runner/drawing/dxfwrite runner/vector",
	"runner/scribble":      "recipe/arith runner/drawing/dxfwrite runner/vector",
	"runner/logbook":       "recipe/working recipe/format recipe/model runner/vector",
	"runner/stage":         "recipe/model runner/drawing runner/register runner/region runner/stroke runner/motion runner/proof",
	"runner/intake":        "recipe recipe/source recipe/problem recipe/model runner/drawing runner/template runner/register runner/stage golang.org/x/sync",
	"runner/proving":       "recipe/arith recipe/model runner/plane runner/region runner/stroke runner/proof runner/stage golang.org/x/sync",
	"runner/presenting": "recipe/source recipe/problem recipe/working recipe/arith recipe/brush recipe/model runner/plane runner/drawing runner/register " +
		"runner/region runner/stroke runner/motion runner/proof runner/stage runner/record runner/impression runner/logbook",
	"runner":               "recipe recipe/* runner/* golang.org/x/sync",
	"notebooks":            "",
	"notebooks/brushwork":  "recipe/arith runner/drawing/dxfwrite runner/vector",
	"notebooks/heron/draw": "recipe/arith runner/drawing/dxfwrite runner/vector notebooks/brushwork",
	"notebooks/guide/draw": "runner/drawing/dxfwrite runner/vector notebooks/brushwork",
	"cmd/mahlstick": "recipe recipe/* runner runner/* notebooks github.com/spf13/cobra " +
		"github.com/mattn/go-isatty github.com/fsnotify/fsnotify golang.org/x/sys",

	"runner/drawing/dxfwrite": "runner/vector github.com/yofu/dxf",
	"runner/drawing/preview":  "runner/drawing runner/vector",
}

func TestArrows(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}}:{{join .Imports " "}}`, "mahlstick/...").CombinedOutput()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, out)
	}
	for line := range strings.Lines(strings.TrimSpace(string(out))) {
		path, imports, _ := strings.Cut(strings.TrimSpace(line), ":")
		name := strings.TrimPrefix(path, "mahlstick/")
		allowed, listed := arrows[name]
		if !listed {
			t.Errorf("%s is not in the table of arrows", name)
			continue
		}
		for _, imp := range strings.Fields(imports) {
			if own, ours := strings.CutPrefix(imp, "mahlstick/"); ours {
				imp = own
			} else if host, _, _ := strings.Cut(imp, "/"); !strings.Contains(host, ".") {
				continue // the standard library
			}
			ok := slices.ContainsFunc(strings.Fields(allowed), func(a string) bool {
				if below, all := strings.CutSuffix(a, "/*"); all {
					return strings.HasPrefix(imp, below+"/")
				}
				// A library's own packages come with it.
				return imp == a || strings.Contains(a, ".") && strings.HasPrefix(imp, a+"/")
			})
			if !ok {
				t.Errorf("%s must not import %s", name, imp)
			}
		}
	}
}
