// Coasts has rich outlines filled by the real program, and measures what that
// costs and how well they are covered.
//
//	go run ./.ci/coasts PROGRAM WORLD CASE...
//
// PROGRAM is the program's file, WORLD the unpacked npm package world-atlas
// 2.0.2 (Natural Earth). A case is NAME:WIDTH, with the width of the brush in mm.
package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
)

// What must hold. The limits are the program's promise; memory is the greatest
// that the process had at any time.
const (
	leastCover  = 0.998
	mostSpill   = 0.002
	mostMemory  = 1500       // bytes a segment
	basicMemory = 80_000_000 // bytes, for what does not depend on the segments: code, pixels, tables
	pixel       = 0.05
)

func main() {
	if len(os.Args) > 3 && os.Args[1] == weighing {
		if err := weigh(os.Args[2:]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	if len(os.Args) < 4 {
		fmt.Fprintln(os.Stderr, "usage: coasts PROGRAM WORLD NAME:WIDTH...")
		os.Exit(2)
	}
	fmt.Println("case              segments  strokes  program  processor    peak  a segment  covered    spilt")
	type outcome struct {
		ok   bool
		text string
		err  error
	}
	cases := os.Args[3:]
	done := make([]chan outcome, len(cases))
	next := make(chan int, len(cases))
	for i := range cases {
		done[i] = make(chan outcome, 1)
		next <- i
	}
	close(next)
	for range min(2, runtime.NumCPU()) {
		go func() {
			for i := range next {
				ok, text, err := try(os.Args[1], os.Args[2], cases[i])
				done[i] <- outcome{ok, text, err}
			}
		}()
	}
	failed := false
	for i, c := range cases {
		o := <-done[i]
		fmt.Print(o.text)
		if o.err != nil {
			fmt.Fprintln(os.Stderr, c+":", o.err)
		}
		failed = failed || !o.ok
	}
	if failed {
		os.Exit(1)
	}
}

// draw makes the picture of a case.
func draw(folder, name string) (*picture, error) {
	switch name {
	case "land-50m":
		return world(folder, name, "land", 1000)
	case "land":
		return world(folder, "land-10m", "land", 1000)
	case "countries":
		return world(folder, "countries-10m", "countries", 1000)
	case "both": // one above the other
		p, err := world(folder, "land-10m", "land", 1000)
		if err != nil {
			return nil, err
		}
		q, err := world(folder, "countries-10m", "countries", 1000)
		if err != nil {
			return nil, err
		}
		for _, s := range p.shapes {
			for _, ring := range s {
				for i := range ring {
					ring[i].y += q.height
				}
			}
		}
		return &picture{shapes: append(q.shapes, p.shapes...), width: 1000, height: 1000}, nil
	case "small":
		return traced(120, 100, 0.8, 60, 0.6), nil
	case "traced":
		return traced(500, 400, 0.5, 120, 0.7), nil
	case "rich":
		return traced(1000, 1000, 0.5, 200, 0.78), nil
	}
	return nil, fmt.Errorf("there is no such picture")
}

func try(program, folder, name string) (ok bool, text string, err error) {
	name, width, _ := strings.Cut(name, ":")
	widest, err := strconv.ParseFloat(width, 64)
	if err != nil {
		return false, "", err
	}
	p, err := draw(folder, name)
	if err != nil {
		return false, "", err
	}
	dir, err := os.MkdirTemp("", "coasts")
	if err != nil {
		return false, "", err
	}
	defer os.RemoveAll(dir)
	s := studio{picture: p, widest: widest}
	if err := s.write(dir); err != nil {
		return false, "", err
	}
	cost, said, err := weighed(dir, program, "run", filepath.Join(dir, "coast.md"))
	if err != nil {
		return false, "", fmt.Errorf("%w\n%s", err, said)
	}
	written, err := os.ReadFile(filepath.Join(dir, "logbook", "coast", "1-land.nc"))
	if err != nil {
		return false, "", err
	}
	painted, err := marks(written, s.width)
	if err != nil {
		return false, "", err
	}
	c := compare(p, border, border, painted, pixel)
	n := float64(p.segments())
	covered, spilt := c.covered/c.drawn, c.spilt/c.drawn
	ok = covered >= leastCover && spilt <= mostSpill && cost.peak <= mostMemory*n+basicMemory
	text = fmt.Sprintf("%-16s %9.0f %8d %5.1f MB  %7.1f s %6.0f MB %7.0f B  %7.3f %%  %6.3f %%", name+":"+width, n,
		bytes.Count(written, []byte("(stroke ")), float64(len(written))/1e6, cost.processor.Seconds(), cost.peak/1e6, cost.peak/n, 100*covered, 100*spilt)
	if !ok {
		text += "  BEYOND A LIMIT\n" + string(said)
	}
	return ok, text + "\n", nil
}
