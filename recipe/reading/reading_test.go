package reading_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"mahlstick/recipe/reading"
	"mahlstick/recipe/schema"
	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

// show is a row in a line.
func show(rows []reading.Row) string {
	var b strings.Builder
	for _, r := range rows {
		fmt.Fprintf(&b, "%d %s press %g feed %g expected %g", r.Number, r.Trial, r.Press, r.Feed, r.Expected)
		for _, v := range r.Values {
			fmt.Fprintf(&b, " [%.4g ± %.3g %s]", v.MM, v.U, v.Place.Text())
		}
		if r.Above {
			b.WriteString(" above")
		}
		if r.By+r.LeftOut != "" {
			fmt.Fprintf(&b, " by %q out %q", r.By, r.LeftOut)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

const header = "number,trial,x (mm),y (mm),across (deg),press (mm),feed (mm/min),expected (mm),measured (mm)\n"

// One sheet, as several spreadsheets write it.
func TestCSV(t *testing.T) {
	plain := header + "1,ladder,20,250,90,-0.2,900,,0\n2,ladder,30,250,90,0.5,900,0.48,0.52\n3,ladder,40,250,90,1,900,0.7,\n4,ladder,50,250,90,1,900,0.7,0.71\n"
	want := "1 ladder press -0.2 feed 900 expected 0 [0 ± 0 0]\n2 ladder press 0.5 feed 900 expected 0.48 [0.52 ± 0 0.52]\n3 ladder press 1 feed 900 expected 0.7\n4 ladder press 1 feed 900 expected 0.7 [0.71 ± 0 0.71]\n"
	semicolons := strings.ReplaceAll(strings.ReplaceAll(plain, ",", ";"), ".", ",")
	quoted := strings.ReplaceAll(strings.ReplaceAll(plain, "ladder", `"ladder"`), "0.52", `"0,52"`)
	for name, text := range map[string]string{
		"as it was written": plain, "semicolons and decimal commas": semicolons, "tabs": strings.ReplaceAll(plain, ",", "\t"), "quoted": quoted,
		"byte-order mark": "\ufeff" + semicolons, "carriage returns": strings.ReplaceAll(plain, "\n", "\r\n"), "carriage returns alone": strings.ReplaceAll(plain, "\n", "\r"),
		"a separator line": "sep=;\r\n" + semicolons, "empty lines": ",,,,,,,,\n\n" + plain + ",,,,,,,,\n", "spaces": strings.ReplaceAll(plain, ",", " , "),
		"whole numbers with a point": strings.ReplaceAll(plain, "\n2,", "\n2.0,"), "no end of line": strings.TrimSuffix(plain, "\n"),
	} {
		rows, list := reading.CSV(source.New("readings.csv", []byte(text)))
		got := strings.NewReplacer("0,52", "0.52", "0,71", "0.71").Replace(show(rows))
		if len(list) > 0 || got != want {
			t.Errorf("%s:\n%s%v", name, got, list)
		}
	}
}

func TestCSVColumns(t *testing.T) {
	text := "Measured (cm);measured 2;By;number;notes;from;press;left out\n0,066;0,07;fern;7;soft edge;above;1,5 mm;\n0,066 ± 0,002;-;moss;8;;below;1.5 mm;smudged\n"
	rows, list := reading.CSV(source.New("readings.csv", []byte(text)))
	want := "7  press 1.5 feed 0 expected 0 [0.66 ± 0 0,066] [0.7 ± 0 0,07] above by \"fern\" out \"\"\n" +
		"8  press 1.5 feed 0 expected 0 [0.66 ± 0.02 0,066 ± 0,002] [0 ± 0 -] by \"moss\" out \"smudged\"\n"
	if len(list) > 0 || show(rows) != want {
		t.Errorf("%s%v", show(rows), list)
	}
}

// Each fault has its place and a sentence that says how to go on.
func TestCSVRefuses(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"nothing":            {"", "readings.csv:1:1: readings.csv is empty [missing-table]"},
		"another encoding":   {"number,press (mm),measured (mm),by\n1,1,2,Jos\xe9\n", "readings.csv:2:10: readings.csv has a character that is not UTF-8 [not-text]"},
		"two bytes a letter": {"\xff\xfen\x00", "readings.csv:1:1: readings.csv is not text in UTF-8 [not-text]"},
		"a spreadsheet":      {"PK\x03\x04", "readings.csv:1:1: readings.csv is a spreadsheet's own file, not comma-separated values [not-text]"},
		"no column":          {"number,press (mm),mesured (mm)\n1,1,2\n", `readings.csv:1:19: there is no column "measured" [missing-column]`},
		"no header":          {"1,1,2\n", `readings.csv:1:1: there is no column "measured" [missing-column]`},
		"a word":             {"number,press (mm),measured (mm)\n1,1,wide\n", `readings.csv:2:5: "wide" is not a quantity [not-a-quantity]`},
		"decimal commas":     {"number,press (mm),measured (mm)\n1,0,5,0,52\n", "readings.csv:2:7: the line has more cells than the header [surplus-cell]"},
		"no unit":            {"number,press,measured\n1,1 mm,2\n", `readings.csv:2:8: "2" has no unit; a length is expected [missing-unit]`},
		"another dimension":  {"number,press (mm),measured (s)\n1,1,2\n", `readings.csv:1:19: "s" is not a length [dimension-error]`},
		"a mark between":     {"number,press (mm),measured (mm)\n1.5,1,2\n", `readings.csv:2:1: a mark's number is a whole number of 1 or more, not "1.5" [not-a-count]`},
		"a quote":            {"number,press (mm),measured (mm)\n1,1,\"2\n", "readings.csv:2:1: a double quote is missing or out of place [not-text]"},
		"from where":         {"number,press (mm),measured (mm),from\n1,1,2,abov\n", `readings.csv:2:7: from must be above or below, not "abov" [unknown-word]`},
		"thousands":          {"number,press (mm),measured (mm)\n1,1,\"2,350\"\n", `readings.csv:2:6: "2,350" can be read in two ways [ambiguous-number]`},
		"two columns":        {"number,press (mm),measured (mm),press (mm)\n1,1,2,1\n", `readings.csv:1:33: there are two columns "press" [defined-twice]`},
	} {
		_, list := reading.CSV(source.New("readings.csv", []byte(c.text)))
		if len(list) == 0 || list[0].String() != c.want || list[0].Fix.None() {
			t.Errorf("%s: %v, want %s", name, list, c.want)
		}
	}
	if rows, list := reading.CSV(source.New("readings.csv", []byte("number;press (mm);measured (mm)\n1;1,066;2,350\n"))); len(list) > 0 || rows[0].Values[0].MM != 2.35 || rows[0].Press != 1.066 {
		t.Errorf("between semicolons a comma is a decimal comma: %v %v", rows, list)
	}
	if _, list := reading.CSV(source.New("readings.csv", []byte("number,press,measured\n1,1 mm,2\n2,1 mm,3\n"))); len(list) != 1 || !strings.Contains(list[0].Fix.Advice, "measured (mm)") {
		t.Errorf("a column without a unit: %v", list)
	}
	_, list := reading.CSV(source.New("readings.csv", []byte("number,measured (mm)\n"+strings.Repeat("x,y\n", 500))))
	if len(list) != 20 {
		t.Errorf("%d problems of a file without a good line", len(list))
	}
}

func TestTable(t *testing.T) {
	doc, list := section.Read(source.New("sable.md", []byte("# Sable\n## Results\n### 3 May\n| press | width |\n|---|---|\n| 0.5 mm | 0.48 mm |\n| 1 mm | 0.7 ± 0.02 mm |\n\n| number | measured (mm) |\n|---|---|\n| 3 | 0,71 |\n\n| strip | asked | measured |\n|---|---|---|\n| a | 1 mm | 1 mm |\n")), schema.Words())
	if len(list) > 0 {
		t.Fatal(list)
	}
	var got string
	for _, table := range doc.Sections[0].Entries[1].Tables {
		if reading.IsTable(table) {
			rows, list := reading.Table(table)
			if len(list) > 0 {
				t.Error(list)
			}
			got += show(rows)
		}
	}
	if want := "0  press 0.5 feed 0 expected 0 [0.48 ± 0 0.48 mm]\n0  press 1 feed 0 expected 0 [0.7 ± 0.02 0.7 ± 0.02 mm]\n3  press NaN feed 0 expected 0 [0.71 ± 0 0,71]\n"; got != want {
		t.Errorf("%s", got)
	}
}

// Whatever a file holds, reading it ends, and every place is inside the file.
func FuzzCSV(f *testing.F) {
	f.Add([]byte(header + "1,ladder,20,250,90,-0.2,900,,0\n"))
	f.Add([]byte("\ufeffsep=;\r\nnumber;press (mm);measured (mm);by\r\n1;0,5;\"0,5\";\"a \"\"b\"\"\"\r\n"))
	f.Add([]byte("number\tpress (mm)\tmeasured (mm)\r1\t1\t2\r\r"))
	f.Add([]byte("sep="))
	f.Add([]byte("number,measured (mm)\n\"1\n2\",3\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file := source.New("readings.csv", data)
		rows, list := reading.CSV(file)
		within := func(p source.Place) {
			if p.File != file || p.Start < 0 || p.Start > p.End || p.End > len(data) {
				t.Fatalf("the place %d to %d of %d bytes", p.Start, p.End, len(data))
			}
		}
		for _, p := range list {
			within(p.Place)
			if p.Message == "" || p.Fix.None() {
				t.Fatalf("no message or no fix: %v", p)
			}
		}
		for _, r := range rows {
			within(r.Place)
			for _, v := range r.Values {
				within(v.Place)
				if math.IsNaN(v.MM) || math.IsInf(v.MM, 0) {
					t.Fatalf("%v", v)
				}
			}
		}
	})
}

// BenchmarkCSV reads 10,000 lines.
func BenchmarkCSV(b *testing.B) {
	var text strings.Builder
	text.WriteString(header)
	for i := range 10_000 {
		fmt.Fprintf(&text, "%d,ladder,20.5,250.25,90,%.2f,900,0.48,%.2f\n", i+1, float64(i)/2000, float64(i)/4000)
	}
	for b.Loop() {
		rows, list := reading.CSV(source.New("readings.csv", []byte(text.String())))
		if len(rows) != 10_000 || len(list) > 0 {
			b.Fatal(len(rows), list)
		}
	}
}
