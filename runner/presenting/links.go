package presenting

import (
	"html/template"
	"net/url"
	"path"
	"regexp"
	"strings"

	"mahlstick/recipe/model"
	"mahlstick/runner/impression"
	"mahlstick/runner/logbook"
	"mahlstick/runner/record"
)

// links holds the addresses of other pages, relative to a page.
type links struct {
	toRecipe string // the folder of the recipe
	index    string // the job on the page of all jobs
	current  string // the job as it stands, from an impression; else ""
}

const pageFile = "index.html"

// otherPages returns the links from the page of a job, or of its impression, to
// the other pages of the logbook.
func otherPages(job string, signed *record.Impression) links {
	up := strings.Repeat("../", 1+strings.Count(job, "/")) // to the logbook
	l := links{toRecipe: up + "../"}
	if signed != nil {
		up += "../../"
		l.current = "../../" + pageFile
		l.toRecipe = impression.Inputs + "/"
	}
	l.index = up + pageFile + "#" + logbook.JobAnchor(job)
	return l
}

func newLinks(job *model.Job, signed *record.Impression) links {
	l := otherPages(job.Name, signed)
	for part := range strings.SplitSeq(path.Dir(job.Files[0].Name), "/") {
		if part != "." {
			l.toRecipe += template.HTMLEscapeString(url.PathEscape(part)) + "/"
		}
	}
	return l
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
