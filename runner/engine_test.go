package runner_test

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"mahlstick/notebooks"
	"mahlstick/runner"
	"mahlstick/runner/proof"
	"mahlstick/runner/record"
	"mahlstick/runner/scribble"
)

var update = flag.Bool("update", false, "write goldens anew")

// The golden programs are in testdata/engine/N, N being the engine number:
// sums.txt has every program of every recipe with the hash of what it was made
// from and its own; the programs of a few jobs are there as text.
const engineFolder = "../testdata/engine"

// asText are the jobs whose programs can be read there.
var asText = []string{"small/pond/pond.md", "notebooks/guide/01-first-stroke.md", "jobs/scribble-002/scribble-002.md"}

// scribbles is how many random jobs are among the recipes.
const scribbles = 12

// golden is a line of sums.txt.
type golden struct{ inputs, program, name string }

func (g golden) String() string { return g.inputs + " " + g.program + " " + g.name }

// recipes are those of the project, by studio.
func recipes(t *testing.T) map[string][]string {
	t.Helper()
	jobs := map[string][]byte{}
	for i := range scribbles {
		for _, f := range append(scribble.Job(i+1), scribble.Studio()) {
			jobs[f.Name] = f.Data
		}
	}
	studios := map[string]string{}
	studios["notebooks"] = studioOf(t, notebooks.Files)
	studios["small"] = studioOf(t, os.DirFS("../testdata/studio"))
	studios["jobs"] = quickDir(t)
	for name, data := range jobs {
		full := filepath.Join(studios["jobs"], filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o755), os.WriteFile(full, data, 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	out := map[string][]string{}
	for name, dir := range studios {
		err := filepath.WalkDir(dir, func(file string, e fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(file) != ".md" {
				return err
			}
			text, err := os.ReadFile(file)
			if bytes.Contains(text, []byte("\n## Layers")) || bytes.Contains(text, []byte("\n## Trials")) {
				rel, _ := filepath.Rel(dir, file)
				out[dir] = append(out[dir], path.Join(name, filepath.ToSlash(rel)))
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// openEngine is a file among the goldens of an engine number under which several
// changes that belong together land one after the other: as long as it is there,
// -update writes the goldens again. Take it away with the last of them; the
// number is fixed from then on.
const openEngine = "open"

// TestEngine compares the programs of every recipe of the project with those
// that this engine number means. Where one is different from the same inputs,
// the number must rise and the changelog must say why.
func TestEngine(t *testing.T) {
	folder := filepath.Join(engineFolder, strconv.Itoa(record.Engine))
	now, texts := programsNow(t)
	sums := filepath.Join(folder, "sums.txt")
	was := readGoldens(t, sums)
	engineMoved, recipeMoved := compareGoldens(was, now)
	if open, err := os.ReadFile(filepath.Join(folder, openEngine)); err == nil && *update {
		writeGoldens(t, folder, now, texts)
		if err := os.WriteFile(filepath.Join(folder, openEngine), open, 0o644); err != nil {
			t.Fatal(err)
		}
		t.Skip("the goldens of an engine that is still in the making were written again")
	}
	for _, m := range engineMoved {
		t.Errorf("%s is different from the same inputs, and the engine number is still %d", m, record.Engine)
		if old, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(m))); err == nil {
			t.Log(firstLine(old, texts[m]))
		}
	}
	if len(engineMoved) > 0 {
		t.Fatal("for a change that moves a byte of any program, raise record.Engine and say in CHANGELOG.md what moved and why; then run: go test ./runner -run TestEngine -update")
	}
	if *update {
		writeGoldens(t, folder, now, texts)
		was, recipeMoved = now, nil
	}
	for _, m := range recipeMoved {
		t.Errorf("%s is not among the goldens of engine %d as its recipe is now; run: go test ./runner -run TestEngine -update", m, record.Engine)
	}
	for name, text := range texts {
		if old, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name))); err != nil || !bytes.Equal(old, text) {
			t.Errorf("%s is not the text of which the sums are: %v", name, err)
		}
	}
	// One number, one set of programs: nobody may have put other sums in
	// their place by hand, now or in any change that is on record.
	recorded := history(t, sums, was)
	for _, name := range slices.Sorted(maps.Keys(recorded)) {
		if n := len(recorded[name]); n > 1 {
			t.Errorf("%s has had %d different texts from the same inputs under engine %d", name, n, record.Engine)
		}
	}
}

// programsNow are the programs of all recipes, and the texts of those that are
// kept as text.
func programsNow(t *testing.T) (now []golden, texts map[string][]byte) {
	texts = map[string][]byte{}
	for dir, names := range recipes(t) {
		for _, name := range names {
			_, inStudio, _ := strings.Cut(name, "/")
			r := mustRun(t, filepath.Join(dir, filepath.FromSlash(inStudio)), runner.Options{})
			var inputs strings.Builder
			for _, in := range r.Record.Inputs {
				inputs.WriteString(in.Name + in.SHA256)
			}
			for _, o := range r.Outputs {
				if path.Ext(o.Name) != ".nc" {
					continue
				}
				// A golden is one only if it is sound.
				if _, faults := proof.Read(o.Name, o.Data); len(faults) > 0 {
					t.Errorf("%s: %s: %v", name, o.Name, faults[0])
				}
				full := path.Join(strings.TrimSuffix(name, ".md"), o.Name)
				now = append(now, golden{record.Hash([]byte(inputs.String())), record.Hash(o.Data), full})
				if slices.Contains(asText, name) {
					texts[full] = o.Data
				}
			}
		}
	}
	slices.SortFunc(now, func(a, b golden) int { return strings.Compare(a.name, b.name) })
	return now, texts
}

// The changelog, the version and the folder of goldens agree with the engine
// number.
func TestEngineNumber(t *testing.T) {
	changelog, err := os.ReadFile("../CHANGELOG.md")
	if err != nil {
		t.Fatal(err)
	}
	line := regexp.MustCompile(fmt.Sprintf(`(?im)^.*\bBytes\b.*\bengine\b.*\b%d\b`, record.Engine))
	if !line.Match(changelog) {
		t.Errorf("CHANGELOG.md has no line on bytes and engine %d, such as: Bytes: engine %d -> %d, and what moved", record.Engine, record.Engine-1, record.Engine)
	}
	// A record names the version that makes its programs again.
	if !strings.HasPrefix(record.Version, fmt.Sprintf("0.%d.", record.Engine)) {
		t.Errorf("version %s does not say that its engine is %d: its middle number is the engine", record.Version, record.Engine)
	}
	entries, err := os.ReadDir(engineFolder)
	if err != nil {
		t.Fatal(err)
	}
	if len(entries) != 1 {
		t.Errorf("%s has more than the goldens of engine %d", engineFolder, record.Engine)
	}
}

// compareGoldens returns the programs that moved though their inputs did not,
// and those that are different because their recipe changed, came or went.
func compareGoldens(was, now []golden) (engine, recipe []string) {
	old := map[string]golden{}
	for _, g := range was {
		old[g.name] = g
	}
	for _, g := range now {
		o, there := old[g.name]
		delete(old, g.name)
		switch {
		case !there:
			recipe = append(recipe, g.name)
		case o.program == g.program:
		case o.inputs == g.inputs:
			engine = append(engine, g.name)
		default:
			recipe = append(recipe, g.name)
		}
	}
	for _, g := range was {
		if _, gone := old[g.name]; gone {
			recipe = append(recipe, g.name)
		}
	}
	return engine, recipe
}

func TestCompareGoldens(t *testing.T) {
	a := []golden{{"i1", "p1", "a"}, {"i1", "p2", "b"}, {"i2", "p3", "c"}}
	for _, c := range []struct {
		now            []golden
		engine, recipe string
	}{
		{a, "", ""},
		{[]golden{{"i9", "p1", "a"}, a[1], a[2]}, "", ""},           // prose
		{[]golden{{"i1", "p9", "a"}, a[1], a[2]}, "a", ""},          // the engine
		{[]golden{{"i9", "p9", "a"}, a[1], a[2]}, "", "a"},          // the recipe
		{[]golden{a[0], a[1]}, "", "c"},                             // a recipe gone
		{[]golden{a[0], a[1], a[2], {"i3", "p4", "d"}}, "", "d"},    // a recipe more
		{[]golden{{"i1", "p2", "a"}, {"i1", "p1", "b"}}, "ab", "c"}, // all at once
	} {
		engine, recipe := compareGoldens(a, c.now)
		if strings.Join(engine, "") != c.engine || strings.Join(recipe, "") != c.recipe {
			t.Errorf("%v: %v and %v, want %q and %q", c.now, engine, recipe, c.engine, c.recipe)
		}
	}
}

func parseGolden(line string) (g golden, ok bool) {
	words := strings.SplitN(line, " ", 3)
	if len(words) != 3 || len(words[0]) != 64 || len(words[1]) != 64 {
		return g, false
	}
	return golden{words[0], words[1], words[2]}, true
}

func readGoldens(t *testing.T, name string) (out []golden) {
	t.Helper()
	data, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		g, ok := parseGolden(strings.TrimSpace(line))
		if !ok {
			t.Fatalf("%s: %q", name, line)
		}
		out = append(out, g)
	}
	return out
}

// writeGoldens writes the goldens of this engine number in the place of those
// of another.
func writeGoldens(t *testing.T, folder string, now []golden, texts map[string][]byte) {
	t.Helper()
	if err := os.RemoveAll(engineFolder); err != nil {
		t.Fatal(err)
	}
	var sums strings.Builder
	for _, g := range now {
		sums.WriteString(g.String() + "\n")
	}
	files := map[string][]byte{"sums.txt": []byte(sums.String())}
	for name, text := range texts {
		files[name] = text
	}
	for name, data := range files {
		full := filepath.Join(folder, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(full), 0o755), os.WriteFile(full, data, 0o644)); err != nil {
			t.Fatal(err)
		}
	}
}

