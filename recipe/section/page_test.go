package section_test

import (
	"encoding/json"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/net/html"

	"mahlstick/recipe/section"
	"mahlstick/recipe/source"
)

func page(d *section.Document, value section.Value) string {
	var b strings.Builder
	for _, p := range d.Pieces(value) {
		b.WriteString(p.HTML)
	}
	for _, s := range d.Sections {
		for _, e := range s.Entries {
			b.WriteString(d.EntryHTML(e, nil, value))
		}
	}
	return b.String()
}

func TestPieces(t *testing.T) {
	value := func(code string) (string, bool) {
		if code == "taper" {
			return "taper = 14.3° <&>", true
		}
		return "", false
	}
	tests := []struct{ name, text, want string }{
		{"value in a span of code", "The `taper` of `it`.\n", "<p>The <em class=\"value\">taper = 14.3° &lt;&amp;&gt;</em> of <code>it</code>.</p>\n"},
		{"title is left out, other headings stay", "# A\n## Größe & mehr\n## Größe-mehr\n## ***\n## 筆\n",
			"<h2 id=\"text-größe-mehr\">Größe &amp; mehr</h2>\n<h2 id=\"text-größe-mehr-2\">Größe-mehr</h2>\n<h2 id=\"text-heading\">***</h2>\n<h2 id=\"text-筆\">筆</h2>\n"},
		{"tables of data sections are left out", "## Sheet\nprose\n\n| a |\n|---|\n| 1 |\n\nmore\n", "<p>prose</p>\n<p>more</p>\n<p>prose</p>\n<table>\n<thead>\n<tr>\n<th>a</th>\n</tr>\n</thead>\n<tbody>\n<tr>\n<td>1</td>\n</tr>\n</tbody>\n</table>\n<p>more</p>\n"},
		{"tables of prose stay", "| a |\n|:-:|\n", "<table>\n<thead>\n<tr>\n<th style=\"text-align:center\">a</th>\n</tr>\n</thead>\n</table>\n"},
		{"links", "[a](x.md \"q\") [b](#größe) [c](https://example.org/?a=1&b=2) [d](javascript:alert(1)) [e](//example.org) [f](/etc/passwd) [g](java&#9;script:x) <mailto:a@example.org> <file:///x>\n",
			"<p><a href=\"x.md\" title=\"q\">a</a> <a href=\"#text-größe\">b</a> <a href=\"https://example.org/?a=1&amp;b=2\">c</a> d e f g <a href=\"mailto:a@example.org\">mailto:a@example.org</a> file:///x</p>\n"},
		{"pictures", "![*a* b](photos/my%201.jpg) ![c](http://example.org/x.png) ![d](data:image/png;base64,AA==) ![e](data:image/svg+xml;base64,AA==)\n",
			"<p><img src=\"photos/my%201.jpg\" alt=\"a b\"> <em>c</em> <img src=\"data:image/png;base64,AA==\" alt=\"d\"> <em>e</em></p>\n"},
		{"out of the studio", "[a](../x) [b](%2e%2e/x) [c](a/../../x) [d](..\\\\x) [e](%2e.%5Cx) [f](a/../x) [g](..?a) ![h](../x.png) ![i](a/../x.png) [j](?../..) [k](#../..)\n",
			"<p>a b c d e <a href=\"a/../x\">f</a> g <em>h</em> <img src=\"a/../x.png\" alt=\"i\"> <a href=\"?../..\">j</a> <a href=\"#text-../..\">k</a></p>\n"},
		{"raw HTML", "a <i onclick=x>b</i>\n\n<script>alert(1)</script>\n", "<p>a b</p>\n"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, _ := read(test.text)
			if diff := cmp.Diff(test.want, page(d, value)); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestAnchor(t *testing.T) {
	for heading, want := range map[string]string{
		"Brush: fine sable":            "brush-fine-sable",
		"  A -- b_c ":                  "a-b-c",
		"Gro\u0308ße":                  "größe",
		"鷺と葦":                          "鷺と葦",
		"!?":                           "heading",
		"Impression 1, 2026-11-24 (!)": "impression-1-2026-11-24",
	} {
		if got := section.Anchor(heading); got != want {
			t.Errorf("%q: %q, want %q", heading, got, want)
		}
	}
}

// specExamples are the examples of CommonMark 0.31.2 (spec.txt, by John
// MacFarlane) that the Markdown module ships for its own tests.
func specExamples(t testing.TB) []string {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/yuin/goldmark").Output()
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(dir)), "_test", "spec.json"))
	if err != nil {
		t.Fatal(err)
	}
	var examples []struct{ Markdown string }
	if err := json.Unmarshal(data, &examples); err != nil {
		t.Fatal(err)
	}
	if len(examples) != 652 {
		t.Fatalf("%d examples, CommonMark 0.31.2 has 652", len(examples))
	}
	out := make([]string, len(examples))
	for i, e := range examples {
		out[i] = e.Markdown
	}
	return out
}

