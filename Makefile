# make run     opens the demo machine; with no display it prints what is wrong
#              with it and saves a picture of the window, lantern-lock.png
# make test    everything that must hold before a change goes in
# make bench   the numbers, each beside the plain way of doing the same
# make fuzz    every fuzz target for FUZZTIME each
# make build   bin/bellout
# make size    how large the house is, to look at: lines, fullest packages,
#              longest functions, exported names that nobody uses
# make clean   takes away what the others made

GO       ?= go
BIN      := bin/bellout
DEMO     := bin/lantern-lock.bellout
FUZZTIME ?= 60s
# the share of make test that goes to each fuzz target
SMOKE    ?= 3s

.PHONY: run build test vet lint unit smoke bench fuzz size clean tools test-tools
.DEFAULT_GOAL := build

# 1 says that check found a fault, which is what the demo is for
run: build
	@test -e $(DEMO) || ./$(BIN) demo $(DEMO)
	@if [ -n "$$DISPLAY$$WAYLAND_DISPLAY" ] || [ "$$(uname)" = Darwin ]; then \
		echo "opening $(DEMO)"; ./$(BIN) $(DEMO); \
	else \
		./$(BIN) check $(DEMO) || test $$? -eq 1; \
		echo; \
		./$(BIN) $(DEMO) --picture lantern-lock.png; \
		echo "There is no display to open a window on. Next: ./$(BIN) nets $(DEMO), or ./$(BIN) --help"; \
	fi

# the first tag turns off checks of the window toolkit that cost a quarter of a
# core, the second the blinking of the caret, which repaints the whole window;
# the tests run with them
build: tools
	@mkdir -p bin
	$(GO) build -tags 'migrated_fynedo no_animations' -o $(BIN) ./app

test: test-tools vet lint unit smoke

vet: tools
	$(GO) vet ./...

lint: tools
	$(GO) tool staticcheck ./...

unit: tools
	$(GO) test ./...

smoke: tools
	@$(MAKE) --no-print-directory fuzz FUZZTIME=$(SMOKE)

bench: tools
	$(GO) test -run '^$$' -bench . -benchmem -timeout 60m ./...

# go runs one fuzz target of one package at a time
fuzz: tools
	@set -e; for package in $$($(GO) list -f '{{if or .TestGoFiles .XTestGoFiles}}{{.ImportPath}}{{end}}' ./...); do \
		for target in $$($(GO) test -list '^Fuzz' $$package | grep '^Fuzz' || true); do \
			echo "fuzz $$package $$target for $(FUZZTIME)"; \
			$(GO) test -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZTIME) $$package; \
		done; \
	done

size:
	@$(GO) run ./.ci/size

clean:
	rm -rf bin

# tools installs what is missing where it can, and says what to do where it
# cannot. Go fetches the release that go.mod names by itself.
define find_tools_functions
as_root() { if [ "$$(id -u)" = 0 ]; then "$$@"; else sudo "$$@"; fi; }
install() {
	if command -v apt-get >/dev/null && { [ "$$(id -u)" = 0 ] || command -v sudo >/dev/null; }; then
		echo "installing $$*"
		as_root env DEBIAN_FRONTEND=noninteractive apt-get update -q && \
		as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends "$$@"
	else
		return 1
	fi
}
endef
export find_tools_functions

define find_tools
if ! command -v $(GO) >/dev/null; then
	install golang-go ca-certificates || { echo "Go is missing: install Go 1.21 or later from https://go.dev/dl and run make again" >&2; exit 1; }
fi
if ! command -v "$${CC:-cc}" >/dev/null && ! command -v gcc >/dev/null; then
	install gcc libc6-dev || { echo "A C compiler is missing (the project file is SQLite): install gcc or clang with the C headers and run make again" >&2; exit 1; }
fi
if [ "$$($(GO) env CGO_ENABLED)" != 1 ]; then
	echo "Go is set to build without C (CGO_ENABLED=0), the project file needs it: run make again with CGO_ENABLED=1 and a C compiler" >&2; exit 1
fi
# the window toolkit compiles against these
if [ "$$(uname)" = Linux ] && ! printf '%s\n' '#include <GL/gl.h>' '#include <X11/Xcursor/Xcursor.h>' '#include <X11/extensions/Xrandr.h>' \
	'#include <X11/extensions/Xinerama.h>' '#include <X11/extensions/XInput2.h>' '#include <X11/extensions/xf86vmode.h>' '#include <xkbcommon/xkbcommon.h>' \
	| "$${CC:-cc}" -E - >/dev/null 2>&1; then
	install libgl1-mesa-dev xorg-dev libxkbcommon-dev || { echo "The headers of OpenGL and X11 are missing (the window needs them): install what your system calls libgl1-mesa-dev, xorg-dev and libxkbcommon-dev, and run make again" >&2; exit 1; }
fi
$(GO) list -m >/dev/null || { echo "$$($(GO) version) cannot build this: install the Go that go.mod names from https://go.dev/dl and run make again" >&2; exit 1; }
endef
export find_tools

tools:
	@sh -c "$$find_tools_functions; $$find_tools"

# what the tests need beyond that: a display of their own to run the real window
# on, hands and eyes for it, and readers for what is exported
define find_test_tools
missing=
for need in Xvfb:xvfb xdotool:xdotool import:imagemagick pdftotext:poppler-utils rsvg-convert:librsvg2-bin soffice:libreoffice-calc; do
	command -v "$${need%%:*}" >/dev/null || missing="$$missing $${need#*:}"
done
ls /usr/lib/*/dri/swrast_dri.so >/dev/null 2>&1 || missing="$$missing libgl1-mesa-dri"
if [ "$$(uname)" = Linux ] && [ -n "$$missing" ]; then
	install $$missing || echo "missing:$$missing; the tests that need them are skipped and say so" >&2
fi
endef
export find_test_tools

test-tools: tools
	@sh -c "$$find_tools_functions; $$find_test_tools"
