package decode_test

import (
	"mahlstick/runner/golden"
	"path/filepath"
	"testing"
)

func compareGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	golden.Compare(t, filepath.Join("..", "testdata", name), got)
}
