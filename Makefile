# Everything a contributor or a build server runs. It needs Go, make, and Node
# with npm for the page; tools beyond those are fetched by version and stay out
# of go.mod.

GOLANGCI_LINT := github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0
GOVULNCHECK   := golang.org/x/vuln/cmd/govulncheck@v1.9.0

# A build server's Go is the one it has: never fetch another.
export GOTOOLCHAIN := local

# Reference tables from public repositories, read in place and never committed.
SURGEONWARD_REFERENCE ?= $(abspath ../shared/reference/data)
export SURGEONWARD_REFERENCE

# Time for each fuzz target of `make fuzz`; `make fuzz-brief` has its own.
FUZZTIME ?= 60s
BRIEF    := 1s

# How long the load of `make load` lasts.
LOADTIME ?= 5m

# ./... leaves folders named testdata out, so packages there are named.
PACKAGES := ./... $(sort $(addprefix ./,$(patsubst %/,%,$(dir $(shell find testdata -name '*.go' 2>/dev/null)))))

# The race detector needs cgo and a C compiler with its library.
RACE := $(shell [ "$$(go env CGO_ENABLED)" = 1 ] && echo 'int main(void) { return 0; }' | \
	$$(go env CC) -x c -o /dev/null - 2>/dev/null && echo -race)

# Packages that start whole programs, or compute for long in one goroutine: the
# detector makes them several times slower. `make race` has them too.
UNRACED := $(addprefix surgeonward/,api api/planning api/web cmd/surgeonward routing routing/coverage routing/siting testdata)

# The tests of those in which goroutines meet, and where they are.
RACES := Swapped|SameBytes|Events|Race|Listeners|RunIsTheDesk|RunEndsWith|SharedCausesCancel
RACED := $(addprefix surgeonward/,api routing/coverage)

BUILD := $(shell git describe --always --dirty 2>/dev/null || echo unknown)

.DEFAULT_GOAL := help

.PHONY: help
help: ## List what can be made
	@awk -F ':.*## ' '/^[a-z-]+:.*## /{printf "  make %-11s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

.PHONY: demo
demo: ## Answer the harbour stabbing of the demonstration region
	@go run ./cmd/surgeonward options --scenario harbour-stabbing

.PHONY: run
run: page ## Serve the demonstration region on this machine, port 8080
	@go run ./cmd/surgeonward serve

.PHONY: build
build: page ## Build bin/surgeonward
	CGO_ENABLED=0 go build -trimpath -ldflags '-X main.build=$(BUILD)' -o bin/surgeonward ./cmd/surgeonward

.PHONY: test
test: vet imports page missing ## Vet, check imports, run every test
	go run ./cmd/testreport $(RACE) -shuffle=on -timeout 20m $(filter-out $(UNRACED),$(shell go list $(PACKAGES)))
	go run ./cmd/testreport -shuffle=on -timeout 20m $(UNRACED)
	go run ./cmd/testreport $(RACE) -shuffle=on -timeout 20m -run '$(RACES)' $(RACED)

.PHONY: race
race: vet imports page missing ## Run every test under the race detector (takes some twenty minutes)
	go run ./cmd/testreport $(RACE) -shuffle=on -timeout 40m $(PACKAGES)

PAGE_PACKAGES := api/web/node_modules/.package-lock.json
PAGE_SOURCES  := $(shell find api/web/src -type f) api/web/build.mjs

.PHONY: web
web: api/web/dist/index.html ## Build the page into api/web/dist (needs Node with npm)

api/web/dist/index.html: $(PAGE_SOURCES) $(PAGE_PACKAGES)
	cd api/web && npm run --silent build

$(PAGE_PACKAGES): api/web/package-lock.json
	cd api/web && npm ci --no-audit --no-fund && touch node_modules/.package-lock.json

# The page where it can be built; the program is whole without it. What cannot be
# fetched is a lack of this machine, what does not build is a fault.
.PHONY: page
page:
	@if ! command -v npm >/dev/null; then \
		echo 'missing: Node with npm (Debian: nodejs npm). The program is built without its page.'; \
	elif ! $(MAKE) --no-print-directory $(PAGE_PACKAGES); then \
		echo 'missing: the packages of the page, which npm could not fetch. The program is built without changes to its page.'; \
	else $(MAKE) --no-print-directory web; fi

