// Jobs writes random jobs into a folder, as a studio.
//
//	go run ./.ci/jobs COUNT FOLDER
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"

	"mahlstick/runner/scribble"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "usage: jobs COUNT FOLDER")
		os.Exit(2)
	}
	count, err := strconv.Atoi(os.Args[1])
	files := []scribble.File{scribble.Studio()}
	for i := range count {
		files = append(files, scribble.Job(i+1)...)
	}
	for _, f := range files {
		name := filepath.Join(os.Args[2], filepath.FromSlash(f.Name))
		if err == nil {
			err = os.MkdirAll(filepath.Dir(name), 0o755)
		}
		if err == nil {
			err = os.WriteFile(name, f.Data, 0o644)
		}
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
