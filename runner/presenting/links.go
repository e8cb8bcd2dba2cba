package presenting

import (
	"html/template"
	"net/url"
	"path"
	"regexp"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/runner/impression"
	"mahlstick/runner/record"
)

// links leads from the page to where the recipe stands.
type links struct{ toRecipe string }

func newLinks(job *model.Job, signed *record.Impression) links {
	to := strings.Repeat("../", 2+strings.Count(job.Name, "/"))
	if signed != nil {
		to = impression.Inputs + "/"
	}
	for part := range strings.SplitSeq(path.Dir(job.Files[0].Name), "/") {
		if part != "." {
			to += template.HTMLEscapeString(url.PathEscape(part)) + "/"
		}
	}
	return links{to}
}

// fromPage changes the links and pictures of prose, which are relative to the
// recipe, so that they work from the page.
func (l links) fromPage(html string) string {
	var out strings.Builder
	from := 0
	for _, at := range linkTags.FindAllStringIndex(html, -1) {
		out.WriteString(html[from:at[1]])
		from = at[1]
		if i := strings.IndexAny(html[from:], `:/?#"`); i < 0 || html[from+i] != ':' && (html[from+i] != '#' || i > 0) {
			out.WriteString(l.toRecipe)
		}
	}
	out.WriteString(html[from:])
	return out.String()
}

var linkTags = regexp.MustCompile(`<(?:img src|a href)="`)
