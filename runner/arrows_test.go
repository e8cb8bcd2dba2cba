package runner_test

import (
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// arrows is the policy: what each package may import of the project and of
// other people's work. Test files are free.
var arrows = map[string]string{
	"recipe/source":        "",
	"recipe/problem":       "recipe/source github.com/rivo/uniseg",
	"recipe/arith":         "",
	"recipe/colour":        "golang.org/x/image",
	"recipe/format":        "",
	"recipe/quantity":      "recipe/source recipe/problem recipe/arith",
	"recipe/working":       "recipe/source",
	"recipe/bed":           "",
	"recipe/brush":         "",
	"recipe/measure":       "recipe/arith recipe/brush",
	"recipe/seating":       "recipe/arith",
	"recipe/section":       "recipe/source recipe/problem recipe/format github.com/yuin/goldmark golang.org/x/text",
	"recipe/reading":       "recipe/source recipe/problem recipe/quantity recipe/section",
	"recipe/formula":       "recipe/source recipe/problem recipe/arith recipe/format recipe/quantity recipe/working recipe/brush github.com/expr-lang/expr golang.org/x/text golang.org/x/sync",
	"recipe/schema":        "recipe/problem recipe/quantity",
	"recipe/model":         "recipe/source recipe/working recipe/bed recipe/brush recipe/measure recipe/colour recipe/seating",
	"recipe/notebook":      "recipe/source recipe/problem recipe/section recipe/schema recipe/formula",
	"recipe/calibrate":     "recipe/source recipe/problem recipe/arith recipe/format recipe/quantity recipe/brush recipe/measure recipe/section recipe/reading recipe/formula recipe/schema recipe/notebook",
	"recipe/binding":       "recipe/source recipe/problem recipe/format recipe/quantity recipe/section recipe/schema recipe/formula recipe/notebook",
	"recipe/resolve":       "recipe/source recipe/problem recipe/quantity recipe/working recipe/brush recipe/section recipe/schema recipe/formula recipe/measure recipe/reading recipe/calibrate recipe/binding golang.org/x/sync",
	"recipe":               "recipe/* golang.org/x/text",
	"runner/vector":        "recipe/arith",
	"runner/plane":         "runner/vector",
	"runner/contour":       "recipe/source recipe/colour runner/vector",
	"runner/drawing":       "recipe/source recipe/problem recipe/format recipe/model runner/vector runner/contour golang.org/x/text",
	"runner/register":      "recipe/source recipe/problem recipe/arith recipe/format recipe/model runner/vector runner/contour runner/drawing runner/plane runner/cutting recipe/colour",
	"runner/region":        "recipe/source recipe/problem runner/plane runner/contour",
	"runner/cutting":       "recipe/arith runner/vector runner/contour runner/drawing runner/plane runner/region",
	"runner/covering":      "recipe/source recipe/problem runner/contour runner/cutting runner/plane runner/region runner/register runner/stroke runner/vector",
	"runner/palette":       "runner/contour runner/drawing runner/plane runner/region runner/vector",
	"runner/golden":        "",
	"runner/surd":          "",
	"runner/detour":        "runner/plane",
	"runner/axis":          "runner/vector runner/plane runner/region runner/surd",
	"runner/stroke":        "recipe/source recipe/problem recipe/arith recipe/model recipe/brush runner/vector runner/plane runner/region runner/axis runner/contour golang.org/x/sync",
	"runner/order":         "recipe/model runner/plane runner/stroke runner/touching",
	"runner/touching":      "runner/plane runner/stroke runner/vector",
	"runner/ink":           "recipe/problem recipe/arith recipe/format recipe/model runner/entries runner/part runner/plane runner/stroke",
	"runner/part":          "runner/plane runner/stroke",
	"runner/lagcomp":       "recipe/arith recipe/brush runner/plane runner/stroke runner/vector",
	"runner/entries":       "recipe/arith recipe/brush recipe/model runner/plane runner/stroke",
	"runner/motion":        "recipe/source recipe/problem recipe/format recipe/bed recipe/model recipe/seating runner/plane runner/stroke runner/lagcomp runner/entries runner/vector runner/touching runner/detour",
	"runner/trial":         "recipe/problem recipe/arith recipe/brush recipe/format recipe/measure recipe/model runner/plane runner/stroke runner/motion",
	"runner/program":       "recipe/format runner/motion runner/plane runner/stroke",
	"runner/proof":         "",
	"runner/record":        "runner/record/disk github.com/gofrs/flock",
	"runner/record/disk":   "golang.org/x/sys",
	"runner/record/faults": "runner/record/disk",
	"runner/impression":    "runner/record runner/proof runner/vector",
	"runner/template":      "recipe/source recipe/problem recipe/model runner/drawing runner/drawing/dxfwrite runner/motion runner/vector",
	"runner/scan":          "recipe/model runner/scan/align runner/scan/edge runner/scan/paper runner/scan/raster runner/scan/squares runner/stroke runner/trial runner/vector",
	"runner/scan/raster":   "golang.org/x/image",
	"runner/scan/squares":  "",
	"runner/scan/paper":    "runner/scan/raster runner/scan/squares",
	"runner/scan/align":    "runner/scan/squares runner/vector",
	"runner/scan/edge":     "runner/vector",
	"runner/scan/along":    "runner/vector",
	"runner/scan/meaning":  "recipe/brush recipe/format recipe/measure runner/scan/along runner/vector",
	"runner/scan/overlay":  "runner/scan/along runner/vector",
	"runner/scan/painting": "recipe/format recipe/model runner/scan/along runner/scan/meaning runner/stage runner/vector",
	"runner/scan/scene":    "runner/vector",
	"runner/scribble":      "recipe/arith runner/drawing/dxfwrite runner/vector",
	"runner/logbook":       "recipe/working recipe/format recipe/model runner/vector",
	"runner/intake":        "recipe recipe/notebook recipe/source recipe/problem recipe/model runner/drawing runner/drawing/decode runner/template runner/register runner/stage runner/stroke runner/vector golang.org/x/sync recipe/format recipe/colour runner/contour runner/palette runner/covering runner/region",
	"runner/proving":       "recipe/problem recipe/seating recipe/format recipe/arith recipe/brush recipe/model runner/plane runner/region runner/stroke runner/proof runner/stage golang.org/x/sync runner/vector runner/trial",
	"runner/doubt":         "recipe/arith recipe/model runner/plane runner/stroke",
	"runner/checkstrip":    "recipe/arith recipe/brush recipe/format recipe/model",
	"runner/budget":        "recipe/model recipe/seating",
	"runner/schedule":      "",
	"runner/presenting": "runner/doubt recipe/measure runner/budget recipe/seating runner/vector runner/proof runner/checkstrip recipe/problem recipe/format recipe/schema recipe/working recipe/arith recipe/bed recipe/model runner/plane runner/drawing runner/register " +
		"runner/region runner/stroke runner/entries runner/motion runner/schedule runner/stage runner/trial runner/record runner/impression runner/logbook",
	"runner/stage":         "recipe/model runner/drawing runner/register runner/region runner/stroke runner/motion runner/proof runner/trial runner/covering runner/ink",
	"runner":               "recipe recipe/* runner/* golang.org/x/sync",
	"notebooks":            "",
	"notebooks/brushwork":  "recipe/arith runner/drawing/dxfwrite runner/vector",
	"notebooks/heron/draw": "recipe/arith runner/drawing/dxfwrite runner/vector notebooks/brushwork",
	"notebooks/guide/draw": "runner/drawing/dxfwrite runner/vector notebooks/brushwork",
	"cmd/mahlstick": "recipe recipe/* runner runner/* notebooks github.com/spf13/cobra " +
		"github.com/mattn/go-isatty github.com/fsnotify/fsnotify",

	"runner/drawing/affine":    "runner/vector",
	"runner/drawing/decimal":   "",
	"runner/drawing/flatten":   "recipe/arith runner/vector runner/drawing/affine",
	"runner/drawing/joining":   "runner/vector runner/drawing/flatten runner/contour",
	"runner/drawing/doubles":   "runner/vector runner/drawing",
	"runner/drawing/sink":      "recipe/problem runner/vector runner/contour runner/drawing/affine runner/drawing/flatten",
	"runner/drawing/collect":   "recipe/source recipe/problem recipe/format recipe/model runner/vector runner/contour runner/drawing runner/drawing/affine runner/drawing/flatten runner/drawing/joining runner/drawing/doubles runner/drawing/sink",
	"runner/drawing/dxf":       "recipe/source recipe/problem recipe/arith runner/vector runner/drawing runner/drawing/affine runner/drawing/decimal runner/drawing/flatten runner/drawing/sink golang.org/x/text recipe/colour runner/contour",
	"runner/drawing/svg":       "recipe/source recipe/problem recipe/arith runner/vector runner/contour runner/drawing runner/drawing/affine runner/drawing/decimal runner/drawing/flatten runner/drawing/sink runner/drawing/svg/css runner/drawing/svg/paint golang.org/x/text recipe/colour",
	"runner/drawing/svg/css":   "github.com/tdewolff/parse",
	"runner/drawing/decode":    "recipe/source recipe/problem runner/drawing runner/drawing/sink runner/drawing/collect runner/drawing/dxf runner/drawing/svg runner/drawing/replay",
	"runner/drawing/dxfwrite":  "runner/vector github.com/yofu/dxf",
	"runner/drawing/preview":   "runner/vector runner/drawing",
	"runner/drawing/replay":    "recipe/problem runner/vector runner/drawing runner/drawing/affine runner/drawing/sink",
	"runner/drawing/svg/paint": "recipe/arith recipe/colour runner/drawing/decimal",
}

// TestArrows wants every import to be allowed and every permission to be used,
// on each of the systems that the program is built for.
func TestArrows(t *testing.T) {
	used := map[string]map[string]bool{} // permissions, by package
	for _, system := range []string{"linux", "darwin", "windows"} {
		for name, imports := range importsOn(t, system) {
			if _, listed := arrows[name]; !listed {
				t.Errorf("%s is not in the table of arrows", name)
			}
			if used[name] == nil {
				used[name] = map[string]bool{}
			}
			for _, imp := range imports {
				permission := permissionFor(imp, strings.Fields(arrows[name]))
				if permission == "" {
					t.Errorf("%s must not import %s", name, imp)
				}
				used[name][permission] = true
			}
		}
	}
	for name, allowed := range arrows {
		if used[name] == nil {
			t.Errorf("%s is in the table of arrows, but there is no such package", name)
		}
		for _, p := range strings.Fields(allowed) {
			if !used[name][p] {
				t.Errorf("%s may import %s and does not: take it out of the table", name, p)
			}
		}
	}
}

// The contributors' guide names every package, and every Go file that it names
// exists.
func TestGuideNamesWhatExists(t *testing.T) {
	guide, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	for name := range arrows {
		if !regexp.MustCompile(`(?m)^    (.*, )?` + regexp.QuoteMeta(name) + `(,|\s\s)`).Match(guide) {
			t.Errorf("the map in DEVELOPERS.md does not name %s", name)
		}
	}
	files := map[string]bool{}
	err = filepath.WalkDir("..", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			files[d.Name()] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range regexp.MustCompile(`[\w/]+\.go\b`).FindAllString(string(guide), -1) {
		if !files[path.Base(m)] {
			t.Errorf("DEVELOPERS.md names %s, which does not exist", m)
		}
	}
}

// importsOn lists what the packages of the project import on an operating
// system, the standard library left out and the project's packages without its
// name.
func importsOn(t *testing.T, system string) map[string][]string {
	t.Helper()
	cmd := exec.Command("go", "list", "-f", `{{.ImportPath}}:{{join .Imports " "}}`, "mahlstick/...")
	cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH=amd64", "CGO_ENABLED=0")
	var said strings.Builder // a fresh machine's downloads among them
	cmd.Stderr = &said
	text, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, said.String())
	}
	out := map[string][]string{}
	for line := range strings.Lines(string(text)) {
		path, imports, _ := strings.Cut(strings.TrimSpace(line), ":")
		name := strings.TrimPrefix(path, "mahlstick/")
		out[name] = nil
		for _, imp := range strings.Fields(imports) {
			own, ours := strings.CutPrefix(imp, "mahlstick/")
			if host, _, _ := strings.Cut(imp, "/"); ours || strings.Contains(host, ".") {
				out[name] = append(out[name], own)
			}
		}
	}
	return out
}

// permissionFor is the permission that allows an import, "" for none.
func permissionFor(imp string, permissions []string) string {
	i := slices.IndexFunc(permissions, func(p string) bool {
		below, all := strings.CutSuffix(p, "*")
		// A library's own packages come with it.
		return imp == p || all && strings.HasPrefix(imp, below) || strings.Contains(p, ".") && strings.HasPrefix(imp, p+"/")
	})
	if i < 0 {
		return ""
	}
	return permissions[i]
}
