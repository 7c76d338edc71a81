// Package locale keeps the window toolkit from complaining of a locale such as
// C.UTF-8, which names no language: importing it, for nothing else, tells the
// toolkit the same without the encoding. The window is English anyway.
//
// It is a package of its own because the toolkit reads the locale while it is
// initialised. Go initialises packages in the order of their paths as far as
// their imports allow (The Go Programming Language Specification, Package
// initialization), and this one imports little and stands early.
package locale

import (
	"os"
	"strings"
)

func init() {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if strings.HasPrefix(os.Getenv(name), "C.") {
			_ = os.Setenv(name, "C") // where that fails the complaint stays, and nothing else
		}
	}
}
