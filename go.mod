module soundwrit

go 1.26.0

require (
	github.com/alecthomas/kong v1.17.0 // indirect
	github.com/expr-lang/expr v1.17.8 // indirect
	github.com/go-fonts/dejavu v0.3.2 // indirect
	github.com/go-pdf/fpdf v0.9.0 // indirect
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/rogpeppe/go-internal v1.16.0 // indirect
	github.com/santhosh-tekuri/jsonschema/v5 v5.3.1 // indirect
	github.com/yuin/goldmark v1.8.7 // indirect
	golang.org/x/image v0.47.0 // indirect
	golang.org/x/text v0.43.0 // indirect
	gopkg.in/yaml.v3 v3.0.1 // indirect
	pgregory.net/rapid v1.3.0 // indirect
)
