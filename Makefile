# make run     makes the demo machine, checks it and prints what is wrong with it
# make test    everything that must hold before a change goes in
# make bench   the numbers, each beside the plain way of doing the same
# make fuzz    every fuzz target for FUZZTIME each
# make build   bin/bellout
# make clean   takes away what the others made

GO       ?= go
BIN      := bin/bellout
DEMO     := bin/lantern-lock.bellout
FUZZTIME ?= 60s
# the share of make test that goes to each fuzz target
SMOKE    ?= 3s

.PHONY: run build test vet lint unit smoke bench fuzz clean tools
.DEFAULT_GOAL := build

run: build
	@test -e $(DEMO) || ./$(BIN) demo $(DEMO)
	@# 1 says that check found a fault, which is what the demo is for
	@./$(BIN) check $(DEMO) || test $$? -eq 1
	@echo
	@echo "The machine is $(DEMO). Next: ./$(BIN) nets $(DEMO), or ./$(BIN) --help"

build: tools
	@mkdir -p bin
	$(GO) build -o $(BIN) ./app

test: vet lint unit smoke

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

clean:
	rm -rf bin

# tools installs what is missing where it can, and says what to do where it
# cannot. Go fetches the release that go.mod names by itself.
define find_tools
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
if ! command -v $(GO) >/dev/null; then
	install golang-go ca-certificates || { echo "Go is missing: install Go 1.21 or later from https://go.dev/dl and run make again" >&2; exit 1; }
fi
if ! command -v "$${CC:-cc}" >/dev/null && ! command -v gcc >/dev/null; then
	install gcc libc6-dev || { echo "A C compiler is missing (the project file is SQLite): install gcc or clang with the C headers and run make again" >&2; exit 1; }
fi
if [ "$$($(GO) env CGO_ENABLED)" != 1 ]; then
	echo "Go is set to build without C (CGO_ENABLED=0), the project file needs it: run make again with CGO_ENABLED=1 and a C compiler" >&2; exit 1
fi
$(GO) list -m >/dev/null || { echo "$$($(GO) version) cannot build this: install the Go that go.mod names from https://go.dev/dl and run make again" >&2; exit 1; }
endef
export find_tools

tools:
	@sh -c "$$find_tools"
