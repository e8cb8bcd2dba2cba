package recipe_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/rogpeppe/go-internal/txtar"

	"mahlstick/recipe"
	"mahlstick/recipe/problem"
	"mahlstick/recipe/section"
)

var printedCode = regexp.MustCompile(`(?m) \[([a-z]+(?:-[a-z]+)*)\]$`)

// Each code of the recipe side is documented by a small recipe that causes it
// and nothing else: an archive of testdata/wrong or, where it takes something
// large or a strange disk, one that is made here.
func TestEveryCodeHasARecipe(t *testing.T) {
	used := codesInSource(t)
	caused := causedByArchives(t)
	for code, root := range made(t) {
		if at, twice := caused[code]; twice {
			t.Errorf("%s has a recipe in %s", code, at)
		}
		caused[code] = "made here"
		_, list := recipe.Read(root, "heron/reeds.md")
		if len(list) == 0 || slices.ContainsFunc(list, func(p problem.Problem) bool { return string(p.Code) != code }) {
			t.Errorf("%s: %v", code, list[:min(3, len(list))])
		}
	}
	caused["too-many-problems"] = "with those that are listed, see made"
	// A last check behind all the others; nothing is known that needs it.
	caused["lost-line"] = "nowhere"
	for _, code := range used {
		if caused[string(code)] == "" {
			t.Errorf("no recipe shows %s alone", code)
		}
	}
	if len(used) < 80 {
		t.Errorf("only %d codes were found in the source", len(used))
	}
}

// codesInSource lists the codes that the packages of the recipe side use.
func codesInSource(t *testing.T) []problem.Code {
	t.Helper()
	var source bytes.Buffer
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") || filepath.Base(name) == "codes.go" {
			return err
		}
		data, err := os.ReadFile(name)
		source.Write(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	var out []problem.Code
	for _, c := range problem.Codes() {
		if regexp.MustCompile(`(?i)\bproblem\.` + strings.ReplaceAll(string(c.Code), "-", "") + `\b`).Match(source.Bytes()) {
			out = append(out, c.Code)
		}
	}
	return out
}

// causedByArchives gives the archive that shows a code alone, by the code.
func causedByArchives(t *testing.T) map[string]string {
	t.Helper()
	archives, err := filepath.Glob("testdata/wrong/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	caused := map[string]string{}
	for _, name := range archives {
		archive, err := txtar.ParseFile(name)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(archive.Files, func(f txtar.File) bool { return f.Name == "want" })
		codes := map[string]bool{}
		for _, m := range printedCode.FindAllSubmatch(archive.Files[i].Data, -1) {
			codes[string(m[1])] = true
		}
		for code := range codes {
			if len(codes) == 1 {
				caused[code] = name
			}
		}
	}
	return caused
}

// made makes the studios whose faults are too large for an archive, or not in
// the text.
func made(t *testing.T) map[string]fs.FS {
	behind := func(text string) fs.FS { return withFiles(t, nil, "## Layers\n", text+"\n\n## Layers\n") }
	var formulas, faults strings.Builder
	for i := range 20_001 {
		fmt.Fprintf(&formulas, "`a%d`\n```working\na%d = %d*mm\n```\n", i, i, i)
	}
	for range 1001 {
		faults.WriteString("<b>\n\n")
	}
	tooMany, list := recipe.Read(behind(faults.String()), "heron/reeds.md")
	if tooMany == nil || len(list) != 1001 || list[1000].Code != "too-many-problems" {
		t.Errorf("too-many-problems: %v", list[len(list)-1])
	}
	notebooks := map[string]string{}
	links := ""
	for i := range 61 {
		notebooks[fmt.Sprintf("inks/i%d.md", i)] = fmt.Sprintf("# Ink %d\n## Ink\n| i | |\n|---|---|\n| colour | #123456 |\n", i)
		links += fmt.Sprintf("[ink](../inks/i%d.md)\n", i)
	}
	return map[string]fs.FS{
		"deep-nesting":       behind(strings.Repeat("> ", section.MaxNesting+1) + "a"),
		"long-line":          behind(strings.Repeat("reeds ", section.MaxLineBytes/6+1)),
		"long-paragraph":     behind(strings.Repeat("reeds\n", section.MaxParagraphLines+1)),
		"not-text":           behind("Schilf\xe4hnlich"),
		"too-large":          withFiles(t, map[string]string{"brushes/fine-sable.md": strings.Repeat("reeds\n\n", section.MaxBytes/7+1)}),
		"too-many":           behind(formulas.String()),
		"too-much-work":      behind(strings.Replace(pile(3000), "```working", "The sum is `s2999`.\n```working", 1)),
		"too-many-notebooks": withFiles(t, notebooks, "| ochre |", "| [ochre](../inks/indigo.md) |", "## Layers\n", "## Layers\n"+links+"\n"),
		"unreadable":         strange{withFiles(t, nil), "brushes/fine-sable.md", fs.ErrPermission},
		"changed-while-read": strange{withFiles(t, nil), "brushes/fine-sable.md", nil},
	}
}

// strange is a disk with one file that cannot be opened or, without an error,
// that somebody writes to while it is read.
type strange struct {
	fstest.MapFS
	name string
	err  error
}

func (s strange) Open(name string) (fs.File, error) {
	f, err := s.MapFS.Open(name)
	if err != nil || name != s.name {
		return f, err
	}
	if s.err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: s.err}
	}
	return growing{f}, nil
}

// growing has a byte less than it says.
type growing struct{ fs.File }

func (g growing) Stat() (fs.FileInfo, error) {
	info, err := g.File.Stat()
	return larger{info}, err
}

type larger struct{ fs.FileInfo }

func (l larger) Size() int64 { return l.FileInfo.Size() + 1 }