func TestSpecPassesThrough(t *testing.T) {
	for _, text := range specExamples(t) {
		for _, before := range []string{"", "# Title\n\n", "## Sheet\n\n", "## Results\n\n### One\n\n"} {
			checkDocument(t, before+text)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, text := range specExamples(f)[:60] {
		f.Add(text)
	}
	f.Add("\xef\xbb\xbf# T\r\n## Sheet: x\r\n| a | `b|c` |\r\n|---|---|\r\n| [l](x.md) | ![p](q.png) |\r\ntext\r\n")
	f.Add("## Layers\n```working\na = 1 # x\n\n## Sheet\n| a |\n")
	f.Add("## Results\n### One\n| a | b |\n|--|\n> | q |\n> |---|\n")
	f.Add("| a\n|-|\n|\\|\n")
	f.Fuzz(func(t *testing.T, text string) { checkDocument(t, text) })
}

// checkDocument holds what is true of any document: no panic, places inside
// the file, the same answer twice, an inert page.
func checkDocument(t *testing.T, text string) {
	t.Helper()
	file := source.New("a.md", []byte(text))
	d, problems := section.Read(file, words)
	again, second := section.Read(source.New("a.md", []byte(text)), words)
	if a, b := show(d), show(again); a != b {
		t.Errorf("%q: read twice, read differently:\n%s\n%s", text, a, b)
	}
	if len(problems) != len(second) {
		t.Errorf("%q: %v, then %v", text, problems, second)
	}
	inside := func(what string, at source.Place) {
		t.Helper()
		if at.File != file || at.Start < 0 || at.End < at.Start || at.End > len(file.Data) {
			t.Errorf("%q: %s lies outside: %d to %d", text, what, at.Start, at.End)
		}
	}
	for _, p := range problems {
		inside(string(p.Code), p.Place)
		for _, r := range p.Related {
			inside(string(p.Code), r.Place)
		}
		p.Fixed()
	}
	eachPlace(d, inside)
	for _, s := range d.Sections {
		for _, table := range s.Tables {
			for _, row := range table.Rows {
				if len(row.Cells) != len(table.Header) {
					t.Errorf("%q: %d cells under a header of %d", text, len(row.Cells), len(table.Header))
				}
			}
		}
	}
	for _, fence := range d.Fences {
		for _, line := range fence.Lines {
			inside("line", line.Place)
			if line.Name.Place.Text() != line.Name.String || line.Formula.Place.Text() != line.Formula.String {
				t.Errorf("%q: %q stands at %q, %q at %q", text, line.Name.String, line.Name.Place.Text(), line.Formula.String, line.Formula.Place.Text())
			}
		}
	}
	checkInert(t, page(d, nil))
}

// eachPlace visits all places of the sections, with what is there.
func eachPlace(d *section.Document, visit func(what string, at source.Place)) {
	links := func(list []section.Link) {
		for _, l := range list {
			visit("link", l.Place)
			visit("target", l.TargetPlace)
		}
	}
	for _, s := range d.Sections {
		visit("heading", s.Heading.Place)
		visit("name", s.Name.Place)
		visit("rest", s.Rest.Place)
		links(s.Links)
		for _, table := range s.Tables {
			visit("table", table.Place)
			for _, row := range table.Rows {
				visit("row", row.Place)
				for _, c := range row.Cells {
					visit("cell", c.Place)
					links(c.Links)
				}
			}
		}
	}
}

// checkInert parses the page with an independent reader and allows nothing
// that could run or fetch.
func checkInert(t *testing.T, text string) {
	t.Helper()
	allowed := map[string]string{
		"p": "", "em": "class", "strong": "", "code": "class", "pre": "", "blockquote": "", "ul": "", "ol": "start", "li": "", "hr": "", "br": "",
		"h1": "id", "h2": "id", "h3": "id", "h4": "id", "h5": "id", "h6": "id", "a": "href title", "img": "src alt title",
		"table": "", "thead": "", "tbody": "", "tr": "", "th": "style", "td": "style",
	}
	tokens := html.NewTokenizer(strings.NewReader(text))
	for tokens.Next() != html.ErrorToken {
		token := tokens.Token()
		if token.Type == html.TextToken || token.Type == html.EndTagToken {
			continue
		}
		attributes, ok := allowed[token.Data]
		if !ok || token.Type == html.CommentToken || token.Type == html.DoctypeToken {
			t.Errorf("<%s> in %q", token.Data, text)
			continue
		}
		for _, a := range token.Attr {
			if !strings.Contains(" "+attributes+" ", " "+a.Key+" ") {
				t.Errorf("attribute %s of <%s> in %q", a.Key, token.Data, text)
			}
			target, err := url.Parse(a.Val)
			switch {
			case a.Key == "style" && !strings.HasPrefix(a.Val, "text-align:"),
				a.Key == "src" && (err != nil || target.Host != "" || target.Scheme != "" && !strings.HasPrefix(strings.ToLower(a.Val), "data:image/")),
				a.Key == "href" && err == nil && !strings.Contains(" http https mailto  ", " "+target.Scheme+" "),
				a.Key != "alt" && a.Key != "title" && strings.HasPrefix(a.Val, "/"):
				t.Errorf("%s=%q in %q", a.Key, a.Val, text)
			}
		}
	}
}
