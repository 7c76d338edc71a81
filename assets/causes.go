package assets

import (
	"embed"
	"io/fs"
)

//go:embed causes/*.csv
var causes embed.FS

// Causes returns the tables by which shared causes are weighed: mechanisms,
// fragility, background chances, points, signatures and the verdict's bounds.
// Engineering judgement all of it, and meant to be edited.
func Causes() fs.FS {
	sub, err := fs.Sub(causes, "causes")
	if err != nil {
		panic("assets: causes: " + err.Error())
	}
	return sub
}