// history is every text that a program has had from the same inputs under
// this number, as far as version control is there to tell.
func history(t *testing.T, sums string, now []golden) map[string][]string {
	t.Helper()
	all := map[string][]string{}
	add := func(g golden) {
		key := g.name + " from " + g.inputs[:12]
		if !slices.Contains(all[key], g.program) {
			all[key] = append(all[key], g.program)
		}
	}
	for _, g := range now {
		add(g)
	}
	log, err := exec.Command("git", append([]string{"log", "-p", "--format=", "--no-renames"}, append(sinceFixed(sums), "--", sums)...)...).Output()
	if err != nil {
		t.Logf("without version control only what stands here was looked at: %v", err)
	}
	for line := range strings.Lines(string(log)) {
		if g, ok := parseGolden(strings.TrimSpace(strings.TrimPrefix(line, "+"))); ok && strings.HasPrefix(line, "+") {
			add(g)
		}
	}
	return all
}

// sinceFixed limits a log of the sums to the time in which their engine number
// was fixed: nothing of it while the file openEngine is there.
func sinceFixed(sums string) []string {
	open := filepath.Join(filepath.Dir(sums), openEngine)
	if _, err := os.Stat(open); err == nil {
		return []string{"--max-count=0"}
	}
	closed, err := exec.Command("git", "log", "-1", "--format=%H", "--diff-filter=D", "--", open).Output()
	if hash := strings.TrimSpace(string(closed)); err == nil && hash != "" {
		return []string{hash + "..HEAD"}
	}
	return nil
}

func firstLine(was, is []byte) string {
	a, b := strings.Split(string(was), "\n"), strings.Split(string(is), "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] && !strings.HasPrefix(a[i], "(hash") {
			return fmt.Sprintf("line %d: was %q, is %q", i+1, a[i], b[i])
		}
	}
	return fmt.Sprintf("%d lines were, %d are", len(a), len(b))
}