.PHONY: screenshots
screenshots: web ## Take pictures of every view into build/screenshots (needs chromium)
	cd api/web && npm run --silent screenshots

.PHONY: vet
vet:
	go vet $(PACKAGES)

.PHONY: imports
imports: ## Check that imports go cmd -> api -> routing -> facilities -> geo
	@go run ./cmd/checkimports

# Says what this machine lacks and what the tests do without it.
.PHONY: missing
missing:
	@[ -d '$(SURGEONWARD_REFERENCE)' ] || { \
		echo 'missing: the folder of reference tables $(SURGEONWARD_REFERENCE) (set SURGEONWARD_REFERENCE).'; \
		echo '         Tests that read it are skipped and listed at the end.'; }
	@command -v initdb >/dev/null || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || [ -n "$$SURGEONWARD_TEST_DATABASE" ] || { \
		echo 'missing: PostgreSQL (Debian: postgresql). Tests of the database store are skipped and listed at the end.'; }
	@command -v npm >/dev/null || echo 'missing: Node with npm (Debian: nodejs npm). Tests of the page are skipped and listed at the end.'
	@[ -n "$$CHROMIUM" ] || command -v chromium >/dev/null || ls /usr/bin/chromium-browser /usr/bin/google-chrome >/dev/null 2>&1 || \
		echo 'missing: chromium (Debian: chromium; elsewhere name it in CHROMIUM). Browser tests are skipped and listed at the end.'
	@[ -n '$(RACE)' ] || echo 'missing: cgo with a C compiler and its library. Tests run without the race detector.'

.PHONY: lint
lint: vet imports ## Check formatting, vet, imports and lint (the first run takes minutes)
	@files=$$(gofmt -l $$(git ls-files -co --exclude-standard '*.go')); \
		[ -z "$$files" ] || { echo "gofmt would change:"; echo "$$files"; exit 1; }
	go run $(GOLANGCI_LINT) run $(PACKAGES)

.PHONY: vuln
vuln: ## Look for known vulnerabilities (needs the vulnerability database)
	go run $(GOVULNCHECK) $(PACKAGES)

.PHONY: fuzz
fuzz: ## Run every fuzz target for FUZZTIME each
	@grep -rEo --include='*_test.go' '^func Fuzz[A-Za-z0-9_]*' . | sort | while IFS=: read -r file func; do \
		name=$${func#func }; echo "fuzz $(FUZZTIME): $$name in $$(dirname $$file)"; \
		go test -run '^$$' -fuzz "^$$name\$$" -fuzztime $(FUZZTIME) "$$(dirname $$file)" </dev/null || exit 1; \
	done

.PHONY: fuzz-brief
fuzz-brief: ## Run every fuzz target for a second
	@$(MAKE) --no-print-directory fuzz FUZZTIME=$(BRIEF)

.PHONY: bench
bench: ## Run the benchmarks with allocation counts
	go test -run '^$$' -bench . -benchmem $(PACKAGES)

.PHONY: load
load: ## Put 200 readers and 20 edits a second on a service for LOADTIME (default 5m)
	SURGEONWARD_TEST_LOAD=$(LOADTIME) go test -count=1 -timeout 0 -v -run '^TestLoad$$' ./cmd/surgeonward

.PHONY: cover
cover: ## Measure test coverage into build/cover.html
	@mkdir -p build
	go test -coverprofile build/cover.out $(PACKAGES)
	go tool cover -html build/cover.out -o build/cover.html
	go tool cover -func build/cover.out | tail -n 1

.PHONY: golden
golden: ## Rewrite the golden files; read the difference like code
	@grep -rl --include='*_test.go' 'flag.Bool("update"' . | xargs -r -n 1 dirname | sort -u | \
		while read -r dir; do go test "$$dir" -update </dev/null || exit 1; done

.PHONY: clean
clean: ## Remove what was built
	rm -rf bin build api/web/dist/assets api/web/dist/index.html* api/web/dist/worker.js*
