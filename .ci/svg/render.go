package main

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
)

// renderer draws pictures, each in a square of so many pixels.
type renderer func(svgs [][]byte) ([]image.Image, error)

// A sheet has so many pictures side by side, each of a page of 100 mm, which is
// 378 px of a browser, and with so many pixels for each of these.
const (
	columns = 8
	px      = 378
	density = 2
	cell    = px * density
)

func sheetSize(n int) (width, height int) {
	return columns * cell, (n + columns - 1) / columns * cell
}

// cells cuts a sheet into its pictures.
func cells(data []byte, n int) ([]image.Image, error) {
	sheet, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	part, ok := sheet.(interface {
		SubImage(image.Rectangle) image.Image
	})
	if w, h := sheetSize(n); !ok || sheet.Bounds().Dx() < w || sheet.Bounds().Dy() < h {
		return nil, fmt.Errorf("the renderer gives a sheet of %v, not of %d x %d pixels", sheet.Bounds(), w, h)
	}
	var list []image.Image
	for i := range n {
		x, y := i%columns*cell, i/columns*cell
		list = append(list, part.SubImage(image.Rect(x, y, x+cell, y+cell)))
	}
	return list, nil
}

// rsvg draws with librsvg's rsvg-convert, one at a time: inside another picture
// it would draw them with few pixels and enlarge these.
func rsvg(svgs [][]byte) ([]image.Image, error) {
	var list []image.Image
	for _, s := range svgs {
		run := exec.Command("rsvg-convert", "-w", fmt.Sprint(pixels), "--keep-aspect-ratio", "-f", "png")
		run.Stdin = bytes.NewReader(s)
		run.Stderr = os.Stderr
		out, err := run.Output()
		if err != nil {
			return nil, fmt.Errorf("rsvg-convert: %w", err)
		}
		one, err := png.Decode(bytes.NewReader(out))
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// chromium draws with a browser.
func chromium(svgs [][]byte) ([]image.Image, error) {
	folder, err := os.MkdirTemp("", "svg")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	w, h := sheetSize(len(svgs))
	var b bytes.Buffer
	b.WriteString(`<!doctype html><style>body{margin:0;background:transparent}div{position:absolute;overflow:hidden;width:378px;height:378px}</style>`)
	for i, s := range svgs {
		fmt.Fprintf(&b, `<div style="left:%dpx;top:%dpx"><img src="data:image/svg+xml;base64,%s"></div>`,
			i%columns*px, i/columns*px, base64.StdEncoding.EncodeToString(s))
	}
	page, shot := filepath.Join(folder, "page.html"), filepath.Join(folder, "shot.png")
	if err := os.WriteFile(page, b.Bytes(), 0o644); err != nil {
		return nil, err
	}
	run := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", fmt.Sprintf("--force-device-scale-factor=%d", density),
		"--user-data-dir="+filepath.Join(folder, "profile"), "--default-background-color=00000000",
		fmt.Sprintf("--window-size=%d,%d", w/density, h/density), "--screenshot="+shot, "file://"+page)
	if out, err := run.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("chromium: %w\n%s", err, out)
	}
	data, err := os.ReadFile(shot)
	if err != nil {
		return nil, err
	}
	return cells(data, len(svgs))
}
