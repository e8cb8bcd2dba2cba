package recipe_test

import (
	"fmt"
	"strings"
	"testing"

	"mahlstick/recipe"
)

// Published data as the swatch of a brush, asked by formulas of the recipe:
// press and width are x and y in mm.
//
// RPN 14: F. N. Fritsch, R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246;
// between its points by two libraries with the slopes of Fritsch and Butland
// 1984. Akima 3: H. Akima, J. ACM 17 (1970) 589-602, in the spacing of Fritsch
// and Carlson; between its points by the same libraries. Isotonic: the examples
// of the R manual's page on isoreg (R Core Team), 10 mm wider and each ± 5 mm,
// so that only their mean is known.
func TestPublishedCurves(t *testing.T) {
	type pair struct{ press, width string }
	for _, test := range []struct {
		name                string
		touch, widest, safe string
		doubt               string
		marks               []pair
		wants               []pair // width_at(press) is width
		inverse             []pair // press_for(width) is press
	}{
		{"RPN 14", "0", "0.999994", "12.01", "",
			[]pair{{"0.1", "0.0000276429"}, {"0.2", "0.0437498"}, {"0.71", "0.169183"}, {"1.21", "0.469428"}, {"2.01", "0.94374"}, {"4.01", "0.998636"}, {"7.01", "0.999919"}, {"12.01", "0.999994"}},
			[]pair{{"0.01", "2.767433863e-7"}, {"0.06", "9.956474181e-6"}, {"0.15", "0.01769716738"}, {"0.46", "0.1065895378"}, {"1.01", "0.3375343268"}, {"1.61", "0.7602476393"},
				{"3.01", "0.9860433625"}, {"5.51", "0.999603364"}, {"9.51", "0.9999761404"}},
			[]pair{{"1.258762256", "0.5"}}},
		{"Akima 3", "10", "85", "15", "",
			[]pair{{"2", "10"}, {"3", "10"}, {"5", "10"}, {"6", "10"}, {"8", "10"}, {"9", "10.5"}, {"11", "15"}, {"12", "50"}, {"14", "60"}},
			[]pair{{"1", "10"}, {"7.9", "10"}, {"8.5", "10.15448113"}, {"10", "11.76955013"}, {"11.5", "31.89256198"}, {"13", "55.13636364"}, {"14.5", "69.66666667"}}, nil},
		{"isotonic", "0", "30", "10", " ± 5",
			[]pair{{"1", "11"}, {"2", "10"}, {"3", "14"}, {"4", "13"}, {"5", "13"}, {"6", "15"}, {"7", "14"}, {"8", "12"}, {"9", "10"}},
			[]pair{{"1", "10.5"}, {"2", "10.5"}, {"3", "13"}, {"6", "13"}, {"9", "13"}}, nil},
		{"isotonic again", "0", "30", "10", " ± 5",
			[]pair{{"1", "11"}, {"2", "10"}, {"3", "14"}, {"4", "13"}, {"5", "13"}, {"6", "15"}, {"7", "14"}, {"8", "12"}, {"9", "13"}},
			[]pair{{"1", "10.5"}, {"2", "10.5"}, {"3", "13.333333333"}, {"5", "13.333333333"}, {"6", "13.5"}, {"9", "13.5"}}, nil},
	} {
		var b strings.Builder
		fmt.Fprintf(&b, "## Brush: soft\n| b | |\n|---|---|\n| touch mark | %s mm |\n| widest mark | %s mm |\n| safe press | %s mm |\n\n## Swatch: soft\n| press (mm) | width (mm) |\n|---|---|\n", test.touch, test.widest, test.safe)
		for _, m := range test.marks {
			fmt.Fprintf(&b, "| %s | %s%s |\n", m.press, m.width, test.doubt)
		}
		b.WriteString("\n```working\n")
		for i, w := range test.wants {
			fmt.Fprintf(&b, "off%d = abs(width_at(soft, %s*mm) - %s*mm)\nright%d = off%d < 1e-8*mm\n", i, w.press, w.width, i, i)
		}
		for i, w := range test.inverse {
			fmt.Fprintf(&b, "back%d = abs(press_for(soft, %s*mm) - %s*mm) < 1e-8*mm\n", i, w.width, w.press)
		}
		b.WriteString("```\n\n## Layers")
		root := withFiles(t, nil, "[fine sable](../brushes/fine-sable.md)", "soft", "## Layers", b.String())
		job, list := recipe.Read(root, "heron/reeds.md")
		if list.HasErrors() {
			t.Fatal(test.name, list)
		}
		shown := workings(job)
		for i, w := range test.wants {
			if shown[fmt.Sprintf("right%d", i)].Result != "yes" {
				t.Errorf("%s: the width at %s is off %s by %s", test.name, w.press, w.width, shown[fmt.Sprintf("off%d", i)].Result)
			}
		}
		for i, w := range test.inverse {
			if shown[fmt.Sprintf("back%d", i)].Result != "yes" {
				t.Errorf("%s: the press for %s is not %s", test.name, w.width, w.press)
			}
		}
	}
}
