module mahlstick

go 1.26.0

require (
	github.com/expr-lang/expr v1.17.8
	github.com/fsnotify/fsnotify v1.10.1
	github.com/gofrs/flock v0.13.2
	github.com/google/go-cmp v0.7.0
	github.com/mattn/go-isatty v0.0.24
	github.com/peterstace/simplefeatures v0.59.0
	github.com/rivo/uniseg v0.4.7
	github.com/rogpeppe/go-internal v1.16.0
	github.com/spf13/cobra v1.10.2
	github.com/tdewolff/parse/v2 v2.8.20
	github.com/yofu/dxf v0.0.0-20250806094206-f3988c7f0176
	github.com/yuin/goldmark v1.8.7
	golang.org/x/image v0.25.0
	golang.org/x/net v0.62.0
	golang.org/x/sync v0.25.0
	golang.org/x/sys v0.49.0
	golang.org/x/text v0.44.0
	gonum.org/v1/gonum v0.17.0
	pgregory.net/rapid v1.3.0
)

require (
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/spf13/pflag v1.0.9 // indirect
	golang.org/x/tools v0.52.0 // indirect
)
