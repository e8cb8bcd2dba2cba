package runner_test

import (
	"strings"
	"testing"

	"mahlstick/runner"
)

// A job that is signed despite a broken rule has a page that says so.
func TestPageOfAJobSignedDespiteABrokenRule(t *testing.T) {
	_, recipe := pond(t)
	r := mustSign(t, recipe, 0)
	r.Checks[3].OK = false
	_, problems, err := r.Sign(runner.LogbookOf(r.Studio), "for the test")
	if err != nil || problems.HasErrors() {
		t.Fatal(err, problems)
	}
	page := output(r, "index.html")
	for _, text := range []string{"1 rule is broken", "Signed despite this: ", "for the test"} {
		if !strings.Contains(page, text) {
			t.Errorf("the page lacks %q", text)
		}
	}
	if !strings.Contains(output(r, "card.html"), "Do not run these programs") {
		t.Error("the card does not say that the programs must not be run")
	}
	if strings.Contains(page, "All rules hold") {
		t.Error("the page says that all rules hold")
	}
}
