package notebooks

import (
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"
)

var link = regexp.MustCompile("[^\\\\`]\\[[^\\[\\]]+\\]\\(([^)#]+)[^)]*\\)")

// A studio that is laid out from these files must be whole: everything that a
// notebook links to is there, and nothing else came along.
func TestTheStudioIsWhole(t *testing.T) {
	linked := map[string]bool{"studio.md": true, "heron/heron.md": true}
	var all []string
	err := fs.WalkDir(Files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		all = append(all, name)
		if path.Ext(name) != ".md" {
			return nil
		}
		data, err := fs.ReadFile(Files, name)
		if err != nil {
			return err
		}
		for _, m := range link.FindAllStringSubmatch(string(data), -1) {
			to := path.Join(path.Dir(name), m[1])
			linked[to] = true
			if _, err := fs.Stat(Files, to); err != nil {
				t.Errorf("%s links to %s, which is not among the files", name, m[1])
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range all {
		if !linked[name] {
			t.Errorf("nothing leads to %s", name)
		}
		if strings.Contains(name, "draw/") || strings.HasPrefix(name, "logbook/") {
			t.Errorf("%s does not belong to the studio", name)
		}
	}
}
