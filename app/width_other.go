//go:build !unix

package main

import "os"

// terminalWidth returns 0: this system is not asked for it; COLUMNS says it.
func terminalWidth(*os.File) int { return 0 }
