package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// pictureMark begins each picture. Only a file that begins with it is ever
// overwritten.
const pictureMark = "<!-- a picture by mahlstick, which may be overwritten -->\n"

// checkPicture refuses names that are not those of a picture: they were
// probably meant for something else. what is the noun for the arguments.
func checkPicture(name string, arguments int, what string) error {
	if name != "" && (arguments > 1 || !strings.EqualFold(filepath.Ext(name), ".svg")) {
		return fmt.Errorf("--picture takes one %s and a file name that ends in .svg, not %q", what, name)
	}
	return nil
}

// writePicture writes a picture to a new file or over an earlier picture.
func writePicture(name string, draw func(io.Writer) error) error {
	there, err := os.ReadFile(name)
	switch {
	case err == nil && len(there) > 0 && !bytes.HasPrefix(there, []byte(pictureMark)):
		return fmt.Errorf("%s is there already and was not drawn by mahlstick: give the picture another name, or move the file away", name)
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: %w", name, cause(err))
	}
	out := bytes.NewBufferString(pictureMark)
	if err := draw(out); err != nil {
		return err
	}
	if err := os.WriteFile(name, out.Bytes(), 0o644); err != nil {
		return fmt.Errorf("%s: %w", name, cause(err))
	}
	return nil
}
