package presenting

import (
	"testing"

	"mahlstick/runner/stroke"
)

// Every reason is explained, and a remark for any of them reaches the page.
func TestEveryReasonIsPresented(t *testing.T) {
	for _, reason := range stroke.Reasons() {
		groups := remarkGroups([]stroke.Remark{{Reason: reason}})
		if len(groups) != 1 || groups[0].Reason != reason.String() || groups[0].Meaning == "" {
			t.Errorf("%s: %+v", reason, groups)
		}
	}
}
