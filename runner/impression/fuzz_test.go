package impression

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"mahlstick/runner/record"
)

// Whatever a record says, sealed by whoever wrote it: loading comes to an end,
// reads nothing outside the folder, and believes no file that is not there.
func FuzzLoad(f *testing.F) {
	file := func(name, data string) string {
		return `{"name":"` + name + `","size":` + "4" + `,"sha256":"` + record.Hash([]byte(data)) + `"}`
	}
	f.Add(`{"engine":1,"inputs":[` + file("pond.md", "pond") + `],"outputs":[` + file("1.nc", "G21\n") + `]}`)
	f.Add(`{"outputs":[` + file("../outside", "away") + `]}`)
	f.Add(`{"outputs":[` + file("/etc/passwd", "away") + `]}`)
	f.Add(`{"inputs":[` + file("../../outside", "away") + `]}`)
	f.Add(`{"outputs":[{"name":"1.nc","size":-1},{"name":"1.nc","size":9223372036854775807}]}`)
	f.Add(`{"outputs":[` + file("record.json", "x") + `]}`)
	f.Add(`{"engine": 1, "inputs": [], "values": [], "outputs": [], "checks": [],` + "\n")
	top := f.TempDir()
	dir := filepath.Join(top, "01")
	write := func(t testing.TB, name, data string) {
		full := filepath.Join(top, name)
		if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(full, []byte(data), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write(f, "outside", "away")
	write(f, "01/1.nc", "G21\n")
	write(f, "01/inputs/pond.md", "pond")
	f.Fuzz(func(t *testing.T, text string) {
		write(t, "01/record.json", text+seal(text))
		frozen, err := Load(dir)
		if err != nil {
			return
		}
		for _, files := range []Files{frozen.Inputs, frozen.Outputs, frozen.ChangedOutputs} {
			for name, data := range files {
				if string(data) == "away" || !filepath.IsLocal(name) {
					t.Fatalf("read outside: %q", name)
				}
			}
		}
		if frozen.Record != nil && frozen.Whole() && len(frozen.Inputs)+len(frozen.Outputs) > 2 {
			t.Fatalf("more files than there are: %v %v", frozen.Inputs, frozen.Outputs)
		}
	})
}

// seal ends a text as a record is ended, so that the fuzzing gets past it.
func seal(text string) string {
	whole := string((&record.Record{}).JSON())
	end := whole[strings.LastIndex(whole, `"seal"`):]
	return `"seal": "` + record.Hash([]byte(text)) + end[len(`"seal": "`)+64:]
}

// Whatever two programs are: comparing them comes to an end, and a program is
// not apart from itself.
func FuzzApart(f *testing.F) {
	f.Add("G21 G90\nG0 Z5\nG1 X1 Y1 Z-1 F100\nX5\nM2\n", "G21 G90\nG0 Z5\nG1 X1 Y2 Z-1 F100\nX5\nM2\n")
	f.Add("G20\nG1 Z-1 F1\nX99999\n", "G91\nG2 X1 Y1 I1 Z-1 F9\nG1 X-999999\n")
	f.Add("", "%")
	f.Fuzz(func(t *testing.T, was, is string) {
		if len(was)+len(is) > 1<<12 {
			return
		}
		a := markDistance("1.nc", []byte(was), []byte(is))
		if a.MM < 0 || a.MM != a.MM {
			t.Fatalf("%v mm apart", a.MM)
		}
		_ = a.String()
		if same := markDistance("1.nc", []byte(was), []byte(was)); same.MM > 1e-9 {
			t.Fatalf("%v mm apart from itself", same.MM)
		}
		if was != is {
			d := firstDifference([]byte(was), []byte(is), true)
			if d.Line < 1 {
				t.Fatalf("no difference between %q and %q", was, is)
			}
		}
	})
}
